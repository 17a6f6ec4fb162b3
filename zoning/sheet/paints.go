package sheet

import (
	"image"
	"image/color"
	"math"
	"slices"

	"github.com/acreband/acreband/zoning/palette"
)

// paints are the colours of a picture: at most 256, so that it is written one
// byte a pixel. Each is known by its place among them, from bright to dark: paper
// is 0, and an image begins as paper.
//
// Every tint has a ramp from the ink of its hatching up through its shades of
// relief to paper: hatching, relief and names on washed ground mix only these.
// Greys, in which text and lines are drawn too, have one ramp from ink to paper.
type paints struct {
	colours []color.RGBA
	kinds   []kind // of ground: one more than the band, 0 outside the lots
}

// kind is how a kind of ground is painted.
type kind struct {
	// colours holds inkSteps for each shade of relief, and last for where
	// there is none.
	colours [(shades + 1) * inkSteps]uint8
	tile    *tile
}

// shades is how many steps of brightness are looked up; a ramp has fewer.
const shades = 128

// shadeAt is the shade for a brightness of relief.
func shadeAt(lit float32) int { return int(lit*(shades-1) + 0.5) }

const (
	maxColours = 256
	mostTints  = 46 // of relief in one tint: more cannot be told apart
	mostGreys  = 80 // of relief in the greys, which cover more brightness
)

// Colours in a tint's ramp beside those of relief.
const (
	toInk   = 5 // from the ink of the hatching to the darkest
	toPaper = 2 // between the brightest and paper
)

// Colours in the greys' ramp beside those of relief.
const (
	inkGreys   = 8 // from ink to softInk
	darkGreys  = 5 // from softInk to the darkest
	lightGreys = 4 // between the brightest and paper
)

func paintsFor(machines int) *paints {
	tints := min(machines, len(palette.MachineColours))
	// Relief of the greys covers 8 parts of brightness where a tint covers 5.
	left := maxColours - 2 - inkGreys - darkGreys - lightGreys - tints*(1+toInk+toPaper)
	each := min(left*5/(8+5*tints), mostTints)
	p := &paints{}
	p.addGreys(min(left-tints*each, mostGreys))
	for b := range tints {
		again := 1.0
		if b+len(palette.MachineColours) < machines {
			again = palette.MachineColours[b].Again
		}
		p.addTint(palette.GroundOf(b, machines), again, each)
	}
	slices.SortStableFunc(p.colours, func(a, b color.RGBA) int { return bright(b) - bright(a) })
	p.addKind(palette.Outside, &tile{}, palette.FadedRelief)
	for b := range machines + palette.Rest {
		p.addKind(palette.GroundOf(b, machines), patternOf(b, machines).tile(), palette.ZoneRelief)
	}
	return p
}

// addGreys adds paper, ink, and greys of relief: of ground outside the lots, and
// darker ones that are seen only under close hatching.
func (p *paints) addGreys(relief int) {
	p.colours = append(p.colours, palette.Paper, palette.Ink)
	darkest, far := palette.Shaded(palette.NoMachine, 0, palette.ZoneRelief), palette.Shaded(palette.FarGround, 0, palette.FadedRelief)
	brightest := palette.Shaded(palette.FarGround, 1, palette.FadedRelief)
	p.ramp(palette.Ink, palette.SoftInk, inkGreys, inkGreys)
	p.ramp(palette.SoftInk, darkest, darkGreys, darkGreys)
	p.ramp(darkest, palette.NoMachine, relief/4, relief/4)
	p.ramp(palette.NoMachine, far, relief/12, relief/12)
	relief -= relief/4 + relief/12
	p.ramp(far, brightest, relief, relief)
	p.ramp(brightest, palette.Paper, lightGreys, lightGreys+1)
}

// addTint adds the ramp of a tint with so many colours of relief, about evenly
// apart in brightness. A tint that comes round again at a lift shares its ramp.
func (p *paints) addTint(g palette.Ground, again float64, relief int) {
	darkest := palette.Lit(g.Tint, min(again, 1)*palette.ReliefLight(0, palette.ZoneRelief))
	brightest := palette.Lit(g.Tint, max(again, 1)*palette.ReliefLight(1, palette.ZoneRelief))
	p.colours = append(p.colours, g.Hatch)
	p.ramp(g.Hatch, darkest, toInk, toInk)
	shadow := relief * (bright(g.Tint) - bright(darkest)) / (bright(brightest) - bright(darkest))
	p.ramp(darkest, g.Tint, shadow, shadow)
	p.ramp(g.Tint, brightest, relief-shadow, relief-shadow)
	p.ramp(brightest, palette.Paper, toPaper, toPaper+1)
}

// ramp adds the first n of so many steps from one colour to another, without
// the first colour.
func (p *paints) ramp(from, to color.RGBA, n, steps int) {
	for i := 1; i <= n; i++ {
		p.colours = append(p.colours, palette.Mix(from, to, float64(i)/float64(steps)))
	}
}

func (p *paints) addKind(g palette.Ground, t *tile, relief float64) {
	k := kind{tile: t}
	for s := range shades + 1 {
		tint := g.Bare
		if s < shades {
			tint = g.Shade(float64(s)/(shades-1), relief)
		}
		for i := range inkSteps {
			k.colours[s*inkSteps+i] = p.nearest(palette.Mix(tint, g.Hatch, float64(i)/(inkSteps-1)))
		}
	}
	p.kinds = append(p.kinds, k)
}

// bright is how bright a colour looks, eight times 0 to 255.
func bright(c color.RGBA) int { return 2*int(c.R) + 5*int(c.G) + int(c.B) }

// nearest is the paint that differs least from a colour. Brightness weighs most:
// it is what the rims of lines and letters are made of. Paints lie in its order.
func (p *paints) nearest(c color.RGBA) uint8 {
	from, _ := slices.BinarySearchFunc(p.colours, c, func(q, c color.RGBA) int { return bright(c) - bright(q) })
	least, at := math.MaxInt, 0
	search := func(i, step int) {
		for ; i >= 0 && i < len(p.colours); i += step {
			q := p.colours[i]
			r, g, b := int(q.R)-int(c.R), int(q.G)-int(c.G), int(q.B)-int(c.B)
			apart := 2*r + 5*g + b // in brightness
			if apart*apart >= least {
				return
			}
			if d := apart*apart + 8*(r*r+g*g+b*b); d < least {
				least, at = d, i
			}
		}
	}
	search(from, 1)
	search(from-1, -1)
	return uint8(at)
}

// indexed is an image in the paints nearest to its colours.
func (p *paints) indexed(img *image.RGBA) *image.Paletted {
	out := image.NewPaletted(img.Rect, p.palette())
	inRows(img.Rect.Dy(), func(from, to int) {
		p.index(out.Pix[from*out.Stride:to*out.Stride], img.Pix[from*img.Stride:to*img.Stride])
	})
	return out
}

// index finds the paints nearest to pixels of four bytes.
func (p *paints) index(out, pixels []uint8) {
	known := map[color.RGBA]uint8{}
	// Most pixels have one of a few colours: a table by hash alone answers for those that
	// were asked for last.
	const bits = 12
	var last [1 << bits]struct {
		of    color.RGBA
		paint uint8
		known bool
	}
	for i := range out {
		px := pixels[4*i:][:4]
		c := color.RGBA{px[0], px[1], px[2], px[3]}
		at := &last[(uint32(c.R)|uint32(c.G)<<8|uint32(c.B)<<16|uint32(c.A)<<24)*2654435761>>(32-bits)]
		if !at.known || at.of != c {
			n, ok := known[c]
			if !ok {
				n = p.nearest(c)
				known[c] = n
			}
			at.of, at.paint, at.known = c, n, true
		}
		out[i] = at.paint
	}
}

// palette is the paints as an image holds them.
func (p *paints) palette() color.Palette {
	all := make(color.Palette, len(p.colours))
	for i, c := range p.colours {
		all[i] = c
	}
	return all
}
