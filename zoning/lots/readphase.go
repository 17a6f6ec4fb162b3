package lots

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os/exec"
	"time"

	"github.com/acreband/acreband/terrain/setting"
)

// readTries is how many readers may die at a lot before it is left out: one may have died of
// something else, such as a lack of memory.
const readTries = 2

// readLots has a process read the boundary file into a spool, and starts it anew where it
// dies, the second time at a lot without that lot.
func readLots(job Job, child func() *exec.Cmd, limit time.Duration, s *spool, stop Stop, tell func(done int), log *slog.Logger) (reading, error) {
	deadly, deaths := map[int]Fault{}, map[int]int{}
	for {
		job.LookedAtBefore = deadly
		r, reached, err := readOnce(job, child, limit, s, stop, tell)
		at := reached.lot
		switch {
		case err == nil:
			return r, nil
		case stop.Soon.Err() != nil:
			return reading{}, ErrStopped
		case errors.As(err, new(*Fault)) || errors.As(err, new(errBroken)):
			return reading{}, err
		}
		log.Warn("the reader died", "at", at, "of", err.Error())
		deaths[at]++
		if deaths[at] < readTries {
			continue
		}
		if at == 0 {
			return reading{}, unreadable(reached.file, err, limit, job.readerBytes())
		}
		if deaths[at] > readTries {
			return reading{}, fmt.Errorf("%s: reading it ended the process after lot %d, which was left out: %w", job.Parcels, at, err)
		}
		deadly[at] = Fault{"reading it ended the process, twice: " + err.Error(), "check its boundary, or draw it again; " + setting.Name("retry-failed") + " reads it again"}
		var late overLimit
		if errors.As(err, &late) {
			deadly[at] = Fault{fmt.Sprintf("reading it took longer than %v, twice", late.limit), "allow it more time (" + setting.Name("lot-timeout") + "), or draw its boundary with fewer corners"}
		} else if errors.Is(err, errMemory) {
			deadly[at] = Fault{fmt.Sprintf("reading it takes more than the %d MB of memory allowed, twice", job.readerBytes()>>20), "draw its boundary with fewer corners"}
		}
	}
}

// unreadable is the fault of a file that ends its reader before the first lot; "" where
// that was none of a stranger's.
func unreadable(file string, err error, limit time.Duration, memory int64) error {
	if file == "" {
		return fmt.Errorf("the process that reads the lots ended before it came to them: %w", err)
	}
	if errors.Is(err, errMemory) {
		return &Fault{fmt.Sprintf("%s: reading it takes more than the %d MB of memory allowed", file, memory>>20), "save it as GeoJSON or GeoPackage, which are read piece by piece, or in parts"}
	}
	if errors.Is(err, errTookTooLong) {
		return &Fault{fmt.Sprintf("%s: it took longer than %v to come to its first lot", file, limit), "allow it more time (" + setting.Name("lot-timeout") + "), or save its lots as a plain table or a file of their own"}
	}
	return &Fault{fmt.Sprintf("%s: reading it ended the process before its first lot: %v", file, err), "it is damaged: save it again from the program it came from"}
}

// reach is how far a reader came.
type reach struct {
	file string // it opened last, of the strangers'; "" before the first
	lot  int    // the place of the lot that it began with last
}

// readOnce reads with one process, from where the spool ends.
func readOnce(job Job, child func() *exec.Cmd, limit time.Duration, s *spool, stop Stop, tell func(done int)) (r reading, at reach, err error) {
	text, err := job.encode()
	if err != nil {
		return r, at, errBroken{err}
	}
	p, err := start(child(), text, asReader, 0)
	if err != nil {
		return r, at, errBroken{err}
	}
	defer func() { _ = p.End() }() // how it ended is known
	undo := killWhen(stop.Soon, p)
	defer undo()
	var place spot
	known := len(s.spots) // read by the one before
	for n := 0; ; {
		f, err := p.receive()
		if err != nil {
			return r, at, err
		}
		switch f.kind {
		case kindReady:
			// The elevation is open, and nobody knows how long that may take.
			p.limit, at.file = limit, string(f.body)
		case kindLook:
			at.lot, p.limit = f.place, limit
			if f.place == 0 {
				p.limit = 0 // to look through the elevation may take long
			}
		case kindSpot:
			if place, err = spotIn(f.body, f.place); err != nil {
				return r, at, err
			}
		case kindLot:
			if n++; n <= known {
				continue
			}
			if err := s.add(f, place); err != nil {
				return r, at, errBroken{err}
			}
			tell(n)
		case kindEnd:
			r, err := decodeReading(f.body)
			return r, at, err
		}
	}
}

// killWhen kills a process when a context ends, until that is undone.
func killWhen(ctx context.Context, p *process) (undo func() bool) {
	return context.AfterFunc(ctx, p.Kill)
}
