package progress

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// Maps, worked ground, hours and rates that are none made Tally panic, or its sums no number.
func TestTallyOfBrokenPartsIsAnError(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	type job struct {
		m       Map
		worked  Worked
		hours   Hours
		planned Rate
	}
	for words, spoil := range map[string]func(j *job){
		"there are no cells":          func(j *job) { j.m.Cells = nil },
		"nobody knows where they lie": func(j *job) { cells := *j.m.Cells; cells.Frame = nil; j.m.Cells = &cells },
		"masks for 18000 cells":       func(j *job) { cells := *j.m.Cells; cells.Masks = cells.Masks[1:]; j.m.Cells = &cells },
		"no machine":                  func(j *job) { j.m.Fleet = nil },
		"the cover is of another":     func(j *job) { j.m.Cover = []uint8{0} },
		"a cell has cover 0 of 0":     func(j *job) { j.m.Cover = make([]uint8, 150*120) },
		"has no coverage":             func(j *job) { j.m.Lots = []zoning.LotMap{{Lot: "1"}} },
		"has a zone of band 99": func(j *job) {
			lot := j.m.Lots[0]
			lot.Zones = []zoning.Zone{{Band: 99}}
			j.m.Lots = []zoning.LotMap{lot}
		},
		"machine \"\" is not in":   func(j *job) { j.worked.Machine = "" },
		"loader worked NaN hours":  func(j *job) { j.worked.Hours = nan },
		"loader worked -1 hours":   func(j *job) { j.worked.Hours = -1 },
		"loader worked +Inf hours": func(j *job) { j.hours.Hours = inf },
		"cutting width of NaN ft":  func(j *job) { j.worked.CutWidthM = nan },
		"longitude NaN":            func(j *job) { j.worked.Tracks = orb.MultiLineString{{{nan, 0}}} },
		"latitude 1e+300":          func(j *job) { j.worked.Ground = orb.MultiPolygon{{{{0, 1e300}}}} },
		"is NaN acres an hour":     func(j *job) { j.planned.AcresPerHour = nan },
		"is -2 acres an hour":      func(j *job) { j.planned.AcresPerHour = -2 },
		"is +Inf acres an hour":    func(j *job) { j.planned.AcresPerHour = inf },
	} {
		m, w := jobOf(t)
		j := job{m, Worked{Line: 1, Day: "2026-05-04", Machine: "loader", Hours: 2, CutWidthM: 2, Tracks: orb.MultiLineString{places(w, [2]float64{20, 20}, [2]float64{40, 20})}},
			Hours{Line: 2, Day: "2026-05-05", Machine: "loader", Hours: 3}, Rate{Machine: "loader", AcresPerHour: 1}}
		tally := func() error {
			_, err := Tally(j.m, []Worked{j.worked}, []Hours{j.hours}, []Rate{j.planned})
			return err
		}
		require.NoError(t, tally())
		spoil(&j)
		assert.ErrorContains(t, tally(), words)
	}
}

// A polygon of one corner or none, and a track of none, cover no cell and are told.
func TestWorkedGroundOfNoExtent(t *testing.T) {
	m, w := jobOf(t)
	for _, ground := range []orb.MultiPolygon{nil, {{}}, {{{}}}, {{orb.Ring(places(w, [2]float64{20, 20}))}}} {
		r, err := Tally(m, []Worked{{Line: 1, Day: "2026-05-04", Machine: "loader", Hours: 2, Ground: ground}}, nil, nil)
		require.NoError(t, err)
		require.NotEmpty(t, r.Warnings)
		assert.Contains(t, r.Warnings[0], "covers no cell of the map")
	}
}
