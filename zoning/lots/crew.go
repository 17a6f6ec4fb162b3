package lots

import (
	"log/slog"
	"os/exec"
	"runtime/debug"
	"sync"
	"time"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/raster"
)

// crew is the workers of a run and what they share.
type crew struct {
	child func() *exec.Cmd
	job   []byte
	limit time.Duration
	log   *slog.Logger
	queue *queue
	lot   func(i int) (frame, error) // the ith lot of the order
	done  func(record frame) error   // takes a record, from any goroutine

	mu       sync.Mutex
	running  map[*process]bool
	stopped  bool // at once
	failure  error
	counts   raster.CacheCounts
	restarts int
}

// run works off the queue. A panic of what drives a worker ends the run with a
// [beside.Panic].
func (c *crew) run(workers int) error {
	c.running = map[*process]bool{}
	var all sync.WaitGroup
	for i := range workers {
		all.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					c.fail(&beside.Panic{Value: p, Stack: debug.Stack()})
				}
			}()
			h := &hand{crew: c, number: i}
			if err := h.work(); err != nil {
				c.fail(err)
			}
		})
	}
	all.Wait()
	return c.failure
}

// fail ends the run with an error, the first of which counts.
func (c *crew) fail(err error) {
	c.queue.close()
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.failure == nil {
		c.failure = err
	}
}

// stopNow kills the workers.
func (c *crew) stopNow() {
	c.queue.close()
	c.mu.Lock()
	defer c.mu.Unlock()
	c.stopped = true
	for p := range c.running {
		p.Kill()
	}
}

func (c *crew) isStopped() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.stopped
}

// count notes the death of a worker at the ith lot of the order.
func (c *crew) count(err error, i int) {
	c.mu.Lock()
	c.restarts++
	c.mu.Unlock()
	place := 0
	if lot, e := c.lot(i); e == nil {
		place = lot.place
	}
	c.log.Warn("a worker died", "at", place, "of", err.Error())
}
