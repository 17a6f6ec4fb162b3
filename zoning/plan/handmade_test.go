package plan

import "math"

// ours is a kind of machine of a job made by hand: how many there are, and what moving one
// in and out takes.
type ours struct {
	owned          int
	moveH, moveUSD float64
}

// movesAlone is a cost model of which only moves are asked: they cost what is noted.
type movesAlone struct{ ByRate }

func (movesAlone) MoveUSD(d *Draw) float64 { return d.Machine }

// bidsOf is a bidder made by hand, without limits: days of ten hours, a price that is the
// cost, a support truck at truckUSD an hour.
func bidsOf(truckUSD float64, kinds []ours, room []float64, lumps ...lump) *bidder {
	p := &planner{site: &Site{}, job: &Job{DayH: 10, WeekDays: 7}, areas: areas{room: room}, v: values{cost: movesAlone{}, truck: truckUSD}}
	for i, k := range kinds {
		p.kinds = append(p.kinds, kind{fleet: i, owned: k.owned, moveH: k.moveH})
		p.v.machines = append(p.v.machines, Draw{Machine: k.moveUSD})
	}
	b := &bidder{planner: p, lumps: lumps, limits: limits{math.Inf(1), math.Inf(1)}}
	b.findTight()
	return b
}

// limitedTo puts limits on a bidder.
func (b *bidder) limitedTo(spanH, costUSD float64) *bidder {
	b.limits, b.tight = limits{spanH, costUSD}, nil
	b.findTight()
	return b
}

// lumpOf is a lump of acres.
func lumpOf(acres float64, ways ...way) lump { return lump{acres: acres, ways: ways} }

// by is a way of a kind of machine, with its hours in each area.
func by(kind int, usd float64, hours ...float64) way {
	w := way{by: kind, usd: usd}
	for a, h := range hours {
		w.hours += h
		if h > 0 {
			w.in = append(w.in, hoursInArea{a, h})
		}
	}
	return w
}

// hand is the way of a hand crew.
func hand(usd float64) way { return way{by: byHand, usd: usd} }

// unlimited is more than any job takes.
var unlimited = math.Inf(1)
