package page

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/text"
)

// limitsOf are the limits of a fleet that may be changed: those that the fleet file
// gives.
func (s *Server) limitsOf(now zoning.Fleet) []limitOf {
	out := []limitOf{}
	for i, m := range s.config.Fleet {
		for _, l := range limits {
			file, _ := m.Limit(l.Key)
			// Without a manual that allows a tether, its limit on one is not in force.
			if file == 0 || l.Key == zoning.AlongLimit && m.TetherAbovePct > 0 && m.TetherBasis == "" {
				continue
			}
			current, _ := now[i].Limit(l.Key)
			out = append(out, limitOf{m.Key, m.Name, string(l.Key), l.ForOneMap, cmp.Or(l.Ground, zoning.Dry), text.LimitPct(current), text.LimitPct(file)})
		}
	}
	return out
}

// costsOf are the figures of a book that may be changed, with those of the book that the server
// was started with.
func costsOf(book, started *plan.Book, fleet zoning.Fleet, told measure.Units) []costOf {
	now, file := figuresOf(book, fleet, told), figuresOf(started, fleet, told)
	for i := range now {
		now[i].File = file[i].Value
	}
	return now
}

func figuresOf(book *plan.Book, fleet zoning.Fleet, told measure.Units) []costOf {
	var out []costOf
	for _, m := range fleet {
		f := book.Machine(m.Key)
		if f == nil {
			continue
		}
		for _, c := range []struct {
			figure, words string
			of            plan.Range
		}{{"machine", "machine, an hour", f.Machine}, {"operator", "operator, an hour", f.Operator}, {"fuel", "fuel, an hour of work", f.Fuel}, {"teeth", "teeth, an hour of work", f.Teeth}} {
			out = append(out, costOf{Machine: m.Key, Name: m.Name, Figure: c.figure, Words: c.words, Value: dollars(c.of, "/h")})
		}
	}
	j := book.Job
	haul := toTheCent(told.Miles(j.HaulMiles * measure.MetresPerMile))
	hand := plan.Range{Low: toTheCent(told.PerArea(j.HandPerAcre.Low)), Likely: toTheCent(told.PerArea(j.HandPerAcre.Likely)), High: toTheCent(told.PerArea(j.HandPerAcre.High))}
	return append(out,
		costOf{Name: "The job", Figure: "haul_miles", Words: "haul, one way", Value: fmt.Sprintf("%g%s", haul, told.ShortLongLength())},
		costOf{Name: "The job", Figure: "support_truck", Words: "support truck, an hour", Value: dollars(j.SupportTruck, "/h")},
		costOf{Name: "The job", Figure: "hand_work", Words: "hand work, " + told.AnArea(), Value: dollars(hand, perArea(told))})
}

// toTheCent is a figure for a field, which may have been typed in the other system of units.
func toTheCent(v float64) float64 { return math.Round(100*v) / 100 }

// dollars writes a range as a fleet file has it.
func dollars(r plan.Range, per string) string {
	if r.Low == r.High {
		return fmt.Sprintf("$%g%s", r.Likely, per)
	}
	parts := make([]string, 3)
	for i, v := range []float64{r.Low, r.Likely, r.High} {
		parts[i] = fmt.Sprintf("$%g%s", v, per)
	}
	return strings.Join(parts, ", ")
}
