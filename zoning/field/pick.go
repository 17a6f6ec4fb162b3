package field

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Options say how many spots are picked.
type Options struct {
	PerZone      int     // the least in a zone; 0 is 3
	AcresPerSpot float64 // one more for each so many acres of a zone; 0 is 5
}

// maxPerZone is more than a crew measures in a day (common practice, no source);
// PerZone may ask for more.
const maxPerZone = 30

func (o Options) spots(acres float64) int {
	least, per := o.PerZone, o.AcresPerSpot
	if least == 0 {
		least = 3
	}
	if per == 0 {
		per = 5
	}
	return max(least, min(maxPerZone, least+int(acres/per)))
}

// Pick chooses the spots of a map. The same ground gives the same spots. Ground whose parts
// do not go together, and numbers below 0, are errors.
//
// Each next spot of a zone is the candidate farthest from all spots picked in its
// lot (farthest-point sampling, Gonzalez 1985), where one at which the band could
// tip counts as twice as far, and one at a hazard as half as far again. Spots of a
// lot lie at least a machine's length apart: a zone without room for its number
// gets fewer, as does one whose ground can neither be walked nor sighted.
func Pick(g Ground, o Options) (*Checks, error) {
	if err := g.check(); err != nil {
		return nil, err
	}
	if o.PerZone < 0 || !(o.AcresPerSpot >= 0) {
		return nil, fmt.Errorf("%d spots a zone and one more for %g acres: neither may be below 0", o.PerZone, o.AcresPerSpot)
	}
	c := &Checks{View: g.View, On: g.On, LengthM: g.Fleet.LeastFootprintM(), Units: g.Units}
	bands := g.Fleet.Bands()
	for i, b := range bands {
		if g.measured(i) {
			c.Bands = append(c.Bands, b.Key)
		}
	}
	foot := newFooting(&g)
	for _, lot := range g.Lots {
		var taken []orb.Point
		whole := g.wholeCells(lot)
		for _, z := range lot.Zones {
			if !g.measured(z.Band) {
				continue
			}
			n := o.spots(z.Acres)
			picked := foot.spread(foot.candidates(lot, z.Band, whole[z.Band], n), n, &taken)
			for _, p := range picked {
				p.Lot, p.Band = lot.Lot, bands[z.Band].Key
				c.Spots = append(c.Spots, p)
			}
		}
	}
	width := max(2, len(fmt.Sprint(len(c.Spots))))
	for i := range c.Spots {
		c.Spots[i].ID = fmt.Sprintf("S%0*d", width, i+1)
	}
	return c, nil
}

// measured reports whether spots are picked on ground of a band: that of machines and of
// none, and as planned of those that come.
func (g *Ground) measured(band int) bool {
	return band == g.Fleet.NoMachineBand() || g.Fleet.IsMachine(band) && g.comes(band)
}

// spread picks up to n of the candidates, adding where they lie to those taken.
func (f *footing) spread(cands []candidate, n int, taken *[]orb.Point) []Spot {
	leastM := f.Fleet.LeastFootprintM()
	away := make([]float64, len(cands)) // to the nearest taken, meters; below 0 for one that is out
	for i, c := range cands {
		away[i] = math.Inf(1)
		for _, t := range *taken {
			away[i] = min(away[i], apartM(c.ground, t))
		}
	}
	var spots []Spot
	for len(spots) < n {
		best := -1
		for i := range cands {
			if away[i] >= leastM && (best < 0 || cands[i].before(cands[best], away[i], away[best])) {
				best = i
			}
		}
		if best < 0 {
			break
		}
		c := cands[best]
		spot, ok := f.spot(c)
		away[best] = -1
		if !ok {
			continue
		}
		spots = append(spots, spot)
		*taken = append(*taken, c.ground)
		for i := range cands {
			away[i] = min(away[i], apartM(cands[i].ground, c.ground))
		}
	}
	return spots
}

func apartM(a, b orb.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// spot is a candidate with what to tell of it; not ok where it can neither be
// walked onto nor sighted.
func (f *footing) spot(c candidate) (Spot, bool) {
	s, i := f.bare(c.col, c.row)
	if !f.onFoot[i] {
		if s.Sight = f.sight(c.col, c.row); s.Sight == nil {
			return s, false
		}
	}
	if c.tips {
		s.Why = append(s.Why, Reason{CouldTip, "so near its limit that the band could tip"})
	}
	if c.hazard != "" {
		s.Why = append(s.Why, Reason{AtHazard, c.hazard})
	}
	if len(s.Why) == 0 {
		s.Why = []Reason{{Spread, "to measure every part of the zone"}}
	}
	return s, true
}

// bare is a cell as a spot, without its lot and reasons.
func (g *Ground) bare(col, row int) (Spot, int) {
	i := row*g.Cells.Cols + col
	s := Spot{
		At: g.place(float64(col)+0.5, float64(row)+0.5), MappedPct: g.Field.Pct(col, row),
		Machines: g.machines(i), DownhillDeg: math.NaN(),
	}
	if m := g.Cells.Masks[i].First(); m >= 0 {
		s.LimitPct, _ = g.limit(i, m, g.limits()[m])
	}
	if dCol, dRow, ok := g.downhill(col, row); ok {
		s.DownhillDeg = bearing(s.At, g.place(float64(col)+0.5+dCol, float64(row)+0.5+dRow))
	}
	return s, i
}

// At makes a spot of any place of the map, for readings taken elsewhere than at the
// spots picked. It is not ok outside the window, on ground whose band no slope decides, and
// where [Pick] would refuse the ground.
func (g *Ground) At(p orb.Point) (Spot, bool) {
	if g == nil || g.check() != nil {
		return Spot{}, false
	}
	col, row, inside := g.cell(p)
	if !inside {
		return Spot{}, false
	}
	s, i := g.bare(col, row)
	band := g.Fleet.Band(g.Cells.Masks[i])
	if band == g.Fleet.UnknownBand() || band == g.Fleet.NoGoBand() {
		return Spot{}, false
	}
	if !g.measured(band) { // as planned, left by the crew
		band = g.Fleet.NoMachineBand()
	}
	s.Band = g.Fleet.Bands()[band].Key
	return s, true
}
