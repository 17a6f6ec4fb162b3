package sweep

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"sync/atomic"
	"syscall"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/write"
)

// run is a run on its way.
type run struct {
	Config
	stop     context.Context
	kept     string       // folder of the pieces
	parts    *write.Files // of it
	mosaic   *raster.Mosaic
	beyond   int // cells to be seen around a piece
	pieces   []terrain.Window
	rounding slope.Rounding
	result   Grid
}

func (r *run) do() error {
	if err := r.plan(); err != nil {
		return err
	}
	h, err := r.begin()
	if r.parts != nil {
		defer r.parts.Discard()
	}
	if err != nil {
		return err
	}
	if h.Done && r.haveOutputs() {
		r.result.Again = len(r.pieces)
		return nil
	}
	if err := r.work(); err != nil {
		return r.dropChanged(errors.Join(err, r.checkRasters(h)))
	}
	if err := r.finish(h); err != nil {
		return r.dropChanged(err)
	}
	h.Done = true
	if err := r.keepHead(h); err != nil {
		return err
	}
	return r.clear()
}

// plan lays out the rasters and cuts them into pieces.
func (r *run) plan() error {
	m := r.mosaic
	r.result.Dir = r.Dir
	for _, e := range m.Entries {
		r.result.Of = append(r.result.Of, e.Path)
	}
	r.rounding = slope.NewRounding(r.Fleet.SlopesPct())
	var err error
	if r.beyond, r.result.Scale, err = mapping.BeyondCells(r.Fleet, m.Entries[0].CellM, r.Options); err != nil {
		return err
	}
	all := terrain.Window{Col1: m.Cols, Row1: m.Rows}
	for first := 0; first < m.Cols; first += abreast * r.pieceCols {
		for row := 0; row < m.Rows; row += r.pieceRows {
			for col := first; col < min(first+abreast*r.pieceCols, m.Cols); col += r.pieceCols {
				piece := terrain.Window{Col0: col, Row0: row, Col1: col + r.pieceCols, Row1: row + r.pieceRows}.In(all)
				if len(m.Touching(piece)) > 0 {
					r.pieces = append(r.pieces, piece)
				}
			}
		}
	}
	r.result.Pieces, r.result.Cols, r.result.Rows = len(r.pieces), m.Cols, m.Rows
	return nil
}

// work makes the pieces that are missing. One that cannot be made leaves the others to
// go on.
func (r *run) work() error {
	var todo []terrain.Window
	for _, p := range r.pieces {
		if !r.have(p) {
			todo = append(todo, p)
		}
	}
	r.result.Again = len(r.pieces) - len(todo)
	r.Tell("judging", r.result.Again, len(r.pieces))
	var next, done, failed atomic.Int64
	var full atomic.Bool // the disk: no other piece will fit
	var first sync.Once
	var why error
	var all sync.WaitGroup
	cache := raster.NewCache(cacheBytes)
	ended := func(err error) {
		if err == nil {
			r.Tell("judging", r.result.Again+int(done.Add(1)), len(r.pieces))
			return
		}
		failed.Add(1)
		if errors.Is(err, syscall.ENOSPC) {
			full.Store(true)
		}
		first.Do(func() { why = err })
	}
	for range min(r.Workers, len(todo)) {
		all.Go(func() {
			// PROJ opens its database anew on every thread that asks it something.
			runtime.LockOSThread()
			defer runtime.UnlockOSThread()
			w, err := r.worker(cache)
			if err != nil {
				ended(err)
				return
			}
			defer w.close()
			for r.stop.Err() == nil && !full.Load() {
				i := int(next.Add(1)) - 1
				if i >= len(todo) {
					return
				}
				w.make(todo[i], ended)
			}
		})
	}
	all.Wait()
	kept := r.result.Again + int(done.Load())
	switch n := failed.Load(); {
	case full.Load():
		return fmt.Errorf("%w: %d of %d pieces are kept, start again to go on: %w", ErrPieces, kept, len(r.pieces), why)
	case n > 0:
		return fmt.Errorf("%w: %d of %d pieces; the others are kept, start again to go on; the first: %w", ErrPieces, n, len(r.pieces), why)
	case kept < len(r.pieces):
		return fmt.Errorf("%w with %d of %d pieces done; start again to go on", ErrStopped, kept, len(r.pieces))
	}
	return nil
}

func (r *run) parting() raster.Parting {
	return raster.Parting{Cols: r.mosaic.Cols, Rows: r.mosaic.Rows, PieceCols: r.pieceCols, PieceRows: r.pieceRows}
}

// nameOf is the name of an output's piece.
func (r *run) nameOf(name string, piece terrain.Window) string {
	return fmt.Sprintf("r%06d-c%06d-%s.piece", piece.Row0/r.pieceRows, piece.Col0/r.pieceCols, name)
}

// pathOf is the file of an output's piece.
func (r *run) pathOf(name string, piece terrain.Window) string {
	return filepath.Join(r.kept, r.nameOf(name, piece))
}

// have reports whether a piece of each output is there.
func (r *run) have(piece terrain.Window) bool {
	for _, name := range r.outputs() {
		if _, err := os.Stat(r.pathOf(name, piece)); err != nil {
			return false
		}
	}
	return true
}

// outputs lists what is to be written.
func (r *run) outputs() (out []string) {
	if r.Bands {
		out = append(out, BandsName)
	}
	if r.Slope {
		out = append(out, SlopeName)
	}
	return out
}
