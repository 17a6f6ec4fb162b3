package page

import (
	"context"
	"io"
	"math"
	"sync"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/sheet"
)

// backdrop is the elevation seen from afar, to draw a boundary on.
type backdrop struct {
	plane       sheet.Plane
	east, north float64 // how far it reaches from the plane's middle, metres
	mu          sync.Mutex
	catalogue   *raster.Catalogue
}

// mostRasters is how many rasters a view shows; where it touches more it shows none,
// and asks to come nearer.
const mostRasters = 24

// mostOverview is how many heights of a raster are read for a view, and mostHeights how many
// of all that it touches, which may lie on one another.
const (
	mostOverview = 4 << 20
	mostHeights  = 16 << 20
)

func newBackdrop(elevation []string, o raster.Options) (*backdrop, error) {
	rasters, searched, err := read.SplitElevation(elevation, o)
	if err != nil {
		return nil, err
	}
	c, err := raster.NewCatalogue(context.Background(), rasters, o) // before anyone can ask for less
	if err != nil {
		return nil, err
	}
	b := &backdrop{catalogue: c}
	var box orb.Bound
	first := true
	lon0 := 0.0
	for _, e := range c.Entries() {
		for _, p := range e.Rim {
			if first {
				lon0, box, first = p[0], orb.Point(p).Bound(), false
			}
			box = box.Extend(orb.Point{lon0 + math.Remainder(p[0]-lon0, 360), p[1]})
		}
	}
	if first {
		box = areaOf(searched)
	}
	at := box.Center()
	const latM = 111_200 // metres in a degree: only to draw by
	b.plane = sheet.Plane{Lon: at[0], Lat: at[1], LonM: latM * math.Cos(at[1]*math.Pi/180), LatM: latM}
	b.east, b.north = (box.Max[0]-box.Min[0])/2*b.plane.LonM, (box.Max[1]-box.Min[1])/2*latM
	return b, nil
}

// areaOf is the ground that services cover, of which nothing is shown before a boundary is given.
func areaOf(searched []find.Source) orb.Bound {
	for _, s := range searched {
		if len(s.Area) > 0 {
			a := s.Area[0]
			return orb.Bound{Min: orb.Point{a[0], a[1]}, Max: orb.Point{a[2], a[3]}}
		}
	}
	return orb.Bound{Min: orb.Point{-180, -80}, Max: orb.Point{180, 80}}
}

func (b *backdrop) close() { b.catalogue.Close() }

// paint writes relief of the rasters in a view.
func (b *backdrop) paint(ctx context.Context, w io.Writer, v sheet.View) error {
	return b.among(ctx, v, func(rasters []*sheet.Painter) error { return sheet.PaintRelief(w, v, rasters) })
}

// among calls paint with painters of the rasters in a view, the finest first. One view at a time
// has them, so that what they hold is bounded.
func (b *backdrop) among(ctx context.Context, v sheet.View, paint func([]*sheet.Painter) error) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	painters, err := b.painters(ctx, v)
	if err != nil {
		return err
	}
	return paint(painters)
}

func (b *backdrop) painters(ctx context.Context, v sheet.View) ([]*sheet.Painter, error) {
	edge := edgeOf(v)
	ring := make(orb.Ring, len(edge))
	for i, p := range edge {
		ring[i] = p
	}
	rasters, err := b.catalogue.Around(ctx, orb.MultiPolygon{{ring}})
	if err != nil {
		return nil, err
	}
	var painters []*sheet.Painter
	if len(rasters) <= mostRasters {
		for _, r := range rasters {
			p, err := b.painter(ctx, r, edge, v, min(mostOverview, mostHeights/len(rasters)))
			if err != nil {
				return nil, err
			}
			if p != nil {
				painters = append(painters, p)
			}
		}
	}
	return painters, nil
}

// painter reads the part of a raster that a view shows, about a cell a dot and no more
// heights than most; nil where the view shows none of it.
func (b *backdrop) painter(ctx context.Context, r *raster.Raster, edge [][2]float64, v sheet.View, most int) (*sheet.Painter, error) {
	window, err := r.WindowOf(edge)
	if err != nil {
		return nil, err
	}
	window = window.Grown(1).In(r.Extent())
	if window.Empty() {
		return nil, nil
	}
	// Every k-th cell, k whole: any other part of them draws a pattern of its own.
	k := max(1, int(v.MetresPerDot/max(r.Source.CellM[0], r.Source.CellM[1])))
	for window.Cols()/k*(window.Rows()/k) > most {
		k++
	}
	cols, rows := (window.Cols()+k-1)/k, (window.Rows()+k-1)/k
	g, err := r.Overview(ctx, window, cols, rows)
	if err != nil {
		return nil, err
	}
	return sheet.NewPainter(g), nil
}

// edgeOf is the outline of a view in longitude and latitude, closed, with points
// between its corners for rasters whose rows run another way.
func edgeOf(v sheet.View) [][2]float64 {
	const parts = 8
	halfW, halfH := float64(v.Width)/2*v.MetresPerDot, float64(v.Height)/2*v.MetresPerDot
	var edge [][2]float64
	corners := [][2]float64{{-halfW, halfH}, {-halfW, -halfH}, {halfW, -halfH}, {halfW, halfH}, {-halfW, halfH}}
	for i, c := range corners[:4] {
		next := corners[i+1]
		for k := range parts {
			t := float64(k) / parts
			x, y := v.XM+c[0]+t*(next[0]-c[0]), v.YM+c[1]+t*(next[1]-c[1])
			edge = append(edge, [2]float64{v.Lon + x/v.LonM, max(min(v.Lat+y/v.LatM, 89.9), -89.9)})
		}
	}
	return append(edge, edge[0])
}
