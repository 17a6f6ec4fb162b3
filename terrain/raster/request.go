package raster

import (
	"context"
	"runtime/debug"

	"github.com/acreband/acreband/terrain/beside"
)

// request is what is asked of a server. GDAL has no way to break one off: once nobody
// waits any more it is left to itself, and ends within the limits of the network.
type request struct {
	answered chan struct{} // of the one that was left; nil where none was
}

// wait runs what asks a server until it ends or the context is done, after what was left
// before. A panic of what asks is its caller's.
func (r *request) wait(ctx context.Context, ask func() error) error {
	if r.open() {
		select {
		case <-r.answered:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	answered := make(chan struct{})
	var err error
	var panicked *beside.Panic
	go func() {
		defer close(answered)
		defer func() {
			if p := recover(); p != nil {
				panicked = &beside.Panic{Value: p, Stack: debug.Stack()}
			}
		}()
		err = ask()
	}()
	select {
	case <-answered:
		r.answered = nil
		if panicked != nil {
			panic(panicked)
		}
		return err
	case <-ctx.Done():
		r.answered = answered
		return ctx.Err()
	}
}

// open reports whether a request was left that may still be at work.
func (r *request) open() bool { return r.answered != nil }

// afterwards does what must wait for a request that was left: at once where there is none.
func (r *request) afterwards(do func()) {
	if !r.open() {
		do()
		return
	}
	go func() {
		<-r.answered
		do()
	}()
}
