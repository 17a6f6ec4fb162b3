package fieldfile

import (
	"fmt"
	"strconv"
)

// Error is why a file was refused.
type Error struct {
	File    string
	Line    int    // counted from 1; 0 where the trouble is the whole file
	Problem string // what is wrong, with the value
	Cure    string // what to do about it

	cause error // what the operating system said, if it did
}

// Error writes FILE:LINE: PROBLEM; CURE on one line.
func (e *Error) Error() string {
	s := e.File
	if e.Line > 0 {
		s += ":" + strconv.Itoa(e.Line)
	}
	return s + ": " + e.Problem + "; " + e.Cure
}

// Unwrap returns what the operating system said, so that errors.Is finds
// fs.ErrNotExist behind a file that is not there.
func (e *Error) Unwrap() error { return e.cause }

// Refuse makes an error about a line of a file.
func Refuse(file string, line int, cure, problem string, args ...any) *Error {
	return &Error{File: file, Line: line, Problem: fmt.Sprintf(problem, args...), Cure: cure}
}
