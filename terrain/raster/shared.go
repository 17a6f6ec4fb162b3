package raster

import (
	"context"
	"math"
	"slices"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
)

// mostOpen is how many rasters a catalogue made by [CatalogueOf] keeps open: each
// takes a file handle and some hundred kilobytes.
const mostOpen = 64

// CatalogueOf makes a catalogue of entries that another found, for work on many
// places one after another: nothing is looked through, each raster is opened when
// some ground touches it, read through the cache, and closed when many others
// were wanted since. What it reads is what the other would. An entry without a whole rim, or
// with one that is no places, may lie anywhere.
func CatalogueOf(entries []Entry, o Options, cache *Cache) *Catalogue {
	c := &Catalogue{options: o, entries: slices.Clone(entries), opened: map[int]*Raster{}, cache: cache, used: map[int]int{}}
	for i := range c.entries {
		e := &c.entries[i]
		c.widen(e.CellM)
		if !e.placed() {
			e.Rim = nil
			c.named = append(c.named, i) // may lie anywhere
			continue
		}
		c.insert(i)
	}
	return c
}

// closeOld closes the rasters wanted longest ago while too many are open, but for
// those wanted now, the last few.
func (c *Catalogue) closeOld(wanted int) {
	if c.used == nil {
		return
	}
	for len(c.opened) > max(mostOpen, wanted) {
		oldest := -1
		for i := range c.opened {
			if oldest < 0 || c.used[i] < c.used[oldest] {
				oldest = i
			}
		}
		c.opened[oldest].Close()
		delete(c.opened, oldest)
		delete(c.used, oldest)
	}
}

// Spot is where a place lies among the blocks of a catalogue's rasters, by which
// work on many places is put in order. It is near enough for that and for nothing
// else: within a raster it takes rows and columns for straight and even.
type Spot struct {
	Entry    int // of [Catalogue.Entries]
	Col, Row int // the block
	Cells    int // in a block
	// Middle is the longitude and latitude of the raster's middle.
	Middle orb.Point
}

// SpotOf finds the block around a point: of the entries there the one with the
// finest cells, of equals the first. It opens a raster's header the first time
// that a point lies on it. It is false where no raster is.
func (c *Catalogue) SpotOf(ctx context.Context, p orb.Point) (Spot, bool) {
	best := -1
	var at [2]float64
	for _, i := range c.Near(orb.MultiPolygon{{{p, p}}}) {
		e := &c.entries[i]
		if !e.placed() {
			continue
		}
		u := e.share(p)
		if u[0] < 0 || u[1] < 0 || u[0] >= 1 || u[1] >= 1 {
			continue
		}
		if best < 0 || e.CellM[0]*e.CellM[1] < 0.95*c.entries[best].CellM[0]*c.entries[best].CellM[1] {
			best, at = i, u
		}
	}
	if best < 0 {
		return Spot{}, false
	}
	b := c.blocksOf(ctx, best)
	lo, hi := boxOf(c.entries[best].Rim)
	middle := orb.Point{math.Remainder((lo[0]+hi[0])/2, 360), (lo[1] + hi[1]) / 2}
	return Spot{best, int(at[0] * b.across), int(at[1] * b.down), b.cells, middle}, true
}

// blocking is how many blocks a raster has across and down, with the part of a block
// at its edges, and the cells of a block.
type blocking struct {
	across, down float64
	cells        int
}

// blocksOf is the blocking of an entry; one block where it cannot be opened, which
// reading it will say.
func (c *Catalogue) blocksOf(ctx context.Context, i int) blocking {
	if b, known := c.blocks[i]; known {
		return b
	}
	b := blocking{1, 1, 1}
	if r := c.opened[i]; r != nil {
		b = blockingOf(r.band.Structure())
	} else if c.options.checkAddresses(c.entries[i].Path) != nil { // opening it will say so
	} else if ds, err := openHeader(ctx, c.entries[i].Path, c.options); err == nil {
		if bands := ds.Bands(); len(bands) > 0 {
			b = blockingOf(bands[0].Structure())
		}
		_ = ds.Close(godal.ErrLogger(quiet)) // opened for reading: nothing to lose
	}
	if ctx.Err() != nil {
		return b
	}
	if c.blocks == nil {
		c.blocks = map[int]blocking{}
	}
	c.blocks[i] = b
	return b
}

func blockingOf(s godal.BandStructure) blocking {
	return blocking{float64(s.SizeX) / float64(s.BlockSizeX), float64(s.SizeY) / float64(s.BlockSizeY), s.BlockSizeX * s.BlockSizeY}
}

// placed reports whether it is known where an entry lies.
func (e *Entry) placed() bool {
	if len(e.Rim) != 4*rimPieces {
		return false
	}
	for _, p := range e.Rim {
		if !(math.Abs(p[0]) <= mostDegrees && math.Abs(p[1]) <= mostDegrees) {
			return false
		}
	}
	return true
}

// mostDegrees is more than any coordinate of a raster on earth.
const mostDegrees = 1080

// share is how far a point lies across and down an entry, from 0 to 1 on it, as if
// it were a parallelogram.
func (e *Entry) share(p orb.Point) [2]float64 {
	nw, ne, sw := e.Rim[0], e.Rim[rimPieces], e.Rim[3*rimPieces]
	from := func(a, b [2]float64) (x, y float64) { return math.Remainder(b[0]-a[0], 360), b[1] - a[1] }
	ax, ay := from(nw, ne)
	dx, dy := from(nw, sw)
	px, py := from(nw, p)
	det := ax*dy - ay*dx
	return [2]float64{(px*dy - py*dx) / det, (ax*py - ay*px) / det}
}
