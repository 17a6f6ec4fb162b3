package lots

import (
	"errors"
	"fmt"

	"github.com/acreband/acreband/terrain/setting"
)

// Tries of a lot that kills its worker, the first among others. One that takes too
// long is tried once less: that is seldom chance.
const tries = 3

// mostStarts is how many workers may die in a row without having answered once.
const mostStarts = 3

// hand is one place for a worker.
type hand struct {
	crew   *crew
	number int

	process *process
	given   []int // lots that were sent and not answered, in order
	again   []int // lots to be sent before any of the queue
	deaths  int   // in a row, without an answer between
}

func (h *hand) work() error {
	defer h.letGo()
	for {
		if err := h.fill(depth); err != nil {
			return err
		}
		if len(h.given) == 0 {
			return h.finish()
		}
		err := h.answer()
		if err == nil {
			continue
		}
		if h.crew.isStopped() {
			return nil
		}
		if err := h.afterDeath(err); err != nil {
			return err
		}
	}
}

// errBroken wraps what only the run as a whole can fail of.
type errBroken struct{ error }

func (e errBroken) Unwrap() error { return e.error }

// fill gives the worker lots until it has n unanswered.
func (h *hand) fill(n int) error {
	for len(h.given) < n {
		i, ok := h.take()
		if !ok {
			return nil
		}
		h.given = append(h.given, i)
		if h.process == nil {
			if err := h.start(); err != nil {
				return err
			}
		}
		lot, err := h.crew.lot(i)
		if err != nil {
			return err
		}
		if h.process.send(lot) != nil {
			return nil // dead, as its answer will say
		}
	}
	return nil
}

func (h *hand) take() (int, bool) {
	if n := len(h.again); n > 0 {
		i := h.again[0]
		h.again = h.again[1:]
		return i, true
	}
	return h.crew.queue.next(h.number)
}

// start starts a worker.
func (h *hand) start() error {
	p, err := start(h.crew.child(), h.crew.job, asWorker, h.crew.limit)
	if err != nil {
		return err
	}
	c := h.crew
	c.mu.Lock()
	c.running[p] = true
	stopped := c.stopped
	c.mu.Unlock()
	h.process = p
	if stopped {
		p.Kill()
	}
	f, err := p.receive()
	if err == nil && f.kind != kindReady {
		err = errTorn
	}
	if err != nil && !c.isStopped() {
		if h.deaths++; h.deaths < mostStarts && !errors.As(err, new(*Fault)) {
			h.letGo()
			return h.start()
		}
		return fmt.Errorf("a worker cannot begin: %w", err)
	}
	return nil
}

// answer waits for the record of the lot given first.
func (h *hand) answer() error {
	f, err := h.process.receive()
	if err != nil {
		return err
	}
	if f.kind != kindMapped && f.kind != kindFailed {
		return errTorn
	}
	h.deaths = 0
	h.given = h.given[1:]
	if err := h.crew.done(f); err != nil {
		return errBroken{err}
	}
	return nil
}

// afterDeath tries the lot that the worker died of alone, and leaves the others
// that it was given for the next.
func (h *hand) afterDeath(err error) error {
	if errors.As(err, new(errBroken)) {
		return err
	}
	suspect := h.given[0]
	h.again = append(h.given[1:], h.again...)
	h.given = nil
	left := tries - 1
	for ; ; left-- {
		h.crew.count(err, suspect)
		h.letGo()
		if errors.Is(err, errTookTooLong) && left == tries-1 {
			left--
		}
		if left == 0 {
			return h.setAside(suspect, err)
		}
		if err = h.alone(suspect); err == nil || errors.As(err, new(errBroken)) {
			return err
		}
		if h.crew.isStopped() {
			return nil
		}
	}
}

// alone gives a new worker one lot and waits for it.
func (h *hand) alone(i int) error {
	if err := h.start(); err != nil {
		return errBroken{err}
	}
	h.given = []int{i}
	lot, err := h.crew.lot(i)
	if err != nil {
		return errBroken{err}
	}
	if err := h.process.send(lot); err != nil {
		h.given = nil
		return h.process.Died(err)
	}
	err = h.answer()
	h.given = nil
	return err
}

// setAside makes a record of a lot that no worker lived through.
func (h *hand) setAside(i int, cause error) error {
	f, err := h.crew.lot(i)
	if err != nil {
		return err
	}
	lot, err := lotOf(f)
	if err != nil {
		return err
	}
	fault := &Fault{"mapping it ended the process, alone too: " + cause.Error(), "check its boundary and the elevation there; if both are sound, this is a fault of the program"}
	var late overLimit
	if errors.As(cause, &late) {
		fault = &Fault{fmt.Sprintf("mapping it took longer than %v, alone too", late.limit), "allow it more time (" + setting.Name("lot-timeout") + "), split the lot, or use a coarser raster"}
	}
	r, err := failedLot(lot, fault)
	if err != nil {
		return err
	}
	return h.crew.done(r)
}

// finish asks the worker what its cache did, when it has nothing left to do.
func (h *hand) finish() error {
	if h.process == nil || h.crew.isStopped() {
		return nil
	}
	if h.process.send(frame{kind: kindEnd}) != nil {
		return nil // it died idle: nothing is lost but its counts
	}
	if f, err := h.process.receive(); err == nil {
		n := countsOf(f.body)
		h.crew.mu.Lock()
		defer h.crew.mu.Unlock()
		h.crew.counts.Touched += n.Touched
		h.crew.counts.Decoded += n.Decoded
		h.crew.counts.Served += n.Served
	}
	return nil
}

// letGo ends the worker.
func (h *hand) letGo() {
	if h.process == nil {
		return
	}
	_ = h.process.End() // how it ended is known, or of no matter
	h.crew.mu.Lock()
	delete(h.crew.running, h.process)
	h.crew.mu.Unlock()
	h.process = nil
}
