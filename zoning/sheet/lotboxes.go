package sheet

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// lotBoxes are the boxes around lots, in degrees; longitudes are counted on from the
// first lot's, so that no antimeridian parts them.
type lotBoxes struct {
	known          bool
	lon0           float64
	mapped, failed []orb.Bound
}

// near is a longitude within half a turn of the first lot's.
func (b *lotBoxes) near(lon float64) float64 { return b.lon0 + math.Remainder(lon-b.lon0, 360) }

// add takes the box around an outline in; what is no place on earth is left out.
func (b *lotBoxes) add(outline orb.MultiPolygon, mapped bool) {
	box, ok := b.of(outline)
	switch {
	case !ok:
	case mapped:
		b.mapped = append(b.mapped, box)
	default:
		b.failed = append(b.failed, box)
	}
}

// of is the box around an outline; ok is false where it holds no point, or one that is
// no place on earth.
func (b *lotBoxes) of(outline orb.MultiPolygon) (box orb.Bound, ok bool) {
	for _, poly := range outline {
		for _, ring := range poly {
			for _, p := range ring {
				if !(math.Abs(p[0]) <= 180 && math.Abs(p[1]) <= 90) {
					return box, false
				}
				if !b.known {
					b.known, b.lon0 = true, p[0]
				}
				p[0] = b.near(p[0])
				if !ok {
					box, ok = p.Bound(), true
				}
				box = box.Extend(p)
			}
		}
	}
	return box, ok
}

// shown are the boxes that the map is laid out for: those of lots that were mapped, or,
// where none was, of all.
func (b *lotBoxes) shown() []orb.Bound {
	if len(b.mapped) > 0 {
		return b.mapped
	}
	return b.failed
}

// span is a stretch of an axis, in metres.
type span struct{ from, to float64 }

// gaps finds the stretches between spans that none covers, the widest first, and how
// much of the axis spans cover.
func gaps(spans []span) (free []span, covered float64) {
	slices.SortFunc(spans, func(a, b span) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	if len(spans) == 0 {
		return nil, 0
	}
	from, to := spans[0].from, spans[0].to
	for _, s := range spans[1:] {
		if s.from > to {
			free = append(free, span{to, s.from})
			covered += to - from
			from = s.from
		}
		to = max(to, s.to)
	}
	slices.SortStableFunc(free, func(a, b span) int { return cmp.Compare(b.to-b.from, a.to-a.from) })
	return free, covered + to - from
}

// Empty strips between lots that lie far apart are left out of an axis of the map: at
// most mostCuts of them, each more than emptyTimes as wide as all that lots cover.
const (
	mostCuts   = 3
	emptyTimes = 2.0
	cutShown   = 0.05 // of what remains of the axis, as which a strip left out is drawn
)

// axis runs along the map, without the strips that were left out.
type axis struct {
	from, long float64 // metres; long is what is drawn, strips left out among it
	cuts       []span  // in order
	cutM       float64 // metres as which each is drawn
}

func axisOf(spans []span, cut bool) axis {
	free, covered := gaps(spans)
	a := axis{from: math.Inf(1)}
	to := math.Inf(-1)
	for _, s := range spans {
		a.from, to = min(a.from, s.from), max(to, s.to)
	}
	a.long = to - a.from
	for _, g := range free[:min(len(free), mostCuts)] {
		if cut && g.to-g.from > emptyTimes*covered {
			a.cuts = append(a.cuts, g)
			a.long -= g.to - g.from
		}
	}
	slices.SortFunc(a.cuts, func(x, y span) int { return cmp.Compare(x.from, y.from) })
	a.cutM = cutShown * a.long
	a.long += a.cutM * float64(len(a.cuts))
	return a
}

// at is how far along the drawn axis a place lies. In a strip left out it is crowded
// together.
func (a *axis) at(m float64) float64 {
	out := m - a.from
	for _, c := range a.cuts {
		if m <= c.from {
			break
		}
		inside := min(m, c.to) - c.from
		out += inside * (a.cutM/(c.to-c.from) - 1)
	}
	return out
}
