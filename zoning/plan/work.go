package plan

import "github.com/acreband/acreband/zoning"

// values are one set of figures out of their ranges: the likeliest, or a draw.
type values struct {
	cost                                     CostModel
	machines                                 []Draw
	truck, productive, weather, hand, verify float64
}

// pick says which value of a range counts. what names the range's cause: see [cause].
type pick func(r Range, what cause) float64

// valuesOf takes a value out of every range, in a fixed order.
func valuesOf(model CostModel, kinds []kind, j *Job, take pick) values {
	v := values{cost: model, truck: take(j.SupportTruck, wages), productive: take(j.Productive, ground)}
	obstacles, finish := take(j.Obstacles, ground), take(j.Finish, ground)
	v.weather, v.hand = take(j.Weather, hindrance), take(j.HandPerAcre, wages)
	v.verify = take(Range{0, 1, 2}, alone)
	for _, k := range kinds {
		f := k.figures
		d := Draw{Figures: f, Job: j, Obstacles: obstacles, Finish: finish, MoveH: k.moveH, Permit: k.permit != ""}
		for _, c := range Classes() {
			r := f.Rate[c]
			d.AcresPerHour[c] = j.perHour(take(r.Range, growth(c)), r.PerDay)
		}
		d.Machine, d.Operator = take(f.Machine, wages), take(f.Operator, wages)
		d.Fuel, d.Teeth = take(f.Fuel, wages), take(f.Teeth, wages)
		v.machines = append(v.machines, d)
	}
	return v
}

func likeliest(r Range, _ cause) float64 { return r.Likely }

// movesUSD is what bringing one machine costs, in and out.
func (v values) movesUSD(i int) float64 { return v.cost.MoveUSD(&v.machines[i]) }

// productiveH is how long a machine works an acre of full ease in a cover; 0 where it does
// not work it.
func (v values) productiveH(i int, c Cover) float64 { return v.cost.HoursPerAcre(&v.machines[i], c) }

// usd is what hours of one machine cost.
func (v values) usd(i int, productiveH, scheduledH float64) float64 {
	return v.cost.WorkUSD(&v.machines[i], productiveH, scheduledH)
}

// kind is a kind of machine that may be brought.
type kind struct {
	fleet   int // index in the fleet
	machine zoning.Machine
	figures *Figures
	owned   int
	moveH   float64 // in and out
	permit  string  // why its load needs a permit; "" where it needs none
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
	if p.closed() || p.May&(1<<k.fleet) == 0 {
		return workload{}, false
	}
	perAcre, ease := v.productiveH(i, p.Cover), v.cost.Ease(k.figures, p)
	if perAcre == 0 || ease == 0 {
		return workload{}, false
	}
	w := workload{acres: p.NetAcres / ease, walkH: walkM / (k.figures.WalkMPH * metresPerMile)}
	w.productive = w.acres * perAcre
	w.scheduled = w.productive/v.productive + w.walkH
	w.usd = v.usd(i, w.productive, w.scheduled)
	return w, true
}
