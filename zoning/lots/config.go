package lots

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"time"

	"github.com/acreband/acreband/zoning/resume"
	"github.com/acreband/acreband/zoning/sheet"
)

// Config is a run over the lots of a boundary file. What it tells is in the units of its job's
// Options.
type Config struct {
	Job     Job
	Version string // of the program: parts of a run and its continuation must share it
	// Settings are the inputs beside lots, fleet and elevation, such as flags.
	Settings resume.Inputs
	// Child makes the command of another process, not started, that calls [Serve].
	Child func() *exec.Cmd

	Dir     string // for the journal and the outputs
	Outputs Outputs
	Workers int           // processes; at least 1
	Limit   time.Duration // for one lot; 0 is none
	Shard   Shard

	Anew        bool // begin again, whatever is kept in Dir
	RetryFailed bool // try lots again that failed

	Log     *slog.Logger   // nil logs nothing
	Tell    func(Progress) // is told how far the run is, a few times a second; may be nil
	Metrics string         // file to keep figures of the run in; "" keeps none
}

// Progress is how far a run is.
type Progress struct {
	Step   string        // what it does: reading, mapping or writing
	Done   int           // of Total lots; those of an earlier start are among them
	Total  int           // 0 where it is not known yet
	Failed int           // among Done
	Rate   float64       // lots a second of this start; 0 where it is not known yet
	Left   time.Duration // to go at that rate; 0 where it is not known
}

// Result is what a run came to.
type Result struct {
	Lots, Failed  int
	Again         int // of Lots, those that an earlier start had finished
	Unnamed       int // lots that the file gives no name
	SameName      int // lots whose name is that of an earlier one
	SameGround    int // lots whose ground is: sums count it again, the plan does not
	Restarts      int // workers that died
	BlocksDecoded int // by all workers of this start
	BlocksTouched int // the sum over its workers of the different blocks each wanted
	Warnings      []string
	FirstFault    string // of the failed lots, the first in the file
	Repairs       Repairs
	Plan          []sheet.Round
}

// Errors of a run, beside those of its inputs and of the disk.
var (
	// ErrStopped says that the run was told to stop. What was finished is kept.
	ErrStopped = errors.New("stopped")
	// ErrBusy says that another run is at work in the folder.
	ErrBusy = errors.New("another run is at work in this folder")
	// ErrParts says that files are not the parts of one run.
	ErrParts = errors.New("these are not the parts of one run")
	// ErrUnfinished says that a part of a run is missing or not finished.
	ErrUnfinished = errors.New("the run is not whole")
)

// Stop says when a run is to stop: Soon lets workers finish what they have begun,
// Now kills them.
type Stop struct{ Soon, Now context.Context }

// journalName is the journal of a run, or of a shard of one.
func journalName(s Shard) string {
	if s.N == 0 {
		return "run.journal"
	}
	return fmt.Sprintf("run-%d-of-%d.journal", s.I, s.N)
}

func (c *Config) check() error {
	switch {
	case c.Workers < 1:
		return fmt.Errorf("%d workers: at least 1 is needed", c.Workers)
	case c.Child == nil:
		return errors.New("no process is given that reads and maps lots: set Child")
	case c.Dir == "":
		return errors.New("no folder is given for the journal and the outputs: set Dir")
	case c.Limit < 0:
		return fmt.Errorf("a limit of %v for one lot: give more than none, or 0 for no limit", c.Limit)
	case c.Shard != (Shard{}) && (c.Shard.N < 1 || c.Shard.I < 1 || c.Shard.I > c.Shard.N):
		return fmt.Errorf("shard %d of %d: write I/N with I from 1 to N", c.Shard.I, c.Shard.N)
	case len(c.Job.Options.Rules) > 0:
		return fmt.Errorf("the rule %q cannot be handed to worker processes, for it is a func: map its lots one by one with mapping.Map", c.Job.Options.Rules[0].Reason.Key)
	}
	if err := c.Job.tellAll(); err != nil {
		return err
	}
	if c.Log == nil {
		c.Log = slog.New(slog.NewTextHandler(io.Discard, nil))
	}
	return nil
}

// openStore opens the journal's file, and makes sure that no one else has it open.
func (c *Config) openStore() (*os.File, error) {
	if err := os.MkdirAll(c.Dir, 0o777); err != nil {
		return nil, fmt.Errorf("%s cannot be made; name another folder: %w", c.Dir, err)
	}
	f, err := os.OpenFile(filepath.Join(c.Dir, journalName(c.Shard)), os.O_CREATE|os.O_RDWR, 0o666)
	if err != nil {
		return nil, fmt.Errorf("the journal of finished lots cannot be kept there; name another folder: %w", err)
	}
	if err := lock(f); err != nil {
		return nil, errors.Join(fmt.Errorf("%s: %w: %v", c.Dir, ErrBusy, err), f.Close())
	}
	return f, nil
}
