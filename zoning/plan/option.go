package plan

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// Option is one crew and what it does. Hours are of machines, added up: productive
// ones of work, scheduled ones with breakdowns, fuelling and walking, moving ones on
// the road and at the trailer. Figures are the likeliest; spreads come from
// simulation.
type Option struct {
	Goal  Goal
	Also  []Goal // others that the same crew serves
	Crew  []Brought
	Tasks []Task // by piece

	LeftAcres, HandAcres float64 // net acres that stay standing, and that go to a hand crew
	LeftByHandUSD        float64 // what a hand crew would ask for LeftAcres

	ProductiveH, ScheduledH, MovingH float64
	SpanH                            float64 // from the first machine leaving to the last one back
	WorkingDays                      float64 // SpanH in half days of work: what Terms.Days bounds
	CalendarDays                     float64 // with days off and weather
	CostUSD, PriceUSD                float64

	Productive, Scheduled, Days, Cost, Price Spread
}

// Brought is the machines of one kind in a crew.
type Brought struct {
	Key, Name               string
	Count                   int
	NetAcres                float64
	ProductiveH, ScheduledH float64
	MovingH                 float64
	CostUSD                 float64 // of work
	MovesUSD                float64
	ExtraPerAcreUSD         float64 // the price of an acre more of such ground, support truck in it
}

// HandKey is who does a task that is no machine's.
const HandKey = "hand-work"

// Task is a piece, or what a limit leaves of one, and who works it.
type Task struct {
	Piece                   int // index in Site.Pieces
	Lot, Zone               string
	By                      string // a machine's key, HandKey, or why it is left: see [Left]
	Share                   float64
	NetAcres                float64
	ProductiveH, ScheduledH float64
	CostUSD                 float64
}

// Spread is the values that are not passed in 10, 50 and 90 of 100 cases.
type Spread struct{ P10, P50, P90 float64 }

// option works an assignment out, at the likeliest figures and at those drawn.
func (b *bidder) option(goal Goal, a *assignment, drawn []values) Option {
	t := b.tallyOf(a)
	now := t.at(b.v)
	o := Option{Goal: goal, LeftAcres: t.leftAcres, HandAcres: t.handAcres,
		LeftByHandUSD: t.leftAcres * b.v.hand, ProductiveH: now.productiveH, ScheduledH: now.scheduledH,
		MovingH: t.spentMoveH, SpanH: now.spanH, WorkingDays: halfDays(now.spanH, b.job.DayH),
		CalendarDays: roundedUp(now.calendarDays), CostUSD: now.costUSD, PriceUSD: b.job.Price(now.costUSD)}
	acres := make([]float64, len(b.kinds))
	for i := range b.lumps {
		for _, piece := range b.lumps[i].pieces {
			if b.site.Pieces[piece].NetAcres > 0 {
				o.Tasks = append(o.Tasks, b.tasks(a, i, piece)...)
			}
		}
		if n := a.by[i]; n >= 0 && b.lumps[i].ways[n].by >= 0 {
			acres[b.lumps[i].ways[n].by] += a.share[i] * b.lumps[i].acres
		}
	}
	slices.SortStableFunc(o.Tasks, func(x, y Task) int { return cmp.Compare(x.Piece, y.Piece) })
	for i, n := range a.crew {
		if n == 0 {
			continue
		}
		k, hours := b.kinds[i], now.byKind[i]
		one := Brought{Key: k.machine.Key, Name: k.machine.Name, Count: n, NetAcres: acres[i], ProductiveH: hours.productiveH,
			ScheduledH: hours.scheduledH, MovingH: float64(n) * k.moveH, CostUSD: hours.usd,
			MovesUSD: float64(n) * b.v.movesUSD(i)}
		if acres[i] > 0 {
			one.ExtraPerAcreUSD = b.job.markup() * (hours.usd + b.v.truck*hours.scheduledH) / acres[i]
		}
		o.Crew = append(o.Crew, one)
	}
	if len(drawn) > 0 {
		b.spread(&o, t, drawn)
	}
	return o
}

// tasks work out what becomes of one piece of a lump.
func (b *bidder) tasks(a *assignment, lump, i int) (tasks []Task) {
	piece := b.site.Pieces[i]
	of := func(by string, share float64) Task {
		return Task{Piece: i, Lot: piece.Lot, Zone: piece.Zone, By: by, Share: share, NetAcres: share * piece.NetAcres}
	}
	share := a.share[lump]
	if share > 0 {
		t := of(HandKey, share)
		if by := b.lumps[lump].ways[a.by[lump]].by; by == byHand {
			t.CostUSD = share * b.v.hand * piece.NetAcres
		} else {
			w, _ := b.v.load(by, b.kinds[by], piece, b.walk[i])
			t.By, t.ProductiveH, t.ScheduledH, t.CostUSD = b.kinds[by].machine.Key, share*w.productive, share*w.scheduled, share*w.usd
		}
		tasks = append(tasks, t)
	}
	if share < 1 {
		tasks = append(tasks, of(b.why(a, lump), 1-share))
	}
	return tasks
}

// spread reckons an option with every draw of figures.
func (p *planner) spread(o *Option, t *tally, drawn []values) {
	productive, scheduled := make([]float64, len(drawn)), make([]float64, len(drawn))
	span, cost := make([]float64, len(drawn)), make([]float64, len(drawn))
	for i, v := range drawn {
		d := t.at(v)
		productive[i], scheduled[i], span[i], cost[i] = d.productiveH, d.scheduledH, d.spanH, d.costUSD
	}
	same := func(v float64) float64 { return v }
	o.Productive, o.Scheduled = spreadOf(productive, same), spreadOf(scheduled, same)
	o.Days = spreadOf(span, func(h float64) float64 { return halfDays(h, p.job.DayH) })
	o.Cost, o.Price = spreadOf(cost, same), spreadOf(cost, p.job.Price)
}

// spreadOf takes percentiles, and then what rises with them.
func spreadOf(x []float64, of func(float64) float64) Spread {
	slices.Sort(x)
	at := func(q float64) float64 { return of(stat.Quantile(q, stat.LinInterp, x, nil)) }
	return Spread{at(0.1), at(0.5), at(0.9)}
}
