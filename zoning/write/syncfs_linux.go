package write

import (
	"os"

	"golang.org/x/sys/unix"
)

// syncDisk puts all of the disk that a file is on where it belongs, which for thousands of
// files takes a small part of the time that each alone takes.
func syncDisk(f *os.File) (done bool, err error) { return true, unix.Syncfs(int(f.Fd())) }
