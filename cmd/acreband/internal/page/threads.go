package page

import (
	"context"
	"fmt"
	"net/http"
	"runtime"
	"runtime/debug"
)

// threads are a few operating system threads that do all reading and mapping: PROJ
// opens its database anew on every thread that asks it something.
type threads struct {
	work    chan func()
	waiting chan struct{} // one for each request that waits or is worked on
	stop    context.CancelFunc
}

func newThreads(workers, waiting int) *threads {
	ctx, stop := context.WithCancel(context.Background())
	t := &threads{work: make(chan func()), waiting: make(chan struct{}, workers+waiting), stop: stop}
	for range workers {
		go func() {
			runtime.LockOSThread()
			for {
				select {
				case do := <-t.work:
					do()
				case <-ctx.Done():
					return
				}
			}
		}()
	}
	return t
}

// on does work on one of the threads and returns what it gives. Where the context is
// done first it returns at once; what was begun ends by itself, and its result is
// thrown away. A panic comes back as an error.
func on[T any](ctx context.Context, t *threads, work func() (T, error)) (T, error) {
	var none T
	select {
	case t.waiting <- struct{}{}:
	default:
		return none, refuse(http.StatusServiceUnavailable, "too many maps are being made; try again in a moment")
	}
	type result struct {
		value T
		err   error
	}
	done := make(chan result, 1)
	do := func() {
		defer func() { <-t.waiting }()
		var r result
		defer func() { done <- r }()
		defer func() {
			if fault := recover(); fault != nil {
				r.err = fmt.Errorf("panic: %v\n%s", fault, debug.Stack())
			}
		}()
		r.value, r.err = work()
	}
	select {
	case t.work <- do:
	case <-ctx.Done():
		<-t.waiting
		return none, ctx.Err()
	}
	select {
	case r := <-done:
		return r.value, r.err
	case <-ctx.Done():
		return none, ctx.Err()
	}
}
