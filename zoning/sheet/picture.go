package sheet

import (
	"cmp"
	"errors"
	"image"
	"io"
	"math"
	"runtime"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// errNoGround says that nothing can be drawn.
var errNoGround = errors.New("the zone map has no ground to draw; map at least one parcel first")

// picturePx is how many pixels of a picture a point is: pictures are laid out in pixels,
// and drawn in points.
const picturePx = reliefPx

// Picture writes a map as a PNG image: relief of the ground, zones, boundaries,
// and a legend with the acres of every band. g is the window of elevation that
// the map was made on; ground beyond it is left plain.
func Picture(w io.Writer, g *terrain.Grid, zm *zoning.ZoneMap) error {
	p, err := picture(g, zm)
	if err != nil {
		return err
	}
	// A byte a pixel makes a file of less than half the size.
	return encode(w, paintsFor(len(zm.Fleet)).indexed(drawing.Pixels(*p, picturePx)))
}

// picture is the map, its legend and its remarks as one drawing.
func picture(g *terrain.Grid, zm *zoning.ZoneMap) (*drawing.Page, error) {
	if err := cmp.Or(zm.Check(), g.Check()); err != nil {
		return nil, err
	}
	p, ok := planeOf(g.Frame, zm)
	if !ok {
		return nil, errNoGround
	}
	zm, numbered := legible(zm)
	if numbered {
		zm.Warnings = slices.Insert(slices.Clone(zm.Warnings), min(len(zm.Warnings), maxWarnings-1), numberWords)
	}
	t := totalsOf(zm)
	pg, v := layout(zm, t, p)
	outlines := outlinesOf(zm)
	if t.lots > 1 {
		pg.labels(v, zm.Lots, outlines)
	}

	ground := inPoints(pg.ground)
	frame := drawing.Box{Right: ground.Width(), Bottom: ground.Height()}
	m := &groundMap{page: &Page{Grid: g, Map: zm}, frame: frame, plane: p, v: v}
	var thin, strong [][]drawing.Point
	var edges beside.Group
	defer edges.Wait()
	edges.Go(func() { thin, strong = zoneEdges(v, zm), lotEdges(v, outlines) })
	if err := m.relief(); err != nil {
		return nil, err
	}
	m.hatch()
	edges.Wait()
	weight := t.lineWeight(v.metres)
	shapes := append(m.base,
		drawing.Path{Lines: thin, Stroke: drawing.Paint{Colour: palette.Ink, Opacity: 0.75}, Width: thinHalf},
		drawing.Path{Lines: strong, Stroke: drawing.Paint{Colour: palette.Paper, Opacity: 0.9}, Width: casingHalf * weight},
		drawing.Path{Lines: strong, Stroke: drawing.Solid(palette.Ink), Width: strongHalf * weight})
	out := &drawing.Page{Width: float64(pg.size.X) / picturePx, Height: float64(pg.size.Y) / picturePx}
	out.Add(drawing.Moved(shapes, drawing.Point{X: ground.Left, Y: ground.Top})...)
	out.Add(pg.shapes(len(zm.Fleet))...)
	return out, nil
}

// inRows calls do for shares of h rows, one on each processor; shares begin at
// multiples of block. A panic of one of them is its caller's.
func inRows(h int, do func(from, to int)) {
	share := (h/runtime.GOMAXPROCS(0)/block + 1) * block
	var all beside.Group
	for from := 0; from < h; from += share {
		all.Go(func() { do(from, min(from+share, h)) })
	}
	all.Wait()
}

// outlinesOf are the outlines of lots, none for a lot without a coverage.
func outlinesOf(zm *zoning.ZoneMap) []orb.MultiPolygon {
	outlines := make([]orb.MultiPolygon, len(zm.Lots))
	for i, lot := range zm.Lots {
		if lot.Coverage != nil {
			outlines[i] = lot.Coverage.Outline()
		}
	}
	return outlines
}

// Half the widths of lines in pixels: round zones, round lots, and of the white
// in which those round lots are cased to stand out on any ground.
const (
	thinHalf   = 0.5
	strongHalf = 1.7
	casingHalf = 4.0
)

// lineWeight is the strength of the lines round lots: small lots get lighter
// ones.
func (t totals) lineWeight(metresPerPixel float64) float64 {
	const (
		fullSide = 45 // pixels along a lot that bears the full weight
		lightest = 0.4
	)
	side := math.Sqrt(t.acres/float64(t.lots)*terrain.SquareMetresPerAcre) / metresPerPixel
	return min(max(side/fullSide, lightest), 1)
}

// washStrength is how much paper lies over the ground behind a name.
const washStrength = 0.85

// zoneEdges are the lines round zones, lotEdges those round lots, in points.
func zoneEdges(v *view, zm *zoning.ZoneMap) [][]drawing.Point {
	var out [][]drawing.Point
	for _, lot := range zm.Lots {
		for _, z := range lot.Zones {
			out = v.polylines(out, z.Ground, 1.3)
		}
	}
	return out
}

func lotEdges(v *view, outlines []orb.MultiPolygon) [][]drawing.Point {
	var out [][]drawing.Point
	for _, o := range outlines {
		out = v.polylines(out, o, 0.5)
	}
	return out
}

// polylines adds the edges of polygons, joined where one begins as the last ends.
func (v *view) polylines(out [][]drawing.Point, ground orb.MultiPolygon, shortest float64) [][]drawing.Point {
	projection(v.pixel).edges(ground, shortest, func(x0, y0, x1, y1 float64) {
		from, to := drawing.Point{X: x0 / picturePx, Y: y0 / picturePx}, drawing.Point{X: x1 / picturePx, Y: y1 / picturePx}
		if n := len(out) - 1; n >= 0 && out[n][len(out[n])-1] == from {
			out[n] = append(out[n], to)
			return
		}
		out = append(out, []drawing.Point{from, to})
	})
	return out
}

// inPoints is a box of pixels on the drawing.
func inPoints(b image.Rectangle) drawing.Box {
	return drawing.Box{Left: float64(b.Min.X) / picturePx, Top: float64(b.Min.Y) / picturePx,
		Right: float64(b.Max.X) / picturePx, Bottom: float64(b.Max.Y) / picturePx}
}

// shapes are all of a page but the ground, and lie over it.
func (p *page) shapes(machines int) []drawing.Shape {
	var out []drawing.Shape
	for _, s := range p.swatches {
		box := inPoints(s.box)
		sample := hatchedSwatch(drawing.Box{Right: box.Width(), Bottom: box.Height()},
			palette.GroundOf(s.band, machines), hatchingOf(s.band, machines))
		out = append(out, drawing.Moved(sample, drawing.Point{X: box.Left, Y: box.Top})...)
	}
	for _, b := range p.bars {
		out = append(out, filled(inPoints(b.box), drawing.Solid(b.colour)))
	}
	const tall = northSize / picturePx
	north := drawing.Point{X: float64(p.north.X) / picturePx, Y: float64(p.north.Y) / picturePx}
	out = append(out, northArrow(north, tall)...)
	for _, t := range p.texts {
		out = append(out, t.text())
	}
	for _, t := range p.names {
		out = append(out, filled(inPoints(t.box), drawing.Paint{Colour: palette.Paper, Opacity: washStrength}), t.text())
	}
	return append(out, drawing.Path{Lines: [][]drawing.Point{inPoints(p.ground).Inset(0.25).Ring()}, Closed: true,
		Stroke: drawing.Solid(palette.Ink), Width: 1 / picturePx})
}

func filled(b drawing.Box, with drawing.Paint) drawing.Path {
	return drawing.Path{Lines: [][]drawing.Point{b.Ring()}, Closed: true, Fill: with}
}

// text is a caption on the drawing.
func (c caption) text() drawing.Text {
	return drawing.Text{At: drawing.Point{X: float64(c.at.X) / picturePx, Y: float64(c.at.Y) / picturePx},
		Size: stylePx[c.style] / picturePx, Bold: c.style.bold(), Colour: c.colour, Words: c.words}
}
