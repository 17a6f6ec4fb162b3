package sweep

import (
	"context"
	"sync"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning/mapping"
)

// worker makes pieces, one after another. The memory of one serves the next.
type worker struct {
	*run
	catalogue *raster.Catalogue
	judge     *mapping.SlopeJudge
	writer    raster.PieceWriter
	appearing sync.WaitGroup // of the piece made last
}

func (r *run) worker(cache *raster.Cache) (*worker, error) {
	judge, err := mapping.NewSlopeJudge(r.Fleet, r.Options)
	if err != nil {
		return nil, err
	}
	return &worker{run: r, catalogue: raster.CatalogueOf(r.mosaic.Entries, r.RasterOptions, cache), judge: judge}, nil
}

// close waits until the last piece has appeared.
func (w *worker) close() {
	w.appearing.Wait()
	w.catalogue.Close()
}

// make makes a piece of each output, and tells how that ended. It appears while the next is
// made: that waits for the disk.
func (w *worker) make(piece terrain.Window, ended func(error)) {
	appear, err := w.write(piece)
	w.appearing.Wait()
	if err != nil {
		ended(err)
		return
	}
	w.appearing.Go(func() {
		for _, of := range appear {
			if err := of(); err != nil {
				ended(err)
				return
			}
		}
		ended(nil)
	})
}

// write writes a piece of each output. What it returns makes them appear.
func (w *worker) write(piece terrain.Window) (appear []func() error, err error) {
	around := piece.Grown(w.beyond)
	// A piece that was begun is made: a run that is stopped keeps it.
	e, err := w.catalogue.ReadCells(context.WithoutCancel(w.stop), w.mosaic, around)
	if err != nil {
		return nil, err
	}
	defer w.catalogue.GiveBack(e)
	// The grid is in cells of the raster that it was read by.
	dc, dr := e.Grid.Col0-around.Col0, e.Grid.Row0-around.Row0
	found, err := w.judge.Judge(e, piece.Moved(dc, dr), w.Slope)
	if err != nil {
		return nil, err
	}
	for _, name := range w.outputs() {
		of, err := w.parts.Written(w.nameOf(name, piece), func(part string) error {
			if name == BandsName {
				return w.writer.Classes(part, w.parting(), piece, found.Remarks, found.Bands)
			}
			w.rounding.Pct(found.SlopePct) // bands were drawn by what they were
			return w.writer.Values(part, w.parting(), piece, found.Remarks, found.SlopePct)
		})
		if err != nil {
			return nil, err
		}
		appear = append(appear, of)
	}
	return appear, nil
}
