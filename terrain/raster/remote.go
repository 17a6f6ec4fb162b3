package raster

// #cgo pkg-config: gdal
// #include <stdlib.h>
// #include "remote.h"
import "C"

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"sync"
	"unsafe"

	"github.com/acreband/acreband/terrain/fetch"
)

// remotePrefix begins the names by which GDAL knows files on servers: the number of their client and the address follow. GDAL's own
// reader of addresses keeps nothing, is held to nothing, and cannot be told to; godal's way to install one copies what it never
// read over ranges that lie side by side (v0.0.18).
const remotePrefix = "/vsiacreband/"

// remoteFile is what GDAL reads as a file.
type remoteFile interface {
	ReadAll(ctx context.Context, into [][]byte, at []int64) ([]int, error)
}

// remotes are the clients that addresses are fetched by, the files that GDAL has open, and what failed last.
var remotes struct {
	sync.Mutex
	clients []*fetch.Client
	numbers map[*fetch.Client]int
	open    map[uint64]remoteFile
	last    uint64
	failed  []error // the last few
	failure int     // how many there were in all
}

var installRemote = sync.OnceValue(func() error {
	// GDAL keeps the pointer to the prefix, so it is never freed.
	if C.acreband_install_remote(C.CString(remotePrefix)) != 0 {
		return errors.New("GDAL takes no reader of files on servers")
	}
	return nil
})

// defaultClient fetches what is given to a program that says nothing of how: it keeps nothing beyond the process.
var defaultClient = sync.OnceValue(func() *fetch.Client { return fetch.New(fetch.Options{AllowAll: true}) })

// client is what fetches addresses.
func (o Options) client() *fetch.Client {
	if o.Fetch != nil {
		return o.Fetch
	}
	return defaultClient()
}

// remoteName is the name by which GDAL knows an address.
func (o Options) remoteName(address string) string {
	c := o.client()
	remotes.Lock()
	defer remotes.Unlock()
	if remotes.numbers == nil {
		remotes.numbers, remotes.open = map[*fetch.Client]int{}, map[uint64]remoteFile{}
	}
	n, known := remotes.numbers[c]
	if !known {
		n = len(remotes.clients)
		remotes.numbers[c], remotes.clients = n, append(remotes.clients, c)
	}
	return remotePrefix + strconv.Itoa(n) + "/" + strings.ReplaceAll(address, " ", "%20")
}

// openRemoteFile opens a file for GDAL, by what follows the prefix.
func openRemoteFile(name string) (remoteFile, int64, error) {
	number, address, _ := strings.Cut(name, "/")
	n, err := strconv.Atoi(number)
	remotes.Lock()
	ok := err == nil && n >= 0 && n < len(remotes.clients) && isAddress(address)
	var c *fetch.Client
	if ok {
		c = remotes.clients[n]
	}
	remotes.Unlock()
	if !ok {
		return nil, 0, fmt.Errorf("%s: no address", name)
	}
	f, err := c.File(context.Background(), address)
	if err != nil {
		return nil, 0, err
	}
	text, err := remoteText(f, remotePrefix+number+"/")
	if err != nil {
		return nil, 0, err
	}
	if text != nil {
		return text, int64(len(text)), nil
	}
	return f, f.Size, nil
}

// fail notes why something on a server could not be read: GDAL hands on words only.
func fail(err error) {
	const most = 64
	remotes.Lock()
	defer remotes.Unlock()
	remotes.failure++
	remotes.failed = append(remotes.failed, err)
	if len(remotes.failed) > most {
		remotes.failed = remotes.failed[1:]
	}
}

// failures counts what failed so far.
func failures() int {
	remotes.Lock()
	defer remotes.Unlock()
	return remotes.failure
}

// failedSince is why an address could not be read since so many failures: what is said of the address itself, else of another, which
// may be what it is made of. It is nil where nothing failed.
func failedSince(n int, address string) error {
	remotes.Lock()
	defer remotes.Unlock()
	since := remotes.failed[max(0, len(remotes.failed)-(remotes.failure-n)):]
	var other error
	for _, err := range since {
		var of *fetch.Error
		if errors.As(err, &of) && strings.HasPrefix(address, of.Address) {
			return reason{of}
		}
		other = err
	}
	return other
}

// reason is an error whose address stands before it already.
type reason struct{ of *fetch.Error }

func (r reason) Error() string { return r.of.Reason() }
func (r reason) Unwrap() error { return r.of }

//export acrebandOpenRemote
func acrebandOpenRemote(name *C.char, size *C.ulonglong) C.ulonglong {
	f, n, err := openRemoteFile(C.GoString(name))
	if err != nil {
		fail(err)
		return 0
	}
	*size = C.ulonglong(n)
	remotes.Lock()
	defer remotes.Unlock()
	remotes.last++
	remotes.open[remotes.last] = f
	return C.ulonglong(remotes.last)
}

//export acrebandCloseRemote
func acrebandCloseRemote(id C.ulonglong) {
	remotes.Lock()
	defer remotes.Unlock()
	delete(remotes.open, uint64(id))
}

// acrebandReadRemote fills n buffers, whole, from n places of a file. It returns why it could not, to be freed; nil where it did.
//
//export acrebandReadRemote
func acrebandReadRemote(id C.ulonglong, n C.int, into *unsafe.Pointer, at *C.ulonglong, lengths *C.size_t) *C.char {
	remotes.Lock()
	f := remotes.open[uint64(id)]
	remotes.Unlock()
	buffers, places := make([][]byte, n), make([]int64, n)
	for i, length := range unsafe.Slice(lengths, n) {
		buffers[i] = unsafe.Slice((*byte)(unsafe.Slice(into, n)[i]), int(length))
		places[i] = int64(unsafe.Slice(at, n)[i])
	}
	filled, err := f.ReadAll(context.Background(), buffers, places)
	for i := range filled {
		if err == nil && filled[i] < len(buffers[i]) {
			err = fmt.Errorf("the file ends before byte %d", places[i]+int64(len(buffers[i])))
		}
	}
	if err != nil {
		fail(err)
		return C.CString(err.Error())
	}
	return nil
}
