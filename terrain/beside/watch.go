package beside

import "context"

// Units is how many units of work are done at most between two looks at a context. A
// unit is a cell that is looked at once: some ten to a hundred nanoseconds.
const Units = 1 << 16

// Watch looks at a context while work is done. It belongs to one goroutine; the zero
// Watch, and a nil one, never end.
type Watch struct {
	ctx  context.Context
	left int
}

// NewWatch watches a context; nil never ends.
func NewWatch(ctx context.Context) *Watch {
	if ctx == nil {
		return &Watch{}
	}
	w := &Watch{ctx: ctx, left: Units}
	w.look()
	return w
}

// Did says that units of work were done, or are about to be. Once the context is done it
// ends the work by a panic, which [Ended] turns into the context's error where the work
// was begun: loops deep in the work need not pass it up by hand.
func (w *Watch) Did(units int) {
	if w == nil || w.ctx == nil {
		return
	}
	if w.left -= units; w.left <= 0 {
		w.left = Units
		w.look()
	}
}

// Another is a watch of the same context for another goroutine.
func (w *Watch) Another() *Watch {
	if w == nil || w.ctx == nil {
		return nil
	}
	return NewWatch(w.ctx)
}

func (w *Watch) look() {
	if err := w.ctx.Err(); err != nil {
		panic(&ended{err})
	}
}

// ended is the panic of work that nobody waits for.
type ended struct{ error }

// Ended is deferred where work that is watched was begun: it sets err to the context's
// error if that ended the work. Any other panic goes on.
func Ended(err *error) {
	switch p := recover().(type) {
	case nil:
	case *ended:
		*err = p.error
	default:
		panic(handedOn(p))
	}
}
