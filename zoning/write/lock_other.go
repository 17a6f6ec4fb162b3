//go:build !unix

package write

import "os"

const (
	noFollow = 0
	locks    = false
)

// lock does nothing here: a file that another process has open cannot be taken away, by
// which one at work is known too.
func lock(*os.File, bool) (taken bool) { return false }
