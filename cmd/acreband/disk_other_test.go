//go:build !linux

package main

import "github.com/rogpeppe/go-internal/testscript"

func disk(ts *testscript.TestScript, _ bool, _ []string) { ts.Fatalf("no disk can be made here") }

func canMount() bool { return false }
