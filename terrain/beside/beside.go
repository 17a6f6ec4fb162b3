// Package beside runs work beside its caller, where there is a processor for it, and lets
// it end once nobody waits for it.
//
// With one processor goroutines gain nothing. Where their caller is tied to its thread,
// as those that ask PROJ are, each costs two switches between threads: a sixth of the
// time of an acre lot.
package beside

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
)

// Group is work that is done beside its caller. The zero Group is ready for use.
//
// A panic in the work is the caller's to recover: Wait hands it on.
type Group struct {
	all      sync.WaitGroup
	mu       sync.Mutex
	panicked any
}

// Go does work, beside its caller or before it returns.
func (g *Group) Go(work func()) {
	kept := func() {
		defer g.keep()
		work()
	}
	if runtime.GOMAXPROCS(0) == 1 {
		kept()
		return
	}
	g.all.Go(kept)
}

// keep keeps the first panic of the work; one that says what is wrong goes before one
// that ends work nobody waits for.
func (g *Group) keep() {
	p := recover()
	if p == nil {
		return
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	if _, ended := g.panicked.(*ended); g.panicked == nil || ended {
		g.panicked = handedOn(p)
	}
}

// Wait waits until all of it is done. Where some of it panicked, Wait does, with a [*Panic].
// It may be called again, as by a defer that leaves no work behind a panic of the caller.
func (g *Group) Wait() {
	g.all.Wait()
	g.mu.Lock()
	p := g.panicked
	g.panicked = nil
	g.mu.Unlock()
	if p != nil {
		panic(p)
	}
}

// Panic is a panic of work that was done beside its caller.
type Panic struct {
	Value any
	Stack []byte // of the goroutine that panicked
}

func (p *Panic) Error() string { return fmt.Sprintf("%v\n\n%s", p.Value, p.Stack) }

// Unwrap is the error that the work panicked with, if it was one.
func (p *Panic) Unwrap() error {
	err, _ := p.Value.(error)
	return err
}

func handedOn(p any) any {
	switch p.(type) {
	case *Panic, *ended:
		return p
	}
	return &Panic{p, debug.Stack()}
}
