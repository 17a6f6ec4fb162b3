//go:build !unix

package main

import "os"

// waited is the pipe itself: it is not known here how to wait for it otherwise.
func waited(f *os.File) *os.File { return f }
