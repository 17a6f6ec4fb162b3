package page

import (
	"context"

	"golang.org/x/sync/semaphore"
)

// atWork bounds the cells of all maps that are being made, and of those that files are
// being made of.
type atWork struct {
	most int64
	left *semaphore.Weighted
}

func newAtWork(l Limits) *atWork {
	return &atWork{int64(l.Cells), semaphore.NewWeighted(int64(l.Cells))}
}

// cellsAtWork are those of one piece of work.
type cellsAtWork struct {
	of *atWork
	n  int64
}

// begin waits for room for as many cells as one map may have: how many are read is
// known only then.
func (a *atWork) begin(ctx context.Context) (*cellsAtWork, error) { return a.take(ctx, a.most) }

// take waits for room for n cells.
func (a *atWork) take(ctx context.Context, n int64) (*cellsAtWork, error) {
	n = min(n, a.most)
	if err := a.left.Acquire(ctx, n); err != nil {
		return nil, err
	}
	return &cellsAtWork{a, n}, nil
}

// keep gives back what is not needed for n cells.
func (c *cellsAtWork) keep(n int) {
	if more := c.n - int64(n); more > 0 {
		c.of.left.Release(more)
		c.n -= more
	}
}

// end gives back all.
func (c *cellsAtWork) end() { c.keep(0) }
