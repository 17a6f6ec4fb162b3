package raster

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"sync/atomic"

	"github.com/airbusgeo/godal"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// Entry is what a catalogue knows of a raster without opening it.
type Entry struct {
	Path    string
	Bytes   int64 // of its file, the zip it lies in, and what lies beside it
	ModTime int64 // of those, the latest, in nanoseconds since 1970

	Cols, Rows int
	CRS        string       // declared, as WKT; "" where it declares none
	Grid       [6]float64   // cell coordinates to raster coordinates, as GDAL writes it
	CellM      [2]float64   // ground size of the cell at its middle
	Surveyed   string       // when its ground was, by the service that told of it, or by itself; "" where neither says
	Rim        [][2]float64 // longitude and latitude around it; of a tile index, around its box
	Refused    string       // why it holds no elevation; "" where it may

	Found terrain.Found // what a service said of it; of one that was named, nothing
	Of    string        // of a first surface that was found, the path of the bare earth it belongs to
	Rank  int           // of its fineness: one above 0 is opened only where those below leave ground without heights
}

// headers reads entries, on one goroutine locked to its thread.
type headers struct {
	places map[string]*place // by WKT
	crs    string            // overrules what rasters declare
	o      Options           // of addresses
}

func (h *headers) close() {
	for _, p := range h.places {
		if p != nil {
			p.close()
		}
	}
}

// read reads what a raster's header says.
func (h *headers) read(ctx context.Context, name string) Entry {
	e := Entry{Path: name}
	if err := h.o.checkAddresses(name); err != nil {
		e.Refused = err.Error()
		return e
	}
	ds, err := openHeader(ctx, name, h.o)
	if err == nil {
		r := &Raster{ds: ds, options: Options{AllowRemote: h.o.AllowRemote, Fetch: h.o.Fetch, NoData: h.o.NoData}, Source: terrain.Source{Path: name}}
		err = h.fill(&e, r)
		if err == nil {
			e.locate(h)
			r.Source.CellM = e.CellM
			err = r.checkValues(ctx)
		}
		_ = ds.Close(godal.ErrLogger(quiet)) // opened for reading: nothing to lose
	}
	if err != nil {
		e.Refused = err.Error()
	}
	return e
}

// openHeader opens a raster without listing the folder it lies in, which among
// thousands takes longer than all else. Where that does not serve, as for a .PRJ
// in capitals, it lists.
func openHeader(ctx context.Context, name string, o Options) (*godal.Dataset, error) {
	if err := registerFew(); err != nil {
		return nil, fmt.Errorf("registering GDAL's raster drivers: %w", err)
	}
	if isRemote(name) {
		return o.openRemote(ctx, name)
	}
	ds, err := godal.Open(o.vsi(name), append(o.unasked(name), godal.RasterOnly(), godal.SiblingFiles(), godal.ErrLogger(quiet),
		godal.ConfigOption("GDAL_DISABLE_READDIR_ON_OPEN=TRUE"))...)
	if err == nil && ds.Projection() != "" {
		return ds, nil
	}
	if err == nil {
		_ = ds.Close(godal.ErrLogger(quiet)) // opened for reading: nothing to lose
	}
	return openDataset(ctx, name, o)
}

func (h *headers) fill(e *Entry, r *Raster) error {
	st := r.ds.Structure()
	e.Cols, e.Rows, e.CRS, e.Surveyed = st.SizeX, st.SizeY, r.ds.Projection(), cmp.Or(e.Surveyed, surveyed(r.ds.Metadatas()))
	err := r.readBand()
	if err != nil {
		return err
	}
	if e.Grid, err = r.ds.GeoTransform(godal.ErrLogger(quiet)); err != nil {
		return errors.New("it has no position on the ground")
	}
	return nil
}

// locate finds the rim and the size of a cell. What cannot be placed keeps none.
func (e *Entry) locate(h *headers) {
	e.Rim, e.CellM = nil, [2]float64{}
	definition := e.CRS
	if h.crs != "" {
		definition = h.crs
	}
	if definition == "" || e.Refused != "" {
		return
	}
	p, ok := h.places[definition]
	if !ok {
		p, _ = newPlace(definition) // opening it will say what is wrong
		h.places[definition] = p
	}
	if p == nil {
		return
	}
	r := &Raster{place: p, grid: e.Grid}
	w, t := float64(e.Cols), float64(e.Rows)
	rim, err := r.Locate(rimOf(0, 0, w, t))
	if err != nil {
		return
	}
	for _, p := range rim {
		if math.IsNaN(p[0]) || math.IsNaN(p[1]) {
			return
		}
	}
	m, _, err := terrain.Measure(w/2, t/2, r.Locate)
	if err != nil {
		return
	}
	e.Rim = rim
	e.CellM[0], e.CellM[1] = m.CellM()
}

// inParallel runs work for 0 ≤ i < n on all processors, each goroutine with
// headers of its own on a thread of its own: PROJ opens its database anew on
// every thread that asks it something. Once the context is done it begins no more of it.
func inParallel(ctx context.Context, n int, o Options, work func(h *headers, i int)) {
	var next atomic.Int64
	var all beside.Group
	for range min(n, runtime.GOMAXPROCS(0)) {
		all.Go(func() {
			runtime.LockOSThread()
			defer runtime.UnlockOSThread()
			h := &headers{places: map[string]*place{}, crs: o.CRS, o: o}
			defer h.close()
			for i := int(next.Add(1)) - 1; i < n && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				work(h, i)
			}
		})
	}
	all.Wait()
}
