package batch

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"
)

// Run maps the lots of a file, going on where an earlier run in the same folder
// stopped, and writes the outputs. A shard leaves its journal and writes none. Where
// it ends before all lots are finished, what was finished is kept.
//
// Lots that fail are no error: they are counted in the result.
func Run(stop Stop, c Config) (Result, error) {
	if err := c.check(); err != nil {
		return Result{}, err
	}
	r := &run{Config: c, stop: stop, began: time.Now()}
	defer r.close()
	err := r.do()
	return r.result, err
}

// run is a run on its way.
type run struct {
	Config
	stop   Stop
	began  time.Time
	result Result

	store   *os.File // of the journal
	spool   *spool
	journal *journal
	watch   *watch
}

func (r *run) close() {
	if r.watch != nil {
		r.watch.end()
	}
	if r.spool != nil {
		r.spool.close()
	}
	if r.store == nil {
		return
	}
	if info, err := r.store.Stat(); err == nil && info.Size() == 0 {
		_ = os.Remove(r.store.Name()) // nothing was begun
	}
	_ = r.store.Close() // what is in it was flushed
}

func (r *run) do() (err error) {
	if r.store, err = r.openStore(); err != nil {
		return err
	}
	kept, err := r.kept()
	if err != nil {
		return err
	}
	if r.watch, err = newWatch(r.Config); err != nil {
		return err
	}
	if r.spool, err = newSpool(r.Dir); err != nil {
		return fmt.Errorf("%s: the lots that are read cannot be kept there: %w", r.Dir, err)
	}
	r.watch.step("reading", 0, 0, 0)
	found, err := readLots(r.Job, r.Child, r.Limit, r.spool, r.stop, r.watch.at, r.Log)
	if err != nil {
		return err
	}
	r.result.Warnings, r.result.Unnamed, r.result.SameName = found.Warnings, r.spool.unnamed, r.spool.sameName
	if err := r.begin(kept, found); err != nil {
		return err
	}
	r.Log.Info("lots read", "lots", len(r.spool.spots), "rasters", len(found.Entries), "seconds", time.Since(r.began).Seconds())
	if err := r.work(found); err != nil {
		return err
	}
	return r.write()
}

// kept is the journal of an earlier start; nil where there is none.
func (r *run) kept() (*journal, error) {
	info, err := r.store.Stat()
	if err != nil {
		return nil, err
	}
	if r.Anew && info.Size() > 0 {
		r.Log.Info("beginning again", "forgotten bytes", info.Size())
		return nil, r.store.Truncate(0)
	}
	if info.Size() == 0 {
		return nil, nil
	}
	j, torn, err := openJournal(r.store.Name(), r.store, true)
	if err == nil && torn > 0 {
		r.Log.Warn("the end of the journal was not whole; those lots are mapped again", "bytes", torn)
	}
	return j, err
}

// begin goes on with a journal that was kept, or begins one.
func (r *run) begin(kept *journal, found reading) error {
	head, err := r.head(found)
	if err != nil {
		return err
	}
	if kept == nil {
		r.journal, err = createJournal(r.store.Name(), r.store, head)
		return err
	}
	r.journal = kept
	return r.sameAs(kept.head, head)
}

// head is the first record of the run's journal.
func (r *run) head(found reading) (journalHead, error) {
	fleet, err := inputsOfFleet(r.Job.Fleet)
	if err != nil {
		return journalHead{}, err
	}
	inputs := append(Inputs{{Name: "the program", Value: r.Version}, r.spool.input()}, r.Settings...)
	inputs = append(append(inputs, fleet...), found.Inputs...)
	return journalHead{Inputs: inputs, Fleet: r.Job.Fleet, Shard: r.Shard, Lots: len(r.spool.spots)}, nil
}

// sameAs refuses to go on with a journal of other inputs.
func (r *run) sameAs(kept, now journalHead) error {
	if changes := now.Inputs.changes(kept.Inputs, true); len(changes) > 0 {
		return fmt.Errorf("%s: what is kept there was %w: %s; name another folder, or begin again with --anew",
			r.Dir, ErrInputs, listed(changes))
	}
	return nil
}

// work maps the shard's lots that have no record.
func (r *run) work(found reading) error {
	sortSpots(r.spool.spots)
	from, to := r.Shard.part(len(r.spool.spots))
	var todo []uint32
	for _, s := range r.spool.spots[from:to] {
		if at, ok := r.journal.finished(int(s.place)); ok && !(at.failed && r.RetryFailed) {
			r.result.Again++
			continue
		}
		todo = append(todo, s.place)
	}
	job := r.Job
	job.Entries = found.Entries
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
	done, failed := r.journal.counts()
	r.watch.step("mapping", done, to-from, failed)
	r.Log.Info("mapping", "lots", len(todo), "finished before", r.result.Again, "workers", workers)
	ending, end := context.WithCancel(context.Background())
	go r.keepFlushed(ending)
	undoSoon := context.AfterFunc(r.stop.Soon, k.queue.close)
	undoNow := context.AfterFunc(r.stop.Now, k.stopNow)
	err = k.run(workers)
	undoSoon()
	undoNow()
	end()
	r.result.Restarts, r.result.BlocksDecoded, r.result.BlocksTouched = k.restarts, k.counts.Decoded, k.counts.Touched
	r.result.Lots, r.result.Failed = r.journal.counts()
	r.Log.Info("mapped", "lots", r.result.Lots, "failed", r.result.Failed, "workers died", k.restarts,
		"blocks decoded", k.counts.Decoded, "blocks touched", k.counts.Touched, "seconds", time.Since(r.began).Seconds())
	if err := errors.Join(err, r.journal.flush()); err != nil {
		return fmt.Errorf("%w; %d lots are kept: start again to go on", err, r.result.Lots)
	}
	if r.result.Lots < to-from {
		return fmt.Errorf("%w with %d of %d lots finished; start again to go on", ErrStopped, r.result.Lots, to-from)
	}
	return nil
}

// done keeps the record of a lot. One for which there is no room is kept as failed,
// which takes little; where there is no room for that either, the run ends.
func (r *run) done(f frame) error {
	if err := r.journal.add(f); err != nil {
		var head record
		if e := f.parseHead(&head); e != nil {
			return e
		}
		r.Log.Error("a lot cannot be kept", "lot", head.Lot, "place", f.place, "why", err.Error())
		lost, e := failed(f.place, head.Lot, head.Notes, &Fault{"its zones cannot be kept: " + err.Error(), "free some space and start again with --retry-failed"})
		if e != nil {
			return e
		}
		if e := r.journal.add(lost); e != nil {
			return e
		}
		f = lost
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

// write makes the outputs.
func (r *run) write() error {
	if r.Shard.N > 0 {
		return nil
	}
	r.watch.step("writing", 0, r.result.Lots, r.result.Failed)
	made, err := assemble(r.Dir, r.Outputs, []*journal{r.journal}, r.watch.at)
	r.result.Failed, r.result.FirstFault = made.Failed, made.FirstFault
	return err
}
