package lots

import "unsafe"

// address is one at which nothing lies.
var address uintptr = 0xdead0000

// fault touches it, which ends the process as a fault in C does.
//
//go:nocheckptr
func fault() byte { return *(*byte)(*(*unsafe.Pointer)(unsafe.Pointer(&address))) }
