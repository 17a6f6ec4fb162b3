//go:build !linux

package write

import "os"

// syncDisk does nothing here: files are synced one by one.
func syncDisk(*os.File) (done bool, err error) { return false, nil }
