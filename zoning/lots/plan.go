package lots

import (
	"strconv"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"

	"github.com/acreband/acreband/zoning/lots/internal/tour"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/text"
)

// stop is a lot on a machine's round.
type stop struct {
	place int
	lot   string
	at    orb.Point
	acres float64
	days  float64
	known bool // whether days are
	scrap bool // whether it is too little to count in what the lot needs
}

// addStops takes a lot into the rounds of the machines that have ground in it. Ground
// that several lots have is worked once, as the first's, and no machine goes to a lot for
// a sliver.
func (a *assembly) addStops(place int, r *record, o Outputs) {
	if r.Fault != nil || a.planned[r.SameGround] {
		return
	}
	a.planned[place] = true
	if r.SameGround > 0 { // the first of them has no map: its ground is this lot's now
		a.planned[r.SameGround] = true
	}
	for _, z := range r.Zones {
		if !a.fleet.IsMachine(z.Band) || z.Acres < plan.LeastWorkAcres {
			continue
		}
		s := stop{place: place, lot: r.Lot, at: r.At, acres: z.Acres, scrap: !sheet.Counts(z.Acres, r.Acres)}
		if o.Book != nil {
			s.days, s.known = o.Book.Days(a.fleet[z.Band].Key, o.Cover, z.Acres, float64(z.SlopePct))
		}
		a.stops[z.Band] = append(a.stops[z.Band], s)
	}
}

// plan finds for each machine the order of its lots, a round that begins with the first
// of them in the file, and writes plan.csv where it is wanted, in the run's units. The way to a
// lot is that from the one before it.
func (a *assembly) plan(o Outputs) error {
	table, err := a.table(planName, o.Plan)
	if err != nil {
		return err
	}
	table.Row(a.inUnits([]string{"machine", "order", "lot", "feature_no", "acres", "days", "miles_from_previous"})...) // errors stay until the flush
	for k, m := range a.fleet {
		if len(a.stops[k]) > 0 {
			round := a.planOne(table, m.Key, a.stops[k])
			round.Machine = m.Name
			a.made.Plan = append(a.made.Plan, round)
			a.stops[k] = nil // a county's take much memory
		}
	}
	return table.Flush()
}

// planOne writes the round of one machine.
func (a *assembly) planOne(table *text.Table, key string, stops []stop) (sum sheet.Round) {
	places := make([]orb.Point, len(stops))
	for i, s := range stops {
		places[i] = s.at
	}
	round := tour.Of(places)
	sum.Lots, sum.RoundM, sum.AtLeastM = len(stops), round.LengthM, round.AtLeastM
	for i, p := range round.Order {
		s := stops[p]
		days, way := "", ""
		if s.known {
			days = strconv.FormatFloat(s.days, 'f', 3, 64)
		}
		if i > 0 {
			way = strconv.FormatFloat(a.units.Miles(geo.DistanceHaversine(places[round.Order[i-1]], s.at)), 'f', 3, 64)
		}
		sum.Acres += s.acres
		sum.Days += s.days
		if s.scrap {
			sum.Scraps++
		}
		if i < sheet.MostStops {
			sum.Stops = append(sum.Stops, sheet.Stop{Lot: s.lot, Acres: s.acres, Days: s.days, Scrap: s.scrap})
		}
		table.Row(key, strconv.Itoa(i+1), s.lot, strconv.Itoa(s.place), a.areaText(s.acres), days, way)
	}
	return sum
}
