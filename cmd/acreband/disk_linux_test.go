package main

import (
	"os"
	"syscall"

	"github.com/rogpeppe/go-internal/testscript"
)

// disk mounts a disk in memory on a folder, until the script ends: disk DIR SIZE, the size such
// as 300k. Mounted again it has another size.
func disk(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: disk DIR SIZE")
	}
	dir := ts.MkAbs(args[0])
	if syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT, "size="+args[1]) == nil {
		return
	}
	ts.Check(os.MkdirAll(dir, 0o777))
	ts.Check(syscall.Mount("tmpfs", dir, "tmpfs", 0, "size="+args[1]))
	ts.Defer(func() { _ = syscall.Unmount(dir, syscall.MNT_DETACH) })
}

// canMount reports whether this process may mount.
func canMount() bool {
	dir, err := os.MkdirTemp("", "disk")
	if err != nil {
		return false
	}
	defer os.Remove(dir)
	if syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=64k") != nil {
		return false
	}
	return syscall.Unmount(dir, 0) == nil
}
