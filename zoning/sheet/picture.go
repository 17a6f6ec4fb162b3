package sheet

import (
	"errors"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"runtime"
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/relief"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
)

// errNoGround says that nothing can be drawn.
var errNoGround = errors.New("the zone map has no ground to draw; map at least one parcel first")

// Picture writes a map as a PNG image: relief of the ground, zones, boundaries,
// and a legend with the acres of every band. g is the window of elevation that
// the map was made on; ground beyond it is left plain.
func Picture(w io.Writer, g *terrain.Grid, zm *zoning.ZoneMap) error {
	img, err := render(g, zm)
	if err != nil {
		return err
	}
	// Pressing harder saves a fifth and takes as long as all the rest.
	e := png.Encoder{CompressionLevel: png.BestSpeed}
	return e.Encode(w, img)
}

func render(g *terrain.Grid, zm *zoning.ZoneMap) (*image.Paletted, error) {
	p, ok := planeOf(g.Frame, zm)
	if !ok {
		return nil, errNoGround
	}
	l, err := newLetters()
	if err != nil {
		return nil, err
	}
	zm, numbered := legible(zm)
	if numbered {
		zm.Warnings = slices.Insert(slices.Clone(zm.Warnings), min(len(zm.Warnings), maxWarnings-1), numberWords)
	}
	t := totalsOf(zm)
	pg, v := layout(l, zm, t, p)
	weight := t.lineWeight(v.metres)

	var thin, strong *strokes
	var shade *relief.Relief
	var bands []uint8
	var ps *paints
	var img *image.Paletted
	outlines := sync.OnceValue(func() []orb.MultiPolygon { return outlinesOf(zm) })
	var parts sync.WaitGroup
	parts.Go(func() { thin = zoneLines(v, zm) })
	parts.Go(func() { strong = lotLines(v, outlines(), weight) })
	parts.Go(func() { shade, err = relief.Shade(g, int(v.cellsPerPixel())) })
	parts.Go(func() { bands = bandImage(v, zm) })
	parts.Go(func() {
		ps = paintsFor(len(zm.Fleet))
		img = image.NewPaletted(image.Rectangle{Max: pg.size}, ps.palette()) // all paper
		pg.draw(img, ps)
		if t.lots > 1 {
			pg.labels(v, zm.Lots, outlines())
		}
	})
	parts.Wait()
	if err != nil {
		return nil, err
	}

	at, inked, cased := pg.ground.Min, ps.brush(palette.Ink), ps.brush(palette.Paper)
	inRows(v.h, func(from, to int) {
		ps.paint(img, at, v, from, to, shade, bands)
		thin.draw(img, at, from, to, pen{thinHalf, inked, 0.75})
		strong.draw(img, at, from, to, pen{casingHalf * weight, cased, 0.9})
		strong.draw(img, at, from, to, pen{strongHalf * weight, inked, 1})
	})
	pg.drawNames(img, inked, cased)
	ps.outline(img, pg.ground)
	return img, nil
}

// inRows calls do for shares of h rows, one on each processor; shares begin at
// multiples of block.
func inRows(h int, do func(from, to int)) {
	share := (h/runtime.GOMAXPROCS(0)/block + 1) * block
	var all sync.WaitGroup
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

// draw paints all but what lies in the ground.
func (p *page) draw(img *image.Paletted, ps *paints) {
	for _, s := range p.swatches {
		ps.sample(img, s)
	}
	for _, b := range p.bars {
		ps.fill(img, b.box, b.colour)
	}
	brushes := map[color.RGBA]*brush{palette.Ink: ps.brush(palette.Ink), palette.SoftInk: ps.brush(palette.SoftInk)}
	p.drawNorth(img, brushes[palette.Ink])
	for _, t := range p.texts {
		p.letters.draw(img, t, brushes[t.colour])
	}
}

// drawNames writes the names of lots on ground that is washed for them.
func (p *page) drawNames(img *image.Paletted, inked, washed *brush) {
	for _, t := range p.names {
		washed.wash(img, t.box, washStrength)
		p.letters.draw(img, t, inked)
	}
}

// sample draws a band in the legend as it looks on level ground.
func (p *paints) sample(img *image.Paletted, s swatch) {
	var lit [tileSide]float32
	var kinds [tileSide]uint8
	for x := range tileSide {
		lit[x], kinds[x] = float32(relief.FlatLit), uint8(s.band+1)
	}
	for y := s.box.Min.Y; y < s.box.Max.Y; y++ {
		for x := s.box.Min.X; x < s.box.Max.X; x += tileSide {
			n := min(tileSide, s.box.Max.X-x)
			p.run(img.Pix[img.PixOffset(x, y):], kinds[:], lit[:n], (y-s.box.Min.Y)%tileSide*tileSide)
		}
	}
	p.outline(img, s.box)
}

// drawNorth draws the north arrow: an N in a ring, an open angle above it.
func (p *page) drawNorth(img *image.Paletted, inked *brush) {
	const half, ring, halfW = northSize / 2, 17.0, 1.1
	s := newStrokes(northSize, northSize, halfW)
	x, y := float64(half), float64(northSize)-ring-2
	const turns = 40
	for i := range turns {
		sin0, cos0 := math.Sincos(2 * math.Pi * float64(i) / turns)
		sin1, cos1 := math.Sincos(2 * math.Pi * float64(i+1) / turns)
		s.line(x+ring*cos0, y+ring*sin0, x+ring*cos1, y+ring*sin1)
	}
	s.line(x-11, y-ring-5, x, 3)
	s.line(x, 3, x+11, y-ring-5)
	s.draw(img, p.north.Sub(image.Pt(half, half)), 0, northSize, pen{halfW, inked, 1})
	p.letters.draw(img, p.northLetter(), inked)
}

// northLetter is the N in the ring.
func (p *page) northLetter() caption {
	w := p.width(boldStyle, "N")
	x, y := p.north.X-w/2, p.north.Y+northSize/2-13
	return caption{image.Pt(x, y), boldStyle, palette.Ink, "N", image.Rect(x, y-p.ascent(boldStyle), x+w, y)}
}
