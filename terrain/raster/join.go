package raster

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
)

// ErrOffRaster says that a place lies on none of the rasters.
var ErrOffRaster = errors.New("it does not lie on the elevation")

// ErrTooLarge says that a place covers more cells than are read at once.
var ErrTooLarge = errors.New("it covers too many cells to read at once")

// maxCells bounds the window of one reading: 2 GB of heights.
const maxCells = 1 << 29

// maxNodes bounds the lattice of one reading, each node of which takes five
// transforms: seconds, where a grid bends so much that every cell is a node.
const maxNodes = 1 << 21

// halo is how many cells are read around a place: one for the slope of its
// outermost cells, and some for the bulge of long edges.
const halo = 3

// Read reads the window around a place from rasters. The grid with the finest
// cells that has heights there is kept, of equals that of the newest survey, then the one that
// covers most; what
// it lacks is filled from coarser ones, finest first, by bilinear interpolation
// of their heights at the middles of its cells. Rasters on one grid are joined,
// the newest survey that has a height winning, then the first by name. A void stays one where any of the four
// heights to interpolate between is void. Once the context is done it returns the
// context's error, within a strip of cells and without waiting for a server.
func Read(ctx context.Context, rasters []*Raster, ground orb.MultiPolygon) (*terrain.Elevation, error) {
	return read(ctx, rasters, ground, func(*Raster) int { return halo })
}

// ReadWide is [Read] with a wider window: at least 40 m and 8 cells around the place,
// but no more than 64 cells, so that what begins in the place shows for what it is.
func ReadWide(ctx context.Context, rasters []*Raster, ground orb.MultiPolygon) (*terrain.Elevation, error) {
	return read(ctx, rasters, ground, func(r *Raster) int { return terrain.WideCells(r.Source.CellM) })
}

func read(ctx context.Context, rasters []*Raster, ground orb.MultiPolygon, beyond func(*Raster) int) (*terrain.Elevation, error) {
	for i, r := range rasters {
		if r == nil {
			return nil, fmt.Errorf("raster %d of %d is none; leave it out", i+1, len(rasters))
		}
	}
	layers, err := layersAt(rasters, along(ground), beyond)
	if err != nil {
		return nil, err
	}
	if len(layers) == 0 {
		return nil, ErrOffRaster
	}
	var first *join
	for i, base := range layers {
		j, err := startJoin(ctx, base, len(layers) > i+1)
		if err != nil {
			return nil, err
		}
		if first == nil {
			first = j
		}
		if j.canvas.grid.Z0 == noZ0 {
			continue // nothing but voids: a coarser one may do better
		}
		if err := j.compareAll(ctx, layers[i+1:]); err != nil {
			return nil, err
		}
		for _, coarse := range layers[i+1:] {
			if err := j.fillFrom(ctx, coarse); err != nil {
				return nil, err
			}
		}
		return j.finish(), nil
	}
	first.canvas.grid.Z0 = 0
	return first.finish(), nil
}

// join is an elevation in the making.
type join struct {
	canvas   *canvas
	window   terrain.Window
	halo     int // of the window
	place    terrain.Georeference
	sources  []terrain.Source
	layerOf  []int // of each source: 0 for the base
	layers   int
	seams    []terrain.Seam // found in coarser layers
	stepped  []bool         // cells interpolated across those; nil where there are none
	warnings []string
	shared   overlaps // of sources on several grids
	units    measure.Units
	wins     []win
}

func startJoin(ctx context.Context, base *layer, more bool) (*join, error) {
	r, w := base.members[0].raster, base.window
	frame, err := frameOver(r, w)
	if err != nil {
		return nil, err
	}
	cover := w
	if !more {
		cover = base.cover(w)
	}
	j := &join{canvas: newCanvas(cover, frame, base.spare), window: w, halo: base.halo, place: r.georeference(cover), shared: overlaps{}, units: r.options.Units}
	return j, j.read(ctx, base)
}

// read reads the rasters of a layer into the canvas, on whose grid they lie.
func (j *join) read(ctx context.Context, l *layer) error {
	j.canvas.compares = true
	defer func() { j.canvas.compares = false }()
	for _, m := range l.members {
		warning, err := j.canvas.read(ctx, m, len(j.sources))
		if err != nil {
			return err
		}
		if warning != "" {
			j.warnings = append(j.warnings, warning)
		}
		source := m.raster.Source
		source.Path = m.raster.options.called(source.Path)
		j.sources = append(j.sources, source)
		j.layerOf = append(j.layerOf, j.layers)
	}
	j.layers++
	return j.canvas.shared.check(j.units, func(source int) string { return j.sources[source].Path })
}

// frameOver is a frame over a window of a raster, unless that is too large.
func frameOver(r *Raster, w terrain.Window) (*terrain.Frame, error) {
	cells := float64(w.Cols()) * float64(w.Rows())
	if cells > float64(cmp.Or(r.options.MostCells, maxCells)) || cells > maxNodes*float64(r.step)*float64(r.step) {
		return nil, fmt.Errorf("%w: %d × %d cells of %s", ErrTooLarge, w.Cols(), w.Rows(), r.Source.Path)
	}
	frame, err := terrain.NewFrame(r.step, w.Col0, w.Row0, w.Col1, w.Row1, r.Locate)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", r.Source.Path, err)
	}
	return frame, nil
}

// finish weighs the seams and drops the coarser sources that gave nothing.
func (j *join) finish() (e *terrain.Elevation) {
	c := j.canvas
	e = &terrain.Elevation{Grid: c.grid, Window: j.window, Sources: j.sources, Warnings: j.warnings, Georeference: j.place, From: c.from}
	told := map[[2]string]bool{}
	defer func() {
		e.Warnings = slices.Concat(e.Warnings, apartWords(j.units, j.wins, told), wonWords(j.wins, told))
	}()
	if c.from == nil {
		return e
	}
	e.Seams, e.Stepped = j.weighSeams()
	counts := make([]int, len(j.sources))
	for _, s := range c.from {
		if s != terrain.NoSource {
			counts[s]++
		}
	}
	kept := slices.Repeat([]uint16{terrain.NoSource}, len(j.sources))
	e.Sources = nil
	for i, s := range j.sources {
		if j.layerOf[i] == 0 || counts[i] > 0 {
			kept[i] = uint16(len(e.Sources))
			e.Sources = append(e.Sources, s)
		}
		if j.layerOf[i] > 0 && counts[i] > 0 {
			told[[2]string{j.sources[0].Path, s.Path}] = true
			e.Warnings = append(e.Warnings, fmt.Sprintf("%s has no heights for part of the ground; there they come from %s, whose cells are %.3g × %.3g m, by interpolation: "+
				"what is smaller than its cells does not show", j.sources[0].Path, s.Path, s.CellM[0], s.CellM[1]))
		}
	}
	for i, s := range c.from {
		if s != terrain.NoSource {
			c.from[i] = kept[s]
		}
	}
	e.Seams = slices.DeleteFunc(e.Seams, func(s terrain.Seam) bool { return kept[s.A] == terrain.NoSource || kept[s.B] == terrain.NoSource })
	for i := range e.Seams {
		s := &e.Seams[i]
		s.A, s.B = int(kept[s.A]), int(kept[s.B])
		if s.Tells {
			told[[2]string{e.Sources[s.A].Path, e.Sources[s.B].Path}] = true
			e.Warnings = append(e.Warnings, s.Words(j.units, e.Sources))
		}
	}
	if len(e.Sources) == 1 {
		e.From = nil
	}
	return e
}
