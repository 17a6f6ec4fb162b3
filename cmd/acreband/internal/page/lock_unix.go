//go:build unix

package page

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// locks says that locked does something.
const locks = true

// locked takes a folder until it is closed or the process ends, and reports whether it did:
// false where another process has it.
func locked(f *os.File) bool {
	for {
		err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		if !errors.Is(err, syscall.EINTR) {
			return err == nil
		}
	}
}

// openOwn opens a folder of this user: where all users write, others may put what they like.
func openOwn(folder string) (*os.File, error) {
	f, err := os.OpenFile(folder, os.O_RDONLY|syscall.O_DIRECTORY|syscall.O_NOFOLLOW, 0)
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	if of, known := info.Sys().(*syscall.Stat_t); !known || int(of.Uid) != os.Geteuid() {
		return nil, errors.Join(fs.ErrPermission, f.Close())
	}
	return f, nil
}
