package lots

import (
	"context"
	"errors"
	"fmt"
	"syscall"
	"time"
)

// work maps the shard's lots that have no record.
func (r *run) work(found reading) error {
	from, to := r.Shard.part(len(r.spool.spots))
	todo, err := r.todo(r.spool.spots[from:to])
	if err != nil {
		return err
	}
	job := r.Job
	job.Entries, job.SurfaceEntries, job.Lent = found.Entries, found.Surface, found.Lent
	text, err := job.encode()
	if err != nil {
		return err
	}
	workers := min(r.Workers, max(1, len(todo)))
	k := &crew{
		child: r.Child, job: text, limit: r.Limit, log: r.Log, queue: newQueue(len(todo), workers),
		lot:  func(i int) (frame, error) { return r.spool.lot(todo[i]) },
		done: r.done,
	}
	r.Log.Info("mapping", "lots", len(todo), "finished before", r.result.Again, "workers", workers)
	err = r.watchOver(k, workers)
	changed := r.checkRasters(found)
	r.result.Restarts, r.result.BlocksDecoded, r.result.BlocksTouched = k.restarts, k.counts.Decoded, k.counts.Touched
	r.result.Lots, r.result.Failed = r.journal.counts()
	r.Log.Info("mapped", "lots", r.result.Lots, "failed", r.result.Failed, "workers died", k.restarts,
		"blocks decoded", k.counts.Decoded, "blocks touched", k.counts.Touched, "seconds", time.Since(r.began).Seconds())
	switch {
	case changed != nil:
		return errors.Join(changed, err)
	case err != nil:
		return fmt.Errorf("%w; %d lots are kept: start again to go on", err, r.result.Lots)
	case r.result.Lots < to-from:
		return fmt.Errorf("%w with %d of %d lots finished; start again to go on", ErrStopped, r.result.Lots, to-from)
	}
	return nil
}

// watchOver has the workers do their work, puts what they finish on the disk, and
// stops them when it is told to.
func (r *run) watchOver(k *crew, workers int) error {
	until, end := context.WithCancel(context.Background())
	defer end()
	go r.keepFlushed(until)
	undoSoon := context.AfterFunc(r.stop.Soon, k.queue.close)
	defer undoSoon()
	undoNow := context.AfterFunc(r.stop.Now, k.stopNow)
	defer undoNow()
	return errors.Join(k.run(workers), r.journal.flush())
}

// todo lists the places of lots that are to be mapped, and records those that
// cannot be.
func (r *run) todo(spots []spot) (todo []uint32, err error) {
	failed := 0
	for _, s := range spots {
		at, finished := r.journal.finished(int(s.place))
		switch {
		case finished && !(at.failed && r.RetryFailed):
			r.result.Again++
			if at.failed {
				failed++
			}
		case r.spool.bad[s.place] != nil: // now, perhaps of another reason
			f, err := r.spool.failure(s.place)
			if err == nil {
				err = r.done(f)
			}
			if err != nil {
				return nil, err
			}
			failed++
		default:
			todo = append(todo, s.place)
		}
	}
	r.watch.step("mapping", len(spots)-len(todo), len(spots), failed)
	return todo, nil
}

// done keeps the record of a lot. One that is too large for the journal is kept as failed.
// Where the disk has no room the run ends: the lots at work have no record then, and are
// mapped when it goes on.
func (r *run) done(f frame) error {
	err := r.journal.add(f)
	if errors.As(err, new(errTooLarge)) {
		var head record
		if e := f.parseHead(&head); e != nil {
			return e
		}
		if f, err = failed(f.place, head.Lot, head.Notes, nil, &Fault{"its zones cannot be kept: " + err.Error(), "split the lot, or use a coarser raster"}); err == nil {
			err = r.journal.add(f)
		}
	}
	if errors.Is(err, syscall.ENOSPC) {
		return fmt.Errorf("%w; free some space there", err)
	}
	if err != nil {
		return err
	}
	if f.kind == kindFailed {
		r.logFailed(f)
	}
	r.watch.done(f.kind == kindFailed)
	return nil
}

func (r *run) logFailed(f frame) {
	var head record
	if f.parseHead(&head) == nil && head.Fault != nil {
		r.Log.Warn("a lot failed", "lot", head.Lot, "place", f.place, "why", head.Fault.Reason)
	}
}

// flushEvery is how much work a power cut can cost.
const flushEvery = time.Second

func (r *run) keepFlushed(until context.Context) {
	tick := time.NewTicker(flushEvery)
	defer tick.Stop()
	for {
		select {
		case <-until.Done():
			return
		case <-tick.C:
			if err := r.journal.flush(); err != nil {
				r.Log.Error("the journal cannot be put on the disk", "why", err.Error())
			}
		}
	}
}
