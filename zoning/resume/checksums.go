package resume

import (
	"context"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"os"
)

// wholeBytes is how much of its rasters a run reads through to know them again: a folder of
// terabytes cannot be before each run.
const wholeBytes = 1 << 30

// checksums are those of whole files, as far as they fit into what is left to be read.
type checksums struct {
	left  int64
	known map[string]string // by path: many rasters may lie in one zip
}

// of is the checksum of a file (CRC-32C: with the size and the digest of samples, which are
// compared too, it need only notice what was not meant to deceive); "" where too much would
// have to be read.
func (c *checksums) of(ctx context.Context, path string, size int64) (sum string, err error) {
	if sum, ok := c.known[path]; ok {
		return sum, nil
	}
	if size > c.left {
		return "", nil
	}
	c.left -= size
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	h := crc32.New(crc32.MakeTable(crc32.Castagnoli))
	if _, err := io.CopyBuffer(struct{ io.Writer }{h}, watched{ctx, f}, make([]byte, 1<<18)); err != nil {
		return "", errors.Join(err, f.Close())
	}
	sum = fmt.Sprintf("%08x", h.Sum32())
	if c.known == nil {
		c.known = map[string]string{}
	}
	c.known[path] = sum
	return sum, f.Close()
}

// watched is a reader that looks at a context before each reading.
type watched struct {
	ctx context.Context
	io.Reader
}

func (w watched) Read(b []byte) (int, error) {
	if err := w.ctx.Err(); err != nil {
		return 0, err
	}
	return w.Reader.Read(b)
}
