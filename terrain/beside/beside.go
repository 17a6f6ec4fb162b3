// Package beside runs work beside its caller, where there is a processor for it.
//
// With one processor goroutines gain nothing. Where their caller is tied to its thread,
// as those that ask PROJ are, each costs two switches between threads: a sixth of the
// time of an acre lot.
package beside

import (
	"runtime"
	"sync"
)

// Group is work that is done beside its caller. The zero Group is ready for use.
type Group struct{ all sync.WaitGroup }

// Go does work, beside its caller or before it returns.
func (g *Group) Go(work func()) {
	if runtime.GOMAXPROCS(0) == 1 {
		work()
		return
	}
	g.all.Go(work)
}

// Wait waits until all of it is done.
func (g *Group) Wait() { g.all.Wait() }
