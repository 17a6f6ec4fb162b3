package page

import (
	"bytes"
	"io"
	"os"
	"time"
	"unsafe"

	"github.com/acreband/acreband/zoning/child"
)

// nowhere is an address at which nothing lies: to touch it is what a fault in C does.
var nowhere uintptr = 0xdead0000

var eaten [][]byte

// misbehave is where a reader answers to; one that is to do something bad does it before it has
// sent anything.
func misbehave(does string) io.Writer {
	switch does {
	case "faults":
		return instead(func() {
			go func() { _ = *(*byte)(*(*unsafe.Pointer)(unsafe.Pointer(&nowhere))) }() // where nothing recovers it, as in C
			time.Sleep(time.Hour)
		})
	case "hangs":
		return instead(func() { time.Sleep(time.Hour) })
	case "eats":
		return instead(func() {
			for {
				b := make([]byte, 16<<20)
				for i := 0; i < len(b); i += 4096 {
					b[i] = 1
				}
				eaten = append(eaten, b)
			}
		})
	case "is killed":
		return instead(func() {
			self, _ := os.FindProcess(os.Getpid())
			_ = self.Kill()
			time.Sleep(time.Hour)
		})
	case "babbles":
		return instead(func() {
			for {
				_, _ = os.Stdout.Write(bytes.Repeat([]byte{0x7f}, 1<<20))
			}
		})
	case "lies":
		return instead(func() {
			message := append(make([]byte, child.PrefixBytes), "no reading at all"...)
			child.Seal(message)
			_, _ = os.Stdout.Write(message)
			time.Sleep(time.Hour)
		})
	}
	return os.Stdout
}

// instead does something instead of writing.
type instead func()

func (b instead) Write([]byte) (int, error) { b(); return 0, nil }
