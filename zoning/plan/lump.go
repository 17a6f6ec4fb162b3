package plan

import (
	"math"
	"slices"
)

// byHand is a hand crew, where others are indices of kinds of machines.
const byHand = -1

// lump is pieces that are worked by the same machine: those of a map whose ground has all
// but the lot in common, and else each piece by itself.
type lump struct {
	pieces []int
	acres  float64 // net
	ways   []way   // by whom it may be cleared, a hand crew first; none where nobody may
}

// way is one way to clear a lump.
type way struct {
	by    int // a kind of machine, or byHand
	usd   float64
	hours float64       // of one machine; 0 by hand
	in    []hoursInArea // where those hours are, in order
}

type hoursInArea struct {
	area  int
	hours float64
}

// lumps are the ground of a site that is to be cleared.
func (p *planner) lumps() []lump {
	var out []lump
	at := map[pieceKey]int{}
	for i, piece := range p.site.Pieces {
		if piece.closed() {
			continue
		}
		if p.site.keys == nil {
			out = append(out, lump{pieces: []int{i}})
			continue
		}
		n, ok := at[p.site.keys[i]]
		if !ok {
			n = len(out)
			at[p.site.keys[i]] = n
			out = append(out, lump{})
		}
		out[n].pieces = append(out[n].pieces, i)
	}
	for n := range out {
		p.fill(&out[n])
	}
	return out
}

// fill finds the acres of a lump and the ways to clear it.
func (p *planner) fill(l *lump) {
	for _, i := range l.pieces {
		l.acres += p.site.Pieces[i].NetAcres
	}
	if p.job.Rest == Hand {
		l.ways = append(l.ways, way{by: byHand, usd: p.v.hand * l.acres})
	}
	for k := range p.kinds {
		if w, ok := p.way(l, k); ok {
			l.ways = append(l.ways, w)
		}
	}
}

// way reckons a lump for a kind; false where it cannot work it.
func (p *planner) way(l *lump, k int) (way, bool) {
	out := way{by: k}
	for _, i := range l.pieces {
		w, ok := p.v.load(k, p.kinds[k], p.site.Pieces[i], p.walk[i])
		if !ok {
			return way{}, false
		}
		out.usd += w.usd
		out.hours += w.scheduled
		a := p.areas.of[i]
		n := slices.IndexFunc(out.in, func(h hoursInArea) bool { return h.area == a })
		if n < 0 {
			n = len(out.in)
			out.in = append(out.in, hoursInArea{area: a})
		}
		out.in[n].hours += w.scheduled
	}
	return out, true
}

// limits are what a job may take: +Inf without.
type limits struct {
	spanH   float64 // moves and work
	costUSD float64
}

// limits turns days and budget into hours and cost. Days count in halves, as they are
// printed, and so does a window: what it has of half a day is no day of work.
func (j *Job) limits() limits {
	working := j.windowWorkingDays()
	if j.Days > 0 {
		working = min(working, j.Days)
	}
	l := limits{spanH: math.Floor(2*working+ofSums) / 2 * j.DayH, costUSD: math.Inf(1)}
	if j.BudgetUSD > 0 {
		l.costUSD = j.BudgetUSD / j.markup()
		if j.MinimumUSD > j.BudgetUSD {
			l.costUSD = 0
		}
	}
	return l
}

// none reports whether nothing is limited.
func (l limits) none() bool { return l == limits{math.Inf(1), math.Inf(1)} }
