//go:build unix

package write

import (
	"errors"
	"os"
	"syscall"
)

// noFollow makes opening a link fail.
const noFollow = syscall.O_NOFOLLOW

// locks says that lock does something.
const locks = true

// lock takes a file or a folder until it is closed, or the process ends. taken says that
// another has it. Disks that know no locks are no error.
func lock(f *os.File, wait bool) (taken bool) {
	how := syscall.LOCK_EX
	if !wait {
		how |= syscall.LOCK_NB
	}
	for {
		err := syscall.Flock(int(f.Fd()), how)
		if !errors.Is(err, syscall.EINTR) {
			return errors.Is(err, syscall.EWOULDBLOCK)
		}
	}
}
