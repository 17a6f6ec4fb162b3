package osm

import (
	"bufio"
	"bytes"
	"compress/zlib"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"
)

// The most that a block may take, by the format: of its header, and of its data, packed or not.
const (
	mostHead  = 64 << 10
	mostBlock = 32 << 20
)

// pbf reads the packed form of an extract, block after block.
type pbf struct {
	in    *bufio.Reader
	blob  bytes.Buffer // as it lies in the file
	raw   bytes.Buffer // unpacked
	block block
	asOf  string
	found bool // a header
}

// walkPBF calls visit for each element that is wanted, in the order of the file.
func walkPBF(ctx context.Context, r io.Reader, want wanted, visit func(*element) error) (asOf string, err error) {
	p := &pbf{in: bufio.NewReaderSize(r, 1<<16)}
	p.block.want = want
	for {
		if err := ctx.Err(); err != nil {
			return "", err
		}
		name, data, err := p.next()
		if errors.Is(err, io.EOF) {
			if !p.found {
				return "", errors.New("holds no header of an OpenStreetMap extract")
			}
			return p.asOf, nil
		}
		if err != nil {
			return "", err
		}
		switch name {
		case "OSMHeader":
			err = p.header(data)
		case "OSMData":
			err = p.block.read(data, visit)
		}
		if err != nil {
			return "", err
		}
	}
}

var errCut = errors.New("is cut off or damaged: fetch it again")

// next reads a block and unpacks it; what it returns is good until the next is read.
func (p *pbf) next() (name string, data []byte, err error) {
	var size [4]byte
	if _, err := io.ReadFull(p.in, size[:]); err != nil {
		if errors.Is(err, io.ErrUnexpectedEOF) {
			err = errCut
		}
		return "", nil, err
	}
	n := binary.BigEndian.Uint32(size[:])
	if n > mostHead {
		return "", nil, fmt.Errorf("is damaged: the header of a block says that it has %d bytes, and %d are the most", n, mostHead)
	}
	head, err := p.read(int64(n))
	if err != nil {
		return "", nil, err
	}
	bytesOfBlock := int64(-1)
	err = fields(head, func(field int, v uint64, b []byte) error {
		switch field {
		case 1:
			name = string(b)
		case 3:
			bytesOfBlock = int64(int32(v))
		}
		return nil
	})
	if err != nil {
		return "", nil, err
	}
	if bytesOfBlock < 0 || bytesOfBlock > mostBlock {
		return "", nil, fmt.Errorf("is damaged: a block says that it has %d bytes, and %d are the most", bytesOfBlock, mostBlock)
	}
	blob, err := p.read(bytesOfBlock)
	if err != nil {
		return "", nil, err
	}
	data, err = p.unpack(blob)
	return name, data, err
}

// read takes no more memory than the file has bytes, whatever it says of itself.
func (p *pbf) read(n int64) ([]byte, error) {
	p.blob.Reset()
	if got, err := io.CopyN(&p.blob, p.in, n); got < n {
		if err == nil || errors.Is(err, io.EOF) {
			err = errCut
		}
		return nil, err
	}
	return p.blob.Bytes(), nil
}

// unpack is the data of a blob.
func (p *pbf) unpack(blob []byte) ([]byte, error) {
	var data, zipped []byte
	other, has := 0, false
	err := fields(blob, func(field int, _ uint64, b []byte) error {
		switch field {
		case 1:
			data, has = b, true
		case 3:
			zipped = b
		case 4, 5, 6, 7:
			other = field
		}
		return nil
	})
	switch {
	case err != nil || has:
		return data, err
	case zipped == nil && other != 0:
		return nil, errors.New("is packed in a way that is not read here: write it again packed with zlib")
	case zipped == nil:
		return nil, errWire
	}
	z, err := zlib.NewReader(bytes.NewReader(zipped))
	if err != nil {
		return nil, errCut
	}
	p.raw.Reset()
	n, err := io.Copy(&p.raw, io.LimitReader(z, mostBlock+1))
	if err != nil {
		return nil, errCut
	}
	if n > mostBlock {
		return nil, fmt.Errorf("is damaged: a block unpacks to more than %d bytes", mostBlock)
	}
	return p.raw.Bytes(), nil
}

// known are the features that a reader must know to read a file rightly.
var known = []string{"OsmSchema-V0.6", "DenseNodes"}

func (p *pbf) header(data []byte) error {
	p.found = true
	return fields(data, func(field int, v uint64, b []byte) error {
		switch field {
		case 4:
			if string(b) == "HistoricalInformation" {
				return errors.New("holds the history of the map: give an extract of the map as it is at one time")
			}
			if !slices.Contains(known, string(b)) {
				return fmt.Errorf("asks its reader for %.40q, which is not known here", b)
			}
		case 32:
			if v > 0 && v < 1<<33 {
				p.asOf = time.Unix(int64(v), 0).UTC().Format(time.DateOnly)
			}
		}
		return nil
	})
}
