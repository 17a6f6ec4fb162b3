package textfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
)

// Limits are the most that a kind of file may hold; 0 sets none.
type Limits struct {
	Bytes  int64
	Tokens int // signs of structure, in all
	Each   int // and in one thing of the outermost list, of which there may be many
	Depth  int // of nesting
}

// TooMuch is why a file is not parsed.
type TooMuch struct {
	Line int    // from 1; 0 where the file is too large as a whole
	What string // more than which limit
}

// Error says the line and the limit.
func (e *TooMuch) Error() string {
	if e.Line == 0 {
		return e.What
	}
	return fmt.Sprintf("line %d: %s", e.Line, e.What)
}

// Read reads a file whole, or says that it is too large before it takes more memory than
// the limit.
func (l Limits) Read(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return l.ReadAll(f)
}

// ReadAll is [Limits.Read] of an open file.
func (l Limits) ReadAll(f io.Reader) ([]byte, error) {
	if err := l.check(f); err != nil {
		return nil, err
	}
	if l.Bytes == 0 {
		return io.ReadAll(f)
	}
	text, err := io.ReadAll(io.LimitReader(f, l.Bytes+1))
	if err != nil {
		return nil, err
	}
	return text, l.checkSize(int64(len(text)))
}

// check returns why nothing can be read within the limits: they are less than none, or
// there is nothing to read from.
func (l Limits) check(r io.Reader) error {
	if min(l.Bytes, int64(l.Tokens), int64(l.Each), int64(l.Depth)) < 0 {
		return fmt.Errorf("limits of %d bytes, %d signs, %d in one thing and %d deep; write 0 or more, 0 for none", l.Bytes, l.Tokens, l.Each, l.Depth)
	}
	if r == nil {
		return errors.New("there is no file to read")
	}
	return nil
}

func (l Limits) checkSize(bytes int64) error {
	if l.Bytes > 0 && bytes > l.Bytes {
		return &TooMuch{What: "the file is larger than " + sizeText(l.Bytes)}
	}
	return nil
}

// sizeText writes a limit in bytes for people.
func sizeText(bytes int64) string {
	switch {
	case bytes%(1<<30) == 0:
		return fmt.Sprintf("%d GB", bytes>>30)
	case bytes%(1<<20) == 0:
		return fmt.Sprintf("%d MB", bytes>>20)
	case bytes%(1<<10) == 0:
		return fmt.Sprintf("%d kB", bytes>>10)
	}
	return fmt.Sprintf("%d bytes", bytes)
}

// JSON looks at JSON text.
func (l Limits) JSON(text []byte) error { return l.JSONFrom(bytes.NewReader(text)) }

// JSONFrom looks at JSON text as it is read.
func (l Limits) JSONFrom(r io.Reader) error { return l.scan(r, &jsonText{}) }

// XML looks at XML text. It refuses entities that the text itself declares, by which a
// few lines unfold to gigabytes.
func (l Limits) XML(text []byte) error { return l.XMLFrom(bytes.NewReader(text)) }

// XMLFrom looks at XML text as it is read.
func (l Limits) XMLFrom(r io.Reader) error { return l.scan(r, &xmlText{}) }

// YAML looks at YAML text. A sign counts wherever it stands, in quotes and comments too,
// so give a limit that prose stays below.
func (l Limits) YAML(text []byte) error { return l.scan(bytes.NewReader(text), yamlText{}) }

// Table looks at comma-separated values. Commas and line ends count wherever they stand.
func (l Limits) Table(text []byte) error { return l.scan(bytes.NewReader(text), tableText{}) }

// language knows the signs of a kind of text.
type language interface {
	// next takes a byte. It tells of a sign of structure, by how much what follows is
	// deeper, and what of the text is refused.
	next(c byte) (sign bool, deeper int, refused string)
}

// outermost is the depth at which the things of the outermost list stand, such as the lots
// of a county.
const outermost = 2

func (l Limits) scan(r io.Reader, text language) error {
	if err := l.check(r); err != nil {
		return err
	}
	var buf [8 << 10]byte
	c := count{limits: l, line: 1}
	size := int64(0)
	for {
		n, err := r.Read(buf[:])
		size += int64(n)
		if tooLarge := l.checkSize(size); tooLarge != nil {
			return tooLarge
		}
		for _, b := range buf[:n] {
			if b == '\n' {
				c.line++
			}
			if tooMuch := c.add(text.next(b)); tooMuch != "" {
				return &TooMuch{c.line, tooMuch}
			}
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
	}
}

// count is how much of a text there is so far.
type count struct {
	limits                    Limits
	tokens, each, depth, line int
}

// add counts what a byte means, and says what there is too much of; "" where nothing is.
func (c *count) add(sign bool, deeper int, refused string) string {
	if refused != "" {
		return refused
	}
	if sign {
		c.tokens++
		c.each++
	}
	c.depth = max(0, c.depth+deeper)
	if deeper < 0 && c.depth <= outermost {
		c.each = 0
	}
	switch l := c.limits; {
	case l.Depth > 0 && c.depth > l.Depth:
		return fmt.Sprintf("more than %d brackets or elements lie inside each other", l.Depth)
	case l.Tokens > 0 && c.tokens > l.Tokens:
		return fmt.Sprintf("the file has more than %d values and signs", l.Tokens)
	case l.Each > 0 && c.each > l.Each:
		return fmt.Sprintf("one thing in it has more than %d values and signs", l.Each)
	}
	return ""
}
