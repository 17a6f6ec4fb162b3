package batch

import (
	"encoding/csv"
	"strconv"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"

	"github.com/acreband/acreband/zoning/survey"
	"github.com/acreband/acreband/zoning/tour"
)

// Share is what one machine does of a run's lots: it moves in once, and goes from lot
// to lot. Each zone is the work of its band's machine.
type Share struct {
	Machine  string // its name
	Lots     int
	Acres    float64
	Days     float64 // of one machine of the kind; 0 where they are not known
	RoundM   float64 // through the middles of all its lots and back, straight
	AtLeastM float64 // no such round is shorter
}

// stop is a lot on a machine's round.
type stop struct {
	place int
	lot   string
	at    orb.Point
	acres float64
	days  float64
	known bool // whether days are
}

// writePlan writes plan.csv: for each machine its lots in the order of a round that
// begins with the first of them in the file. The way to a lot is that from the one
// before it, in miles. Ground that several lots have is worked once, as the first's, and
// no machine goes to a lot for a sliver.
func (a *assembly) writePlan(o Outputs) error {
	stops := make([][]stop, len(a.fleet))
	planned := map[int]bool{}
	for f, err := range a.records() {
		if err != nil {
			return err
		}
		var r record
		if err := f.parseHead(&r); err != nil {
			return err
		}
		if planned[r.SameGround] {
			continue
		}
		planned[f.place] = f.kind == kindMapped
		for _, z := range r.Zones {
			if z.Band >= len(a.fleet) || z.Acres < survey.LeastWorkAcres {
				continue
			}
			s := stop{place: f.place, lot: r.Lot, at: r.At, acres: z.Acres}
			if o.Book != nil {
				s.days, s.known = o.Book.Days(a.fleet[z.Band].Key, o.Cover, z.Acres, float64(z.SlopePct))
			}
			stops[z.Band] = append(stops[z.Band], s)
		}
	}
	w, err := a.create(planName)
	if err != nil {
		return err
	}
	table := csv.NewWriter(w)
	_ = table.Write([]string{"machine", "order", "lot", "place", "acres", "days", "miles_from_previous"}) // errors stay until the flush
	for k, m := range a.fleet {
		if len(stops[k]) > 0 {
			share := planOne(table, m.Key, stops[k])
			share.Machine = m.Name
			a.made.Plan = append(a.made.Plan, share)
		}
	}
	table.Flush()
	return table.Error()
}

const metresPerMile = 1609.344

// planOne writes the round of one machine.
func planOne(table *csv.Writer, key string, stops []stop) (sum Share) {
	places := make([]orb.Point, len(stops))
	for i, s := range stops {
		places[i] = s.at
	}
	round := tour.Of(places)
	sum.Lots, sum.RoundM, sum.AtLeastM = len(stops), round.LengthM, round.AtLeastM
	for i, p := range round.Order {
		s := stops[p]
		days, miles := "", ""
		if s.known {
			days = strconv.FormatFloat(s.days, 'f', 3, 64)
		}
		if i > 0 {
			miles = strconv.FormatFloat(geo.DistanceHaversine(places[round.Order[i-1]], s.at)/metresPerMile, 'f', 3, 64)
		}
		sum.Acres += s.acres
		sum.Days += s.days
		_ = table.Write([]string{key, strconv.Itoa(i + 1), s.lot, strconv.Itoa(s.place), acresText(s.acres), days, miles})
	}
	return sum
}
