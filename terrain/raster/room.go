package raster

// #cgo pkg-config: gdal
// #include <stdlib.h>
// #include "cpl_vsi.h"
import "C"

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"unsafe"
)

// noRoom adds [syscall.ENOSPC] to an error of GDAL's in writing a file of up to most
// bytes, where that is for want of room: the words in which versions of GDAL say so
// differ, and some say only that writing failed. Where they name another cause, or
// there is room for the file, the error stays as it is.
func noRoom(path string, most int64, err error) error {
	if err == nil || errors.Is(err, syscall.ENOSPC) {
		return err
	}
	said := strings.ToLower(err.Error())
	says := func(words string) bool { return strings.Contains(said, strings.ToLower(words)) }
	switch {
	case slices.ContainsFunc([]string{syscall.ENOSPC.Error(), "disk is full", "disk full"}, says):
	case slices.ContainsFunc(otherCauses, says):
		return err
	default:
		if free := freeBytes(filepath.Dir(path)); free < 0 || free > most+leastRoom {
			return err
		}
	}
	return fmt.Errorf("%w (%w)", syscall.ENOSPC, err)
}

// otherCauses are the system's words for why else a file cannot be written.
var otherCauses = []string{
	syscall.EACCES.Error(), syscall.EPERM.Error(), syscall.ENOENT.Error(), syscall.EROFS.Error(), syscall.EFBIG.Error(), syscall.EIO.Error(),
	syscall.ENOTDIR.Error(), syscall.EISDIR.Error(), syscall.EMFILE.Error(), syscall.ENOMEM.Error(),
}

// leastRoom is what a writer may want beside a file's own bytes.
const leastRoom = 1 << 20

// freeBytes is what a program may still write into a folder; -1 where that cannot be
// told.
func freeBytes(dir string) int64 {
	name := C.CString(dir)
	defer C.free(unsafe.Pointer(name))
	return int64(C.VSIGetDiskFreeSpace(name))
}

// mostBytes is more than a file of cells with overviews takes, whole or in parts on the
// way.
func (h Header) mostBytes(cellBytes int) int64 {
	return 2 * int64(h.Cols) * int64(h.Rows) * int64(cellBytes)
}
