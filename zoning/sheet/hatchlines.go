package sheet

import (
	"math"

	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// hatching is a pattern of hatch.go as lines, for paper: the same angles, distances
// and signs, in the pixels of a hatch tile.
type hatching struct {
	families []family
	signs    [][]drawing.Point // of one sign
	period   float64           // of the grid that signs are set on
	square   bool              // whether that grid is not staggered
	widthPx  float64
}

// family is the lines on which a·x + b·y is a multiple of a period, or off it by one
// of offsets. Broken lines are drawn so many pixels of every dash, every other
// line set off by half a dash.
type family struct {
	a, b, period float64
	offsets      []float64
	on, dash     float64
	along        float64 // of the middle of the first dash
}

func lines(a, b, period float64, offsets ...float64) family {
	return family{a: a, b: b, period: period, offsets: append([]float64{0}, offsets...)}
}

func line(points ...drawing.Point) []drawing.Point { return points }

var rippleSign = [][]drawing.Point{line(drawing.Point{X: -4, Y: -2}, drawing.Point{X: 4, Y: -2}), line(drawing.Point{X: -4, Y: 2}, drawing.Point{X: 4, Y: 2})}

var plusSign = [][]drawing.Point{line(drawing.Point{X: -plusArm}, drawing.Point{X: plusArm}), line(drawing.Point{Y: -plusArm}, drawing.Point{Y: plusArm})}

// machineHatchings goes with machinePatterns.
var machineHatchings = [...]hatching{
	{families: []family{lines(1, 1, 16)}, widthPx: 1.2},
	{families: []family{lines(1, -1, 16, 5)}, widthPx: 1.1},
	{families: []family{lines(1, 0, 12)}, widthPx: 1.3},
	{families: []family{{0, 1, 8, []float64{0}, 10, 16, 0}}, widthPx: 1.5},
	{signs: [][]drawing.Point{line(drawing.Point{X: -6, Y: -4.8}, drawing.Point{}, drawing.Point{X: 6, Y: -4.8})}, period: 12, square: true, widthPx: 1.4},
	{signs: plusSign, period: 16, widthPx: 1.4},
	{families: []family{lines(1, 2, 24)}, widthPx: 1.3},
	{signs: rippleSign, period: 16, widthPx: 1.4},
	{families: []family{lines(2, -1, 24)}, widthPx: 1.3},
	{families: []family{lines(0, 1, 8), {1, 0, 8, []float64{0}, 8, 16, 4}}, widthPx: 1.2},
	{families: []family{lines(0, 1, 16, 4)}, widthPx: 1.2},
	{signs: askew(plusSign), period: 16, widthPx: 1.4},
	{families: []family{{1, 0, 8, []float64{0}, 10, 16, 0}}, widthPx: 1.5},
	{signs: [][]drawing.Point{line(drawing.Point{X: -3, Y: -2}, drawing.Point{Y: 1}, drawing.Point{X: 3, Y: -2})}, period: 16, widthPx: 1.4},
}

var (
	crossHatching = hatching{families: []family{lines(1, 1, 8), lines(1, -1, 8)}, widthPx: 1.5}
	barHatching   = hatching{families: []family{lines(0, 1, 8)}, widthPx: 4.2}
	gridHatching  = hatching{families: []family{lines(1, 0, 16), lines(0, 1, 16)}, widthPx: 1.1}
	ringHatching  = hatching{signs: [][]drawing.Point{arcPoints(3, 0, 360)}, period: 16, widthPx: 1.4}
	dotHatching   = hatching{signs: [][]drawing.Point{line(drawing.Point{}, drawing.Point{X: 0.01})}, period: 12, widthPx: 2.7}
)

// hatchingOf is the hatching of a band in a fleet of n machines.
func hatchingOf(band, n int) hatching {
	switch {
	case band < n:
		return machineHatchings[band%len(machineHatchings)]
	case band == n+palette.NeedsMachine:
		return gridHatching
	case band == n+palette.WaitsDry:
		return ringHatching
	case band == n+palette.ForNone:
		return crossHatching
	case band == n+palette.Unknown:
		return dotHatching
	}
	return barHatching
}

// arcPoints are points on an arc around the origin.
func arcPoints(radius, fromDeg, toDeg float64) []drawing.Point {
	const n = 16
	points := make([]drawing.Point, n+1)
	for i := range points {
		sin, cos := math.Sincos((fromDeg + (toDeg-fromDeg)*float64(i)/n) * math.Pi / 180)
		points[i] = drawing.Point{X: radius * cos, Y: radius * sin}
	}
	return points
}

// askew is lines turned by 45°.
func askew(all [][]drawing.Point) [][]drawing.Point {
	out := make([][]drawing.Point, len(all))
	for i, l := range all {
		for _, p := range l {
			out[i] = append(out[i], drawing.Point{X: (p.X - p.Y) / math.Sqrt2, Y: (p.X + p.Y) / math.Sqrt2})
		}
	}
	return out
}

// in draws the hatching in a box, a pixel being so many points, where inside holds.
func (h hatching) in(box drawing.Box, pt float64, inside func(drawing.Point) bool) [][]drawing.Point {
	var out [][]drawing.Point
	keep := func(l []drawing.Point) { out = append(out, kept(l, box, inside)...) }
	for _, f := range h.families {
		f.each(box, pt, keep)
	}
	if h.signs == nil {
		return out
	}
	step := h.period * pt / 2
	for i := math.Floor(box.Left/step) - 1; i <= math.Ceil(box.Right/step)+1; i++ {
		for j := math.Floor(box.Top/step) - 1; j <= math.Ceil(box.Bottom/step)+1; j++ {
			// Staggered, it is two grids, one half a period off the other.
			if odd := math.Mod(math.Abs(i), 2); odd != math.Mod(math.Abs(j), 2) || h.square && odd != 0 {
				continue
			}
			for _, sign := range h.signs {
				set := make([]drawing.Point, len(sign))
				for k, p := range sign {
					set[k] = drawing.Point{X: i*step + p.X*pt, Y: j*step + p.Y*pt}
				}
				keep(set)
			}
		}
	}
	return out
}

// each calls draw for every line of a family that may meet a box.
func (f family) each(box drawing.Box, pt float64, draw func([]drawing.Point)) {
	norm := math.Hypot(f.a, f.b)
	ux, uy := -f.b/norm, f.a/norm // along
	middle := box.Middle()
	reach := math.Hypot(box.Width(), box.Height())/2 + 1
	at := (f.a*middle.X + f.b*middle.Y) / pt
	for k := math.Floor((at - reach*norm/pt) / f.period); k <= math.Ceil((at+reach*norm/pt)/f.period); k++ {
		for _, o := range f.offsets {
			away := ((k*f.period+o)*pt - f.a*middle.X - f.b*middle.Y) / (norm * norm)
			foot := drawing.Point{X: middle.X + away*f.a, Y: middle.Y + away*f.b}
			spot := func(s float64) drawing.Point { return drawing.Point{X: foot.X + s*ux, Y: foot.Y + s*uy} }
			if f.dash == 0 {
				draw([]drawing.Point{spot(-reach), spot(reach)})
				continue
			}
			// Dashes begin at the same places of the page on every other line.
			origin := f.along*pt - (foot.X*ux + foot.Y*uy)
			if int(math.Abs(k))%2 == 1 {
				origin += f.dash / 2 * pt
			}
			for n := math.Floor((-reach - origin) / (f.dash * pt)); n <= (reach-origin)/(f.dash*pt); n++ {
				mid := origin + n*f.dash*pt
				draw([]drawing.Point{spot(mid - f.on/2*pt), spot(mid + f.on/2*pt)})
			}
		}
	}
}

// kept is what of a line lies inside, found in steps of a quarter of a point. Nothing outside
// the box lies inside.
func kept(l []drawing.Point, box drawing.Box, inside func(drawing.Point) bool) [][]drawing.Point {
	const step = 0.25
	var out [][]drawing.Point
	var piece []drawing.Point
	end := func() {
		if len(piece) > 1 {
			out = append(out, piece)
		}
		piece = nil
	}
	for i := 1; i < len(l); i++ {
		a, b := l[i-1], l[i]
		n := max(1, math.Ceil(math.Hypot(b.X-a.X, b.Y-a.Y)/step))
		from, to := stepsIn(a, b, box, n)
		last := a
		for s := from; s <= to; s++ {
			p := drawing.Point{X: a.X + (b.X-a.X)*s/n, Y: a.Y + (b.Y-a.Y)*s/n}
			if inside(p) {
				if len(piece) == 0 {
					piece = append(piece, p)
				}
				last = p
				continue
			}
			if len(piece) > 0 {
				piece = append(piece, last)
			}
			end()
		}
		if len(piece) > 0 {
			piece = append(piece, last)
			if to < n {
				end()
			}
		}
	}
	end()
	return out
}

// stepsIn are the first and last of n steps from a to b that may lie in a box, at most one
// too many at either end; first > last where none do.
func stepsIn(a, b drawing.Point, box drawing.Box, n float64) (first, last float64) {
	from, to := 0.0, n
	for _, side := range [2]struct{ at, move, low, high float64 }{
		{a.X, b.X - a.X, box.Left, box.Right}, {a.Y, b.Y - a.Y, box.Top, box.Bottom},
	} {
		enters, leaves := (side.low-side.at)/side.move*n, (side.high-side.at)/side.move*n
		if side.move < 0 {
			enters, leaves = leaves, enters
		}
		// Along the box's sides it enters and leaves nowhere.
		if math.Abs(side.move) < 1e-6 {
			enters, leaves = 0, n
		}
		from, to = max(from, math.Floor(enters)-1), min(to, math.Ceil(leaves)+1)
	}
	return from, to
}
