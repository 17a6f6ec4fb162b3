package main

import (
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"github.com/acreband/acreband/zoning/text"
)

// columns is how wide what people read on a terminal is.
const columns = 80

// screen is where a command answers people.
type screen struct {
	out   io.Writer
	color bool
}

func newScreen(out io.Writer) screen { return screen{out, showsColor(out)} }

// unlessData are the streams for people: standard error alone where standard output takes
// data, as with --out -.
func (s streams) unlessData(folder string) streams {
	if folder == "-" {
		return streams{s.err, s.err}
	}
	return s
}

// onTerminal reports whether what is written there is looked at as it comes.
func onTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// showsColor reports whether it is shown in color: on a terminal, unless NO_COLOR is set to
// anything or the terminal is dumb (no-color.org).
func showsColor(w io.Writer) bool {
	return os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" && onTerminal(w)
}

// folded writes paragraphs below an empty line, each after a label and folded to the width of
// a terminal.
func (s screen) folded(label string, paragraphs ...string) error {
	var b strings.Builder
	b.WriteString("\n")
	for i, words := range paragraphs {
		if i > 0 {
			label = strings.Repeat(" ", len(label))
		}
		text.Fold(&b, label, words, columns)
	}
	_, err := io.WriteString(s.out, b.String())
	return err
}
