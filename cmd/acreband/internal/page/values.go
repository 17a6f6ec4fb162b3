package page

import (
	"cmp"
	"fmt"
	"strings"

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

// costsOf are the figures of a book that may be changed.
func costsOf(book *plan.Book, fleet zoning.Fleet) []costOf {
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
			out = append(out, costOf{m.Key, m.Name, c.figure, c.words, dollars(c.of, "/h")})
		}
	}
	j := book.Job
	return append(out,
		costOf{"", "The job", "haul_miles", "haul, one way", fmt.Sprintf("%gmi", j.HaulMiles)},
		costOf{"", "The job", "support_truck", "support truck, an hour", dollars(j.SupportTruck, "/h")},
		costOf{"", "The job", "hand_work", "hand work, an acre", dollars(j.HandPerAcre, "/ac")})
}

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
