package sheet

import (
	"compress/zlib"
	"encoding/binary"
	"hash/crc32"
	"image"
	"io"
)

// writePNG writes an opaque image as a PNG of 8-bit RGB (W3C PNG, third
// edition). Rows are not filtered: hatching repeats the same colours again and
// again, which deflate finds as they are; trying the five filters on every row,
// as image/png does, takes twice the time for a larger file.
func writePNG(w io.Writer, img *image.RGBA) error {
	width, height := img.Rect.Dx(), img.Rect.Dy()
	head := make([]byte, 13)
	binary.BigEndian.PutUint32(head, uint32(width))
	binary.BigEndian.PutUint32(head[4:], uint32(height))
	head[8], head[9] = 8, 2 // bits a sample, RGB; deflate, no interlace

	if _, err := io.WriteString(w, "\x89PNG\r\n\x1a\n"); err != nil {
		return err
	}
	if err := writeChunk(w, "IHDR", head); err != nil {
		return err
	}
	data := &dataChunks{w: w}
	z, err := zlib.NewWriterLevel(data, zlib.BestSpeed)
	if err != nil {
		return err
	}
	line := make([]byte, 1+3*width) // its first byte: not filtered
	for y := range height {
		from := img.Pix[y*img.Stride:][:4*width]
		to := line[1:]
		for len(from) >= 4 && len(to) >= 3 {
			to[0], to[1], to[2] = from[0], from[1], from[2]
			from, to = from[4:], to[3:]
		}
		if _, err := z.Write(line); err != nil {
			return err
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	if err := data.flush(); err != nil {
		return err
	}
	return writeChunk(w, "IEND", nil)
}

// dataChunks writes what it is given as IDAT chunks of a moderate size.
type dataChunks struct {
	w    io.Writer
	held []byte
}

func (d *dataChunks) Write(p []byte) (int, error) {
	const size = 64 << 10
	d.held = append(d.held, p...)
	if len(d.held) < size {
		return len(p), nil
	}
	return len(p), d.flush()
}

func (d *dataChunks) flush() error {
	err := writeChunk(d.w, "IDAT", d.held)
	d.held = d.held[:0]
	return err
}

func writeChunk(w io.Writer, kind string, data []byte) error {
	chunk := make([]byte, 0, 12+len(data))
	chunk = binary.BigEndian.AppendUint32(chunk, uint32(len(data)))
	chunk = append(append(chunk, kind...), data...)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	_, err := w.Write(chunk)
	return err
}
