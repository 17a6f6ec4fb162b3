package sheet

import (
	"cmp"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"sync"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/relief"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
)

// Plane is level ground around a spot: x metres east and y metres north of it.
type Plane struct {
	Lon, Lat   float64 // the spot
	LonM, LatM float64 // metres in a degree of longitude and of latitude there
}

// PlaneOf is the plane at the middle of a map's lots, and how far east and north
// of it they reach, in metres; ok is false where the map has no ground.
func PlaneOf(f *terrain.Frame, zm *zoning.ZoneMap) (p Plane, eastM, northM float64, ok bool) {
	q, ok := planeOf(f, zm)
	return Plane{q.lon0, q.lat0, q.perLon, q.perLat}, q.halfW, q.halfH, ok
}

// View is a rectangle of a plane to be painted, north up.
type View struct {
	Plane
	XM, YM        float64 // its middle
	MetresPerDot  float64
	Width, Height int // dots
}

func (v View) on(f *terrain.Frame) *view {
	return &view{
		plane: plane{frame: f, lon0: f.Near(v.Lon) + v.XM/v.LonM, lat0: v.Lat + v.YM/v.LatM, perLon: v.LonM, perLat: v.LatM},
		w:     v.Width, h: v.Height, metres: v.MetresPerDot,
	}
}

// Painter paints views of one grid, and keeps its relief between them. It may be
// shared between goroutines.
type Painter struct {
	grid *terrain.Grid

	mu      sync.Mutex
	reliefs map[int]*relief.Relief // by cells along the side of a block
}

// NewPainter paints the ground of a grid.
func NewPainter(g *terrain.Grid) *Painter {
	return &Painter{grid: g, reliefs: map[int]*relief.Relief{}}
}

// relief is that for a view, its blocks about as large as dots.
func (p *Painter) relief(v *view) (*relief.Relief, error) {
	every := 1
	for float64(2*every) <= v.cellsPerPixel() && every < 1<<10 {
		every *= 2
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.reliefs[every] == nil {
		lit, err := relief.Shade(p.grid, every)
		if err != nil {
			return nil, err
		}
		p.reliefs[every] = lit
	}
	return p.reliefs[every], nil
}

// AllBands paints every band.
const AllBands = -1

// Paint writes a view of a map as a PNG image, as [Picture] draws its ground: relief,
// zones and outlines. With only set to a band, other bands are left plain.
func (p *Painter) Paint(w io.Writer, zm *zoning.ZoneMap, at View, only int) error {
	return p.PaintWalkFirst(w, zm, at, only, nil)
}

// PaintWalkFirst is [Painter.Paint] with dots on the ground of machines that is to be walked or
// sighted first: where it is not surely less steep than surePct has for its machine, in
// percent; nil draws none.
func (p *Painter) PaintWalkFirst(w io.Writer, zm *zoning.ZoneMap, at View, only int, surePct []float64) error {
	return p.PaintAmong(w, zm, at, only, surePct, nil)
}

// PaintAmong is [Painter.PaintWalkFirst] with relief of other grids, the first on top, where
// its own has no heights.
func (p *Painter) PaintAmong(w io.Writer, zm *zoning.ZoneMap, at View, only int, surePct []float64, around []*Painter) error {
	if err := cmp.Or(p.check(), zm.Check(), at.check()); err != nil {
		return err
	}
	v := at.on(p.grid.Frame)
	bands := bandImage(v, zm)
	if only != AllBands {
		for i, b := range bands {
			if int(b) != only+1 {
				bands[i] = 0
			}
		}
	}
	ps := paintsFor(len(zm.Fleet))
	img := image.NewPaletted(image.Rect(0, 0, v.w, v.h), ps.palette())
	thin, strong := zoneLines(v, zm), lotLines(v, outlinesOf(zm), 1)
	relief, err := p.relief(v)
	if err != nil {
		return err
	}
	inked, cased := ps.brush(palette.Ink), ps.brush(palette.Paper)
	dots := walkDots{v: v, zm: zm, grid: p.grid, bands: bands, surePct: surePct}
	beyond, err := reliefsOf(around, at)
	if err != nil {
		return err
	}
	inRows(v.h, func(from, to int) {
		ps.paint(img, image.Point{}, v, from, to, relief, bands)
		ps.paintBeyond(img, v, from, to, relief, bands, beyond)
		dots.draw(img, from, to)
		thin.draw(img, image.Point{}, from, to, pen{thinHalf, inked, 0.75})
		strong.draw(img, image.Point{}, from, to, pen{casingHalf, cased, 0.9})
		strong.draw(img, image.Point{}, from, to, pen{strongHalf, inked, 1})
	})
	return encode(w, img)
}

// PaintRelief writes a view of grids as a PNG image, the first on top: relief
// without zones, clear where none has heights.
func PaintRelief(w io.Writer, at View, grids []*Painter) error {
	if err := at.check(); err != nil {
		return err
	}
	for _, p := range grids {
		if err := p.check(); err != nil {
			return err
		}
	}
	ps := paintsFor(0)
	img := image.NewPaletted(image.Rect(0, 0, at.Width, at.Height), append(color.Palette{color.RGBA{}}, ps.palette()...))
	for i := len(grids) - 1; i >= 0; i-- {
		v := at.on(grids[i].grid.Frame)
		relief, err := grids[i].relief(v)
		if err != nil {
			return err
		}
		inRows(v.h, func(from, to int) { ps.shadeInto(img, v, from, to, relief) })
	}
	return encode(w, img)
}

// shadeInto paints relief outside lots into an image whose palette has a clear
// colour before the paints, and leaves dots without relief as they are.
func (p *paints) shadeInto(img *image.Paletted, v *view, from, to int, relief *relief.Relief) {
	k := &p.kinds[0]
	v.eachLit(from, to, relief, func(x, y int, lit []float32) {
		line := img.Pix[img.PixOffset(x, y):]
		for i, l := range lit {
			if l == l {
				line[i] = k.colours[shadeAt(l)*inkSteps] + 1
			}
		}
	})
}

// Swatch writes a sample of a band in a fleet of so many machines as a PNG image:
// its colour and hatching on level ground.
func Swatch(w io.Writer, band, machines, width, height int) error {
	if machines < 0 || machines > zoning.MaxMachines || band < 0 || band >= machines+5 {
		return fmt.Errorf("no sample of band %d of %d machines: with %d at most there are five bands more than machines", band, machines, zoning.MaxMachines)
	}
	if err := checkDots(width, height); err != nil {
		return err
	}
	ps := paintsFor(machines)
	img := image.NewPaletted(image.Rect(0, 0, width, height), ps.palette())
	ps.sample(img, img.Bounds(), band)
	return encode(w, img)
}

// sample draws a band in the legend as it looks on level ground.
func (p *paints) sample(img *image.Paletted, box image.Rectangle, band int) {
	var lit [tileSide]float32
	var kinds [tileSide]uint8
	for x := range tileSide {
		lit[x], kinds[x] = float32(relief.FlatLit), uint8(band+1)
	}
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x += tileSide {
			n := min(tileSide, box.Max.X-x)
			p.run(img.Pix[img.PixOffset(x, y):], kinds[:], lit[:n], (y-box.Min.Y)%tileSide*tileSide)
		}
	}
	p.outline(img, box)
}

func zoneLines(v *view, zm *zoning.ZoneMap) *strokes {
	s := newStrokes(v.w, v.h, thinHalf)
	for _, lot := range zm.Lots {
		for _, z := range lot.Zones {
			projection(v.pixel).edges(z.Ground, 1.3, s.line)
		}
	}
	return s
}

func lotLines(v *view, outlines []orb.MultiPolygon, weight float64) *strokes {
	s := newStrokes(v.w, v.h, casingHalf*weight)
	for _, o := range outlines {
		projection(v.pixel).edges(o, 0.5, s.line)
	}
	return s
}

func encode(w io.Writer, img image.Image) error {
	e := png.Encoder{CompressionLevel: png.BestSpeed}
	return e.Encode(w, img)
}

// planeAt is the plane at a spot, its metres per degree measured on the frame's metric.
func planeAt(f *terrain.Frame, lon, lat float64) plane {
	const step = 1e-4
	c, r := f.Cell(lon, lat)
	m := f.MetricAt(c, r)
	metres := func(lon, lat float64) float64 {
		u, v := f.Cell(lon, lat)
		return m.LengthM(u-c, v-r) / step
	}
	return plane{frame: f, lon0: lon, lat0: lat, perLon: metres(lon+step, lat), perLat: metres(lon, lat+step)}
}
