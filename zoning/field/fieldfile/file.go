package fieldfile

import (
	"bytes"
	"errors"
	"io/fs"
	"os"

	"github.com/acreband/acreband/terrain/textfile"
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
	data, err := textfile.Limits{Bytes: MaxBytes}.ReadAll(f)
	var much *textfile.TooMuch
	if errors.As(err, &much) {
		return nil, tooMuch(path, much)
	}
	if err != nil {
		return nil, unreadable(path, err)
	}
	return data, nil
}

// Limits of what is parsed. A month of a receiver's spots is a tenth of it.
var (
	tableLimits = textfile.Limits{Tokens: 1 << 20}
	xmlLimits   = textfile.Limits{Tokens: 1 << 24, Depth: 32}
	jsonLimits  = textfile.Limits{Tokens: 1 << 23, Depth: 32}
)

// parsable looks at text before it is parsed.
func parsable(file string, look func([]byte) error, data []byte) error {
	var much *textfile.TooMuch
	if errors.As(look(data), &much) {
		return tooMuch(file, much)
	}
	return nil
}

func tooMuch(file string, much *textfile.TooMuch) *Error {
	return Refuse(file, much.Line, "give the part of it that belongs to this job, exported anew", "%s", much.What)
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

// lines tells the lines of places in a file that follow each other, without counting
// from the beginning each time.
type lines struct {
	data   []byte
	offset int
	before int // line ends before offset
}

// at is the line, from 1, of a place in the file.
func (l *lines) at(offset int64) int {
	to := int(min(max(offset, 0), int64(len(l.data))))
	if to < l.offset {
		l.offset, l.before = 0, 0
	}
	l.before += bytes.Count(l.data[l.offset:to], []byte("\n"))
	l.offset = to
	return 1 + l.before
}
