package lots

import (
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning/resume"
	"github.com/acreband/acreband/zoning/write"
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
	for _, ctx := range []*context.Context{&stop.Soon, &stop.Now} {
		if *ctx == nil {
			*ctx = context.Background()
		}
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
	files   *write.Files
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
	if r.files != nil {
		r.files.Discard()
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
	shared := ""
	if r.Shard.N > 0 && !r.Anew && !r.RetryFailed && canLock {
		shared = r.readingName()
	}
	kept, err := r.kept()
	if err != nil {
		return err
	}
	if r.watch, err = newWatch(r.Config); err != nil {
		return err
	}
	if r.files, err = write.Begin(r.Dir); err != nil {
		return err
	}
	if kept != nil {
		r.Job.UnreadBefore = kept.head.Sums.unreadPlaces()
	}
	r.watch.step("reading", 0, 0, 0)
	read := r.readAlone
	if shared != "" && len(r.Job.UnreadBefore) == 0 {
		read = func() (reading, error) { return r.readShared(shared, kept) }
	}
	found, err := read()
	if err != nil {
		return err
	}
	r.result.Warnings = slices.Clone(found.Warnings)
	r.result.Unnamed, r.result.SameName, r.result.SameGround = r.spool.unnamed, r.spool.sameName, len(r.spool.sameGround)
	if err := r.begin(kept, found); err != nil {
		return err
	}
	r.Log.Info("lots read", "lots", len(r.spool.spots), "rasters", len(found.Entries), "seconds", time.Since(r.began).Seconds())
	if err := r.work(found); err != nil {
		return err
	}
	return r.write()
}

// readAlone reads the lots for this run only.
func (r *run) readAlone() (reading, error) {
	var err error
	if r.spool, err = newSpool(r.files); err != nil {
		return reading{}, fmt.Errorf("%s: the lots that are read cannot be kept there: %w", r.Dir, err)
	}
	return r.read()
}

// read reads the lots into the spool, and puts them in the order of work.
func (r *run) read() (reading, error) {
	found, err := readLots(r.Job, r.Child, r.Limit, r.spool, r.stop, r.watch.at, r.Log)
	sortSpots(r.spool.spots)
	return found, err
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
	if err != nil {
		return nil, err
	}
	return j, r.sameUnits(j)
}

// sameUnits refuses to go on with a journal that is told in other units: what it holds is words and
// figures of those.
func (r *run) sameUnits(kept *journal) error {
	if was, is := kept.head.Units, r.Job.Options.Units; was != is {
		return fmt.Errorf("%s was %w: it was begun in %s units, and %s units are asked for; go on with %s %s, name another folder, or begin again with %s",
			kept.path, resume.ErrInputs, was, is, setting.Name("units"), was, setting.Name("anew"))
	}
	return nil
}

// begin goes on with a journal that was kept, or begins one.
func (r *run) begin(kept *journal, found reading) error {
	head, err := r.head(found)
	if err != nil {
		return err
	}
	if kept == nil {
		r.tellOld()
		r.journal, err = createJournal(r.store.Name(), r.store, head)
		return err
	}
	r.journal = kept
	if err := r.sameAs(kept.head, head, found.Late); err != nil {
		return err
	}
	if err := r.forgetUnnoted(kept); err != nil {
		return err
	}
	if len(r.Job.UnreadBefore) > 0 { // more is known by now
		return kept.renew(head)
	}
	return nil
}

// forgetUnnoted has lots mapped again that turn out to have the ground of an earlier one:
// they were mapped without a word of it while that one could not be read.
func (r *run) forgetUnnoted(kept *journal) error {
	for _, place := range slices.Sorted(maps.Keys(r.spool.sameGround)) {
		if !r.Job.UnreadBefore[r.spool.sameGround[place]] {
			continue
		}
		if err := kept.forget(int(place)); err != nil {
			return err
		}
	}
	return nil
}

// tellOld warns of outputs in the folder that the run leaves as they are: they are of
// another one.
func (r *run) tellOld() {
	o := r.Outputs
	for _, file := range []struct {
		name    string
		written bool
	}{{tableName, o.Table}, {zonesName, o.Zones}, {packageName, o.Package}, {failedName, o.Failed}, {planName, o.Plan}, {splitName, o.Split}} {
		path := filepath.Join(r.Dir, file.name)
		if _, err := os.Stat(path); err == nil && (!file.written || r.Shard.N > 0) {
			r.result.Warnings = append(r.result.Warnings, path+" is of an earlier run, and this one does not write it: remove it, or name another folder")
		}
	}
}

// head is the first record of the run's journal.
func (r *run) head(found reading) (journalHead, error) {
	fleet, err := resume.OfFleet(r.Job.Fleet)
	if err != nil {
		return journalHead{}, err
	}
	inputs := append(resume.Inputs{{Name: "the program", Value: r.Version}}, r.Settings...)
	inputs = append(append(inputs, fleet...), found.Inputs...)
	return journalHead{Inputs: inputs, Fleet: r.Job.Fleet, Shard: r.Shard, Lots: len(r.spool.spots), Units: r.Job.Options.Units, Surface: r.Job.hasSurface(), Lent: len(found.Lent) > 0, Sums: r.spool.sums}, nil
}

// sameAs refuses to go on with a journal of other inputs. Lots that could not be read tell
// nothing, nor do rasters that only such lots touch, which are late.
func (r *run) sameAs(kept, now journalHead, late []string) error {
	for place, fault := range r.spool.bad {
		if now.Sums[place] == unreadSum && kept.Sums[place] != unreadSum {
			return fmt.Errorf("%s: lot %d of the file was read before and cannot be read now, so that what is kept there cannot be gone on with: %w", r.Dir, place, fault)
		}
	}
	known := map[string]bool{}
	for _, i := range kept.Inputs {
		known[i.Name] = true
	}
	inputs := slices.DeleteFunc(slices.Clone(now.Inputs), func(i resume.Input) bool {
		return !known[i.Name] && i.Path != "" && slices.Contains(late, i.Path)
	})
	changes := append(now.Sums.changes(kept.Sums), inputs.Changes(kept.Inputs, true)...)
	if len(changes) > 0 {
		return fmt.Errorf("%s: what is kept there was %w: %s; name another folder, or begin again with %s",
			r.Dir, resume.ErrInputs, resume.Listed(changes), setting.Name("anew"))
	}
	return nil
}

// write makes the outputs.
func (r *run) write() error {
	if r.Shard.N > 0 {
		return nil
	}
	r.watch.step("writing", 0, r.result.Lots, r.result.Failed)
	r.spool.close()
	made, err := assemble(context.Background(), r.Dir, r.files, r.Outputs, []*journal{r.journal}, r.watch.at)
	r.result.Failed, r.result.FirstFault, r.result.Plan = made.Failed, made.FirstFault, made.Plan
	r.result.Repairs = made.Repairs
	r.result.Warnings = append(r.result.Warnings, made.Warnings...)
	return err
}
