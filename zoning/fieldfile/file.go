package fieldfile

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
)

// MaxBytes is the largest file that is read.
const MaxBytes = 64 << 20

// Format is what a file is by its first bytes.
type Format int

// Formats.
const (
	CSV Format = iota
	GPX
	GeoJSON
)

// FormatOf tells the format of a file: GeoJSON begins with a brace, GPX with an
// angle bracket, a table with anything else.
func FormatOf(data []byte) Format {
	switch text := bytes.TrimLeft(withoutMark(data), " \t\r\n"); {
	case bytes.HasPrefix(text, []byte("{")):
		return GeoJSON
	case bytes.HasPrefix(text, []byte("<")):
		return GPX
	}
	return CSV
}

// withoutMark leaves out the byte order mark that spreadsheets write.
func withoutMark(data []byte) []byte { return bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")) }

// Read reads a file whole.
func Read(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, unreadable(path, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, MaxBytes+1))
	if err != nil {
		return nil, unreadable(path, err)
	}
	if len(data) > MaxBytes {
		return nil, Refuse(path, 0, "give the part of it that belongs to this job", "the file is larger than %d MB", MaxBytes>>20)
	}
	return data, nil
}

func unreadable(path string, err error) error {
	reason := err
	var at *fs.PathError
	if errors.As(err, &at) {
		reason = at.Err
	}
	e := Refuse(path, 0, "check the path, and that the file may be read", "the file cannot be read: %v", reason)
	e.cause = err
	return e
}

// lineAt is the line, from 1, of a place in a file.
func lineAt(data []byte, offset int64) int {
	return 1 + bytes.Count(data[:min(max(offset, 0), int64(len(data)))], []byte("\n"))
}
