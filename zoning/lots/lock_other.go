//go:build !unix

package lots

import "os"

// canLock reports whether lock keeps others out.
const canLock = false

// lock does nothing here: two runs in one folder are the user's to keep apart.
func lock(*os.File) error { return nil }

func unlock(*os.File) error { return nil }
