//go:build unix

package cluster

import (
	"os/exec"
	"syscall"
)

// ownGroup makes a process the first of a group of its own.
func ownGroup() *syscall.SysProcAttr { return &syscall.SysProcAttr{Setpgid: true} }

// killGroup kills a group that ownGroup began.
func killGroup(cmd *exec.Cmd) { _ = syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) } // it may be gone
