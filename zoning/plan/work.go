package plan

import "github.com/acreband/acreband/zoning"

// values are one set of figures out of their ranges: the likeliest, or a draw.
type values struct {
	machines                             []machineValues
	truck, productive, obstacles, finish float64
	weather, hand, verify                float64
}

type machineValues struct {
	rate                           [covers]float64 // ac/h of productive time; 0 does not work it
	machine, operator, fuel, teeth float64
}

// pick says which value of a range counts. what names the range's cause: see [cause].
type pick func(r Range, what cause) float64

// valuesOf takes a value out of every range, in a fixed order.
func valuesOf(kinds []kind, j *Job, take pick) values {
	v := values{
		truck:      take(j.SupportTruck, wages),
		productive: take(j.Productive, ground),
		obstacles:  take(j.Obstacles, ground),
		finish:     take(j.Finish, ground),
		weather:    take(j.Weather, hindrance),
		hand:       take(j.HandPerAcre, wages),
		verify:     take(Range{0, 1, 2}, alone),
	}
	for _, k := range kinds {
		var m machineValues
		for _, c := range Classes() {
			r := k.figures.Rate[c]
			m.rate[c] = j.perHour(take(r.Range, growth(c)), r.PerDay)
		}
		f := k.figures
		m.machine, m.operator = take(f.Machine, wages), take(f.Operator, wages)
		m.fuel, m.teeth = take(f.Fuel, wages), take(f.Teeth, wages)
		v.machines = append(v.machines, m)
	}
	return v
}

func likeliest(r Range, _ cause) float64 { return r.Likely }

// kind is a kind of machine that may be brought.
type kind struct {
	fleet   int // index in the fleet
	machine zoning.Machine
	figures *Figures
	owned   int
	moveH   float64 // in and out
	permit  string  // why its load needs a permit; "" where it needs none
}

// movesUSD is what bringing one machine costs, in and out.
func (k kind) movesUSD(j *Job, v machineValues) float64 {
	usd := 2*j.HaulMiles*k.figures.HaulPerMile*float64(k.figures.Loads) + k.moveH*v.operator
	if k.permit != "" {
		usd += 2 * k.figures.PermitUSD * float64(k.figures.Loads)
	}
	return usd
}

// ease is the part of a rate that a piece itself leaves of it.
func (k kind) ease(p Piece) float64 {
	f := k.figures.SlopeFactor.At(p.SlopeMeanPct)
	if p.StemIn > 0 {
		f *= k.figures.StemFactor.At(p.StemIn)
	}
	return f
}

// productiveH is how long a machine works an acre of full ease in a cover.
func (v values) productiveH(i int, c Cover) float64 {
	return 1 / (v.machines[i].rate[c] * v.obstacles * v.finish)
}

// usd is what hours of one machine cost.
func (v values) usd(i int, productiveH, scheduledH float64) float64 {
	m := v.machines[i]
	return scheduledH*(m.machine+m.operator) + productiveH*(m.fuel+m.teeth)
}

// workload is what one piece asks of one machine.
type workload struct {
	acres      float64 // net, over the ease of the piece
	walkH      float64
	productive float64
	scheduled  float64
	usd        float64
}

// load reckons a piece for a kind; false where it cannot work it.
func (v values) load(i int, k kind, p Piece, walkM float64) (workload, bool) {
	if p.closed() || p.May&(1<<k.fleet) == 0 || !(v.machines[i].rate[p.Cover] > 0) {
		return workload{}, false
	}
	w := workload{acres: p.NetAcres / k.ease(p), walkH: walkM / (k.figures.WalkMPH * metresPerMile)}
	w.productive = w.acres * v.productiveH(i, p.Cover)
	w.scheduled = w.productive/v.productive + w.walkH
	w.usd = v.usd(i, w.productive, w.scheduled)
	return w, true
}

const metresPerMile = 5280 * zoning.MetresPerFoot
