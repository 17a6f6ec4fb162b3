package plan

import (
	"slices"

	"gonum.org/v1/gonum/stat"
)

// Option is one crew and what it does. Hours are of machines, added up: productive
// ones of work, scheduled ones with breakdowns, fuelling and walking, moving ones on
// the road and at the trailer. Figures are the likeliest; spreads come from
// simulation.
type Option struct {
	Goal  Goal
	Crew  []Brought
	Tasks []Task // by piece

	LeftAcres, HandAcres float64 // net acres that stay standing, and that go to a hand crew
	LeftByHandUSD        float64 // what a hand crew would ask for LeftAcres

	ProductiveH, ScheduledH, MovingH float64
	SpanH                            float64 // from the first machine leaving to the last one back
	WorkingDays                      float64 // SpanH in half days of work
	CalendarDays                     float64 // with days off and weather
	CostUSD, PriceUSD                float64

	Productive, Scheduled, Days, Cost, Price Spread

	Proof Proof
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

// By who does a task other than a machine.
const (
	HandKey = "hand-work"
	LeftKey = "left-standing"
)

// Task is a piece, or a part of one, and who works it.
type Task struct {
	Piece                   int // index in Site.Pieces
	Lot, Zone               string
	By                      string // a machine's key, HandKey or LeftKey
	Share                   float64
	NetAcres                float64
	ProductiveH, ScheduledH float64
	CostUSD                 float64
}

// Spread is the values that are not passed in 10, 50 and 90 of 100 cases.
type Spread struct{ P10, P50, P90 float64 }

// option works a solution out at the likeliest figures.
func (p *planner) option(goal Goal, s solution, t *tally) Option {
	c := p.choice()
	now := t.at(p.v)
	o := Option{Goal: goal, LeftAcres: t.leftAcres, HandAcres: t.handAcres,
		LeftByHandUSD: t.leftAcres * p.v.hand, ProductiveH: now.productiveH, ScheduledH: now.scheduledH,
		MovingH: t.spentMoveH, SpanH: now.spanH, WorkingDays: halfDays(now.spanH, p.job.DayH),
		CalendarDays: roundedUp(now.calendarDays), CostUSD: now.costUSD, PriceUSD: p.job.Price(now.costUSD), Proof: s.proof}
	acres := make([]float64, len(p.kinds))
	for i, share := range s.share {
		for n, part := range share {
			if part > 0 && !p.site.Pieces[i].closed() && p.site.Pieces[i].NetAcres > 0 {
				task := p.task(i, c.pieces[i][n], part)
				o.Tasks = append(o.Tasks, task)
				if by := c.pieces[i][n].by; by >= 0 {
					acres[by] += task.NetAcres
				}
			}
		}
	}
	for i, n := range s.crew {
		if n == 0 {
			continue
		}
		k, hours := p.kinds[i], now.byKind[i]
		b := Brought{Key: k.machine.Key, Name: k.machine.Name, Count: n, NetAcres: acres[i], ProductiveH: hours.productiveH,
			ScheduledH: hours.scheduledH, MovingH: float64(n) * k.moveH, CostUSD: hours.usd,
			MovesUSD: float64(n) * p.v.movesUSD(i)}
		if acres[i] > 0 {
			b.ExtraPerAcreUSD = p.job.markup() * (hours.usd + p.v.truck*hours.scheduledH) / acres[i]
		}
		o.Crew = append(o.Crew, b)
	}
	return o
}

// task works out what becomes of one part of a piece.
func (p *planner) task(i int, o option, share float64) Task {
	piece := p.site.Pieces[i]
	t := Task{Piece: i, Lot: piece.Lot, Zone: piece.Zone, Share: share, NetAcres: share * piece.NetAcres, CostUSD: share * o.spend}
	switch o.by {
	case byNobody:
		t.By = LeftKey
	case byHand:
		t.By = HandKey
	default:
		t.By = p.kinds[o.by].machine.Key
		w, _ := p.v.load(o.by, p.kinds[o.by], piece, p.walk[i])
		t.ProductiveH, t.ScheduledH = share*w.productive, share*w.scheduled
	}
	return t
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
