package field

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"github.com/acreband/acreband/zoning"
)

// Verdict is what readings say of a map.
type Verdict struct {
	Compared []Compared
	NotRead  []string // ids of spots without a reading

	// Limited is how many of the spots are a machine's; Over are those whose reading
	// is at or over its limit, the worst first.
	Limited int
	Over    []Compared

	// Bands are the rows and columns of Agreement.
	Bands     []string
	Agreement Agreement

	// BiasPct is the mean of measured less mapped slope in points, above 0 where the
	// ground is steeper than the map has it; SpreadPct the standard deviation of that
	// difference, NaN below two readings.
	BiasPct, SpreadPct float64
	// SteeperPct is the greatest such difference, below 0 where none is above.
	SteeperPct float64

	// MarginPct is how many points to take off every machine's limit, the one that
	// the zones were drawn with included, so that each spot would have gone to a
	// machine within its limit, or to none. It is rounded up to 0.1 points.
	MarginPct float64
}

// Judge compares readings with the map. The band that is measured is that of the
// first machine whose limit the reading stays below, of those that nothing but slope
// may keep off the spot. A spot of a band or machine that the list does not have, and a slope
// that is no number, are errors.
func (c *Checks) Judge(compared []Compared) (Verdict, error) {
	for _, s := range compared {
		if err := c.checkCompared(s); err != nil {
			return Verdict{}, err
		}
	}
	v := Verdict{Compared: compared, Bands: c.Bands}
	counts := make([][]int, len(c.Bands))
	for i := range counts {
		counts[i] = make([]int, len(c.Bands))
	}
	read := map[string]bool{}
	differences := make([]float64, 0, len(compared))
	margin := 0.0
	for _, s := range compared {
		read[s.ID] = true
		differences = append(differences, s.MeasuredPct-s.MappedPct)
		margin = max(margin, s.margin())
		counts[slices.Index(c.Bands, s.Band)][slices.Index(c.Bands, s.bandAt(s.MeasuredPct, 0))]++
		if s.LimitPct > 0 {
			v.Limited++
		}
		if s.over() {
			v.Over = append(v.Over, s)
		}
	}
	slices.SortStableFunc(v.Over, func(a, b Compared) int {
		return cmp.Compare(b.OverPct(), a.OverPct())
	})
	for _, s := range c.Spots {
		if !read[s.ID] {
			v.NotRead = append(v.NotRead, s.ID)
		}
	}
	v.Agreement = agree(counts)
	v.BiasPct, v.SpreadPct = stat.MeanStdDev(differences, nil)
	v.SteeperPct = math.NaN()
	if len(differences) > 0 {
		v.SteeperPct = slices.Max(differences)
	}
	if len(differences) < 2 {
		v.SpreadPct = math.NaN()
	}
	v.MarginPct = math.Ceil(margin*10-1e-6) / 10
	return v, nil
}

func (c *Checks) checkCompared(s Compared) error {
	for _, key := range []string{s.Band, s.bandAt(s.MeasuredPct, 0)} {
		if !slices.Contains(c.Bands, key) {
			return fmt.Errorf("spot %s is of band %q, which the list of spots does not have", s.ID, key)
		}
	}
	for _, pct := range []float64{s.MeasuredPct, s.MappedPct, s.LimitPct} {
		if !(pct >= 0) || math.IsInf(pct, 0) {
			return fmt.Errorf("spot %s: measured %g%%, mapped %g%%, limit %g%%: write slopes of 0%% or more", s.ID, s.MeasuredPct, s.MappedPct, s.LimitPct)
		}
	}
	return nil
}

// margin is how many points off the limits keep off the spot every machine whose
// limit its reading is over: what that machine's limit leaves above the mapped slope.
// A greater margin does too, so the greatest of all spots serves all.
func (c Compared) margin() (points float64) {
	for _, m := range c.Machines {
		if !within(c.MeasuredPct, m.LimitPct) {
			points = max(points, m.LimitPct-c.MappedPct)
		}
	}
	return points
}

// loose counts the spots that are no machine's, and those of them that a machine may
// work by their reading.
func (v Verdict) loose() (loose, limitless int) {
	for _, s := range v.Compared {
		if s.LimitPct > 0 {
			continue
		}
		limitless++
		if s.bandAt(s.MeasuredPct, 0) != zoning.NoMachineKey {
			loose++
		}
	}
	return loose, limitless
}
