//go:build !unix

package lots

import "os"

// lock does nothing here: two runs in one folder are the user's to keep apart.
func lock(*os.File) error { return nil }
