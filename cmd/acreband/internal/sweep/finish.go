package sweep

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/resume"
	"github.com/acreband/acreband/zoning/write"
)

// head is what pieces were made from.
type head struct {
	Inputs resume.Inputs `json:"inputs"`
	Units  measure.Units `json:"units,omitempty"` // of words; none are US
	Done   bool          `json:"done"`            // all outputs were made
}

// begin makes the folder, and refuses to go on with pieces of other inputs.
func (r *run) begin() (head, error) {
	h, err := r.head()
	if err != nil {
		return h, err
	}
	if r.parts, err = write.Begin(r.kept); err != nil {
		return h, err
	}
	text, err := os.ReadFile(filepath.Join(r.kept, headName))
	switch {
	case r.Anew:
		err = r.clear()
	case errors.Is(err, os.ErrNotExist):
		err = nil
	case err == nil:
		var kept head
		if err := json.Unmarshal(text, &kept); err != nil {
			return h, fmt.Errorf("%s is damaged: %w; begin again with --anew", filepath.Join(r.kept, headName), err)
		}
		if kept.Units != h.Units {
			return h, fmt.Errorf("%s: what is kept there was %w: it was begun in %s units, and %s units are asked for; go on with --units %[3]s, name another folder, or begin again with --anew", r.Dir, resume.ErrInputs, kept.Units, h.Units)
		}
		if changes := h.Inputs.Changes(kept.Inputs, true); len(changes) > 0 {
			return h, fmt.Errorf("%s: what is kept there was %w: %s; name another folder, or begin again with --anew", r.Dir, resume.ErrInputs, resume.Listed(changes))
		}
		h.Done = kept.Done
	}
	if err != nil {
		return h, err
	}
	return h, r.keepHead(h)
}

func (r *run) head() (h head, err error) {
	fleet, err := resume.OfFleet(r.Fleet)
	if err != nil {
		return h, err
	}
	elevation, err := resume.OfRasters(context.WithoutCancel(r.stop), "elevation", r.rasters())
	if err != nil {
		return h, err
	}
	h.Units = r.Options.Units
	h.Inputs = slices.Concat(resume.Inputs{{Name: "the program", Value: r.Version}}, r.Settings, fleet, elevation)
	return h, nil
}

// checkRasters refuses to go on where rasters were overwritten while pieces were made of
// them.
func (r *run) checkRasters(h head) error {
	now, err := resume.OfRasters(context.WithoutCancel(r.stop), "elevation", r.rasters())
	if err != nil {
		return err
	}
	var earlier resume.Inputs
	for _, i := range h.Inputs {
		if slices.ContainsFunc(now, func(n resume.Input) bool { return n.Name == i.Name }) {
			earlier = append(earlier, i)
		}
	}
	changes := now.Overwritten(earlier)
	if len(changes) == 0 {
		return nil
	}
	return fmt.Errorf("%s: %w, so that some of the ground rests on the old and some on the new: %s; nothing is written, and the pieces are removed: start again when those files are final",
		r.Dir, resume.ErrChanged, resume.Listed(changes))
}

// dropChanged takes the pieces away where rasters were overwritten, for nobody knows which rest
// on which.
func (r *run) dropChanged(err error) error {
	if !errors.Is(err, resume.ErrChanged) {
		return err
	}
	return errors.Join(err, r.clear(), os.Remove(filepath.Join(r.kept, headName)))
}

func (r *run) keepHead(h head) error {
	text, err := json.MarshalIndent(h, "", " ")
	if err != nil {
		return err
	}
	return r.parts.Alone(headName, func(part string) error { return os.WriteFile(part, append(text, '\n'), 0o666) })
}

func (r *run) haveOutputs() bool {
	for _, name := range r.outputs() {
		if _, err := os.Stat(filepath.Join(r.Dir, name)); err != nil {
			return false
		}
	}
	return true
}

// clear takes the pieces away.
func (r *run) clear() error {
	files, err := filepath.Glob(filepath.Join(r.kept, "r*-c*")) // those of earlier versions too
	for _, f := range files {
		err = errors.Join(err, os.Remove(f))
	}
	return err
}

// finish copies the pieces of each output into one file, both outputs at once where there
// are workers for it. The outputs appear together, if no raster was overwritten since h.
func (r *run) finish(h head) error {
	files, err := write.Begin(r.Dir)
	if err != nil {
		return err
	}
	defer files.Discard()
	outputs := r.outputs()
	r.Tell("putting together", 0, len(outputs))
	var done atomic.Int64
	errs := make([]error, len(outputs)+1)
	atOnce := make(chan struct{}, r.Workers)
	var all sync.WaitGroup
	for i := range errs {
		atOnce <- struct{}{}
		all.Go(func() {
			defer func() { <-atOnce }()
			if i == len(outputs) {
				errs[i] = r.checkRasters(h)
			} else if errs[i] = r.putTogether(files, outputs[i]); errs[i] == nil && done.Add(1) < int64(len(outputs)) {
				r.Tell("putting together", 1, len(outputs))
			}
		})
	}
	all.Wait()
	if err := cmp.Or(errs[len(outputs)], cmp.Or(errs...)); err != nil {
		return err
	}
	if err := files.Commit(); err != nil {
		return err
	}
	r.Tell("putting together", len(outputs), len(outputs))
	return nil
}

// putTogether copies the pieces of an output into one file.
func (r *run) putTogether(files *write.Files, name string) error {
	if r.stop.Err() != nil {
		return fmt.Errorf("%w before %s was put together; start again to go on", ErrStopped, name)
	}
	var pieces []raster.Piece
	var remarks []string
	for _, p := range r.pieces {
		path := r.pathOf(name, p)
		said, err := raster.RemarksOf(path)
		if err != nil {
			return withCure(err)
		}
		for _, s := range said {
			if !slices.Contains(remarks, s) && len(remarks) < mostRemarks {
				remarks = append(remarks, s)
			}
		}
		pieces = append(pieces, raster.Piece{Path: path, At: p})
	}
	h := raster.Header{
		Place:   r.mosaic.Place,
		Remarks: slices.Concat(remarks, slices.Insert(zoning.Cautions(r.Options.Units), 1, zoning.BySlopeAlone)),
		Words:   "slope in percent; " + r.result.Scale,
	}
	var classes []raster.Class
	if name == BandsName {
		h.Words, classes = "band: the first machine that may stand on the ground, by slope alone", r.classes()
	}
	if name == SlopeName {
		h.Remarks = append(h.Remarks, slope.RoundingWords)
	}
	return files.Make(name, func(part string) error {
		return withCure(raster.WriteWhole(part, h, r.parting(), pieces, classes))
	})
}

// withCure adds to why a piece cannot be read again what to do about it.
func withCure(err error) error {
	if errors.Is(err, raster.ErrPiece) {
		return fmt.Errorf("%w; delete that file and start again, which makes it again", err)
	}
	return err
}

// mostRemarks is how many different remarks of pieces an output carries.
const mostRemarks = 50

func (r *run) classes() (out []raster.Class) {
	for i, b := range r.Fleet.Bands() {
		colour, _ := palette.Flat(i, len(r.Fleet))
		out = append(out, raster.Class{Name: b.Name, Colour: colour})
	}
	return out
}

// rasters are what is compared of the elevation.
func (r *run) rasters() (out []resume.Raster) {
	for _, e := range r.mosaic.Entries {
		out = append(out, resume.Raster{Path: e.Path, Grid: e.Grid})
	}
	return out
}
