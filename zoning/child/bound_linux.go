package child

import (
	"bytes"
	"fmt"
	"os"
	"runtime/debug"
	"strconv"
	"syscall"
)

// Bound keeps this process from taking more than memory bytes beyond what it has mapped
// by now, from writing files of more than file bytes, and from leaving a core file. What
// asks for more is refused it, and mostly ends.
func Bound(memory, file int64) error {
	// The runtime has reserved address space already, most of which it never uses.
	text, err := os.ReadFile("/proc/self/statm")
	if err != nil {
		return fmt.Errorf("its memory cannot be bounded: %w", err)
	}
	first, _, _ := bytes.Cut(text, []byte(" "))
	pages, err := strconv.ParseInt(string(first), 10, 64)
	if err != nil {
		return fmt.Errorf("its memory cannot be bounded: %w", err)
	}
	for what, most := range map[int]uint64{
		syscall.RLIMIT_AS: uint64(pages*int64(os.Getpagesize()) + memory), syscall.RLIMIT_FSIZE: uint64(file), syscall.RLIMIT_CORE: 0,
	} {
		if err := syscall.Setrlimit(what, &syscall.Rlimit{Cur: most, Max: most}); err != nil {
			return fmt.Errorf("it cannot be bounded: %w", err)
		}
	}
	debug.SetMemoryLimit(memory / 2) // garbage must not fill it
	return nil
}
