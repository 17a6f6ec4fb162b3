package sheet

import (
	"errors"
	"image"
	"image/draw"
	"io"
	"math"
	"sync"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
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
	return writePNG(w, img)
}

func render(g *terrain.Grid, zm *zoning.ZoneMap) (*image.RGBA, error) {
	p, ok := planeOf(g.Frame, zm)
	if !ok {
		return nil, errNoGround
	}
	l, err := newLetters()
	if err != nil {
		return nil, err
	}
	t := totalsOf(zm)
	pg, v := layout(l, zm, t, p)
	img := image.NewRGBA(image.Rectangle{Max: pg.size})
	draw.Draw(img, img.Bounds(), image.NewUniform(paper), image.Point{}, draw.Src)

	outlines := make([]orb.MultiPolygon, len(zm.Lots))
	var thin, strong *strokes
	var lines sync.WaitGroup
	lines.Go(func() { // on another processor than the ground
		for i, lot := range zm.Lots {
			if lot.Coverage != nil {
				outlines[i] = lot.Coverage.Outline()
			}
		}
		thin, strong = drawLines(v, zm, outlines)
	})
	ps := paintsFor(len(zm.Fleet))
	relief := terrain.Shade(g, int(v.cellsPerPixel()))
	ps.paint(img, pg.ground.Min, v, relief, bandImage(v, zm))
	lines.Wait()
	weight := t.lineWeight(v.metres)
	thin.draw(img, pg.ground.Min, pen{0.5, ink, 0.75})
	strong.draw(img, pg.ground.Min, pen{4 * weight, paper, 0.9}, pen{1.7 * weight, ink, 1})
	if t.lots > 1 {
		pg.labels(v, zm.Lots, outlines)
	}
	pg.draw(img, ps)
	return img, nil
}

// drawLines gathers thin lines round zones and strong ones round lots, which
// are to be cased in white to stand out on any ground.
func drawLines(v *view, zm *zoning.ZoneMap, outlines []orb.MultiPolygon) (thin, strong *strokes) {
	thin = newStrokes(v.w, v.h, 1.1)
	strong = newStrokes(v.w, v.h, 5)
	for i, lot := range zm.Lots {
		for _, z := range lot.Zones {
			v.edges(z.Ground, 1.3, thin.line)
		}
		v.edges(outlines[i], 0.5, strong.line)
	}
	return thin, strong
}

// lineWeight is the strength of the lines round lots: small lots get lighter
// ones.
func (t totals) lineWeight(metresPerPixel float64) float64 {
	const (
		fullSide = 45 // pixels along a lot that bears the full weight
		lightest = 0.4
	)
	side := math.Sqrt(t.acres/float64(t.lots)*zoning.SquareMetresPerAcre) / metresPerPixel
	return min(max(side/fullSide, lightest), 1)
}

func (p *page) draw(img *image.RGBA, ps *paints) {
	outlined(img, p.ground)
	for _, s := range p.swatches {
		ps.sample(img, s)
	}
	for _, b := range p.bars {
		draw.Draw(img, b.box, image.NewUniform(b.colour), image.Point{}, draw.Src)
	}
	p.drawNorth(img)
	for _, t := range p.names {
		wash(img, t.box)
		p.letters.draw(img, t)
	}
	for _, t := range p.texts {
		p.letters.draw(img, t)
	}
}

// washStrength is how much paper lies over the ground behind a name.
const washStrength = 0.85

// wash lightens a box so that text on it can be read.
func wash(img *image.RGBA, box image.Rectangle) {
	for y := box.Min.Y; y < box.Max.Y; y++ {
		px := img.Pix[img.PixOffset(box.Min.X, y):img.PixOffset(box.Max.X, y)]
		for i := range px {
			px[i] = blend(px[i], 0xFF, washStrength) // paper
		}
	}
}

// outlined draws a thin line just inside a box.
func outlined(img *image.RGBA, box image.Rectangle) {
	src := image.NewUniform(ink)
	for _, side := range [4]image.Rectangle{
		{box.Min, image.Pt(box.Max.X, box.Min.Y+1)}, {image.Pt(box.Min.X, box.Max.Y-1), box.Max},
		{box.Min, image.Pt(box.Min.X+1, box.Max.Y)}, {image.Pt(box.Max.X-1, box.Min.Y), box.Max},
	} {
		draw.Draw(img, side, src, image.Point{}, draw.Src)
	}
}

// sample draws a band in the legend as it looks on level ground.
func (p *paints) sample(img *image.RGBA, s swatch) {
	k := s.band + 1
	lit := int(terrain.FlatLit*(shades-1) + 0.5)
	for y := s.box.Min.Y; y < s.box.Max.Y; y++ {
		for x := s.box.Min.X; x < s.box.Max.X; x++ {
			n := p.tiles[k][(y-s.box.Min.Y)%tileSide*tileSide+(x-s.box.Min.X)%tileSide]
			img.SetRGBA(x, y, p.colours[k][lit][n])
		}
	}
	outlined(img, s.box)
}

// drawNorth draws the north arrow: an N in a ring, an open angle above it.
func (p *page) drawNorth(img *image.RGBA) {
	const half, ring = northSize / 2, 17.0
	s := newStrokes(northSize, northSize, 2)
	x, y := float64(half), float64(northSize)-ring-2
	const turns = 40
	for i := range turns {
		sin0, cos0 := math.Sincos(2 * math.Pi * float64(i) / turns)
		sin1, cos1 := math.Sincos(2 * math.Pi * float64(i+1) / turns)
		s.line(x+ring*cos0, y+ring*sin0, x+ring*cos1, y+ring*sin1)
	}
	s.line(x-11, y-ring-5, x, 3)
	s.line(x, 3, x+11, y-ring-5)
	s.draw(img, p.north.Sub(image.Pt(half, half)), pen{1.1, ink, 1})
	p.letters.draw(img, p.northLetter())
}

// northLetter is the N in the ring.
func (p *page) northLetter() text {
	w := p.width(boldStyle, "N")
	return text{at: image.Pt(p.north.X-w/2, p.north.Y+northSize/2-13), style: boldStyle, colour: ink, words: "N"}
}
