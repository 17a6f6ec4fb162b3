package fleet

import "strconv"

// Error is why a fleet file, or a slope, was refused.
type Error struct {
	File    string // as it was given; empty for a slope read on its own
	Line    int    // counted from 1; 0 where the trouble is the whole file
	Problem string // what is wrong, with the value
	Cure    string // what to do about it

	cause error // what the operating system said, if it did
}

// Error writes FILE:LINE: PROBLEM; CURE on one line.
func (e *Error) Error() string {
	s := e.Problem + "; " + e.Cure
	if e.Line > 0 {
		s = strconv.Itoa(e.Line) + ": " + s
		if e.File == "" {
			return "line " + s
		}
		return e.File + ":" + s
	}
	if e.File == "" {
		return s
	}
	return e.File + ": " + s
}

// Unwrap returns what the operating system said, so that errors.Is finds
// fs.ErrNotExist behind a file that is not there.
func (e *Error) Unwrap() error { return e.cause }
