//go:build !unix

package fetch

import "os"

// lock takes nothing: processes on this system count their requests each for itself.
func lock(*os.File) error { return nil }
