package plan_test

import (
	"io"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
)

// What no plan can be made of is refused by every exported entry with its name and value: a
// nil ground or book made the program panic, and NaN went through to the dollars.
func TestEntriesRefuseWhatTheyCannotUse(t *testing.T) {
	g, m := mappedTwo(t, mapping.Options{})
	changed := func(change func(*zoning.ZoneMap)) *zoning.ZoneMap {
		c := *m
		change(&c)
		return &c
	}
	small := changed(func(c *zoning.ZoneMap) { cells := *c.Cells; cells.Cols--; c.Cells = &cells })
	bare := changed(func(c *zoning.ZoneMap) { c.Cells = nil })
	uncut := changed(func(c *zoning.ZoneMap) { c.Lots = []zoning.LotMap{{Lot: "a"}} })
	noFleet := changed(func(c *zoning.ZoneMap) { c.Fleet = nil })
	site := func(g *mapping.Ground, m *zoning.ZoneMap, c plan.Cover) func() error {
		return func() error { _, err := plan.SiteOf(g, m, c); return err }
	}
	for _, c := range []struct {
		want string
		call func() error
	}{
		{"there is no ground or no map", site(nil, m, plan.Light)},
		{"there is no ground or no map", site(&mapping.Ground{}, m, plan.Light)},
		{"there is no ground or no map", site(g, nil, plan.Light)},
		{"the map is without the cells", site(g, bare, plan.Light)},
		{"cells and", site(g, small, plan.Light)},
		{`lot "a" of the map is without its coverage`, site(g, uncut, plan.Light)},
		{"the fleet has no machine", site(g, noFleet, plan.Light)},
		{"cover 5 is no class", site(g, m, plan.Heavy+1)},
		{"there is no ground or no map", func() error { _, err := plan.WorkMap(nil, m, plan.Light); return err }},
		{"cover 5 is no class", func() error { _, err := plan.WorkMap(g, m, plan.Heavy+1); return err }},
		{"there is no ground or no map", func() error { _, err := plan.ForMap(nil, m, plan.Default(), plan.Light); return err }},
		{"no book of figures", func() error { _, err := plan.ForMap(g, m, nil, plan.Light); return err }},
		{"there is no plan to write", func() error { return plan.WriteText(io.Discard, nil) }},
		{"there is no plan to write", func() error { return plan.WriteAnswer(io.Discard, nil) }},
		{"there is no plan to write", func() error { return plan.WriteRemarks(io.Discard, nil) }},
		{`"dense" is not a class of cover`, func() error { _, err := plan.ParseCover("dense"); return err }},
	} {
		var bad *plan.Error
		err := c.call()
		require.ErrorAs(t, err, &bad, c.want)
		assert.ErrorContains(t, err, c.want)
		assert.NotEmpty(t, bad.Cure, c.want)
	}
	assert.Empty(t, plan.ExpectedRates(nil, nil))
	assert.Nil(t, (*plan.Book)(nil).Machine("track-loader"))
	assert.Equal(t, "cover 9", plan.Cover(9).String())
	assert.NotNil(t, (&plan.Book{Machines: []*plan.Figures{nil, {Key: "a"}}}).Clone().Machine("a"))
}

// Figures may be set without a file: what is no number, below zero or beyond the bounds of
// files is refused with its key.
func TestMakeRefusesFigures(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for want, change := range map[string]func(j *plan.Job, f *plan.Figures){
		"job: haul_miles has NaN, NaN and NaN":      func(j *plan.Job, _ *plan.Figures) { j.HaulMiles = nan },
		"job: haul_miles is -1; give a number":      func(j *plan.Job, _ *plan.Figures) { j.HaulMiles = -1 },
		"job: haul_speed is 0; give a number above": func(j *plan.Job, _ *plan.Figures) { j.HaulMPH = 0 },
		"job: day is 24.1; give at most 24":         func(j *plan.Job, _ *plan.Figures) { j.DayH = 24.1 },
		"job: week is +Inf; give at most 7":         func(j *plan.Job, _ *plan.Figures) { j.WeekDays = inf },
		"job: productive is 1.1; give at most 1":    func(j *plan.Job, _ *plan.Figures) { j.Productive.High = 1.1 },
		"job: productive is 0":                      func(j *plan.Job, _ *plan.Figures) { j.Productive.Low = 0 },
		"job: productive is 0; give a number above": func(j *plan.Job, _ *plan.Figures) { j.Productive = plan.Range{} },
		"job: obstacles is 0; give a number":        func(j *plan.Job, _ *plan.Figures) { j.Obstacles = plan.Range{} },
		"job: day is 0":                             func(j *plan.Job, _ *plan.Figures) { j.DayH = 0 },
		"job: weather is 0.91; give at most 0.9":    func(j *plan.Job, _ *plan.Figures) { j.Weather.High = 0.91 },
		"job: obstacles has 0.9, 0.8 and 0.95 as":   func(j *plan.Job, _ *plan.Figures) { j.Obstacles = plan.Range{Low: 0.9, Likely: 0.8, High: 0.95} },
		"job: finish has 0.9, NaN and 1 as":         func(j *plan.Job, _ *plan.Figures) { j.Finish = plan.Range{Low: 0.9, Likely: nan, High: 1} },
		"job: support_truck is -2":                  func(j *plan.Job, _ *plan.Figures) { j.SupportTruck.Low = -2 },
		"job: hand_work is -2":                      func(j *plan.Job, _ *plan.Figures) { j.HandPerAcre.Low = -2 },
		"job: worth is -1":                          func(j *plan.Job, _ *plan.Figures) { j.WorthPerAcre = -1 },
		"job: least_work is 101":                    func(j *plan.Job, _ *plan.Figures) { j.LeastWorkDays = 101 },
		"job: left_standing is -1":                  func(j *plan.Job, _ *plan.Figures) { j.StandingPerAcre = -1 },
		"job: minimum_charge is -1":                 func(j *plan.Job, _ *plan.Figures) { j.MinimumUSD = -1 },
		"job: overhead is -1":                       func(j *plan.Job, _ *plan.Figures) { j.Overhead = -1 },
		"job: contingency is 6; give at most 5":     func(j *plan.Job, _ *plan.Figures) { j.Contingency = 6 },
		"job: margin is 1; give at most 0.9":        func(j *plan.Job, _ *plan.Figures) { j.Margin = 1 },
		"job: window is -5":                         func(j *plan.Job, _ *plan.Figures) { j.WindowDays = -5 },
		"job: budget has NaN":                       func(j *plan.Job, _ *plan.Figures) { j.BudgetUSD = nan },
		"job: bridge is -1":                         func(j *plan.Job, _ *plan.Figures) { j.BridgeLb = -1 },
		"job: gate is -1":                           func(j *plan.Job, _ *plan.Figures) { j.GateFt = -1 },
		"job: tree_height is 0":                     func(j *plan.Job, _ *plan.Figures) { j.TreeFt = 0 },
		`job: rest is "burn"; use Leave or Hand`:    func(j *plan.Job, _ *plan.Figures) { j.Rest = "burn" },
		"the job has one of start and end":          func(j *plan.Job, _ *plan.Figures) { j.Start = time.Unix(0, 0) },
		"track-loader: rate_light is -1":            func(_ *plan.Job, f *plan.Figures) { f.Rate[plan.Light].Low = -1 },
		"track-loader: rate_light is 101; give at":  func(_ *plan.Job, f *plan.Figures) { f.Rate[plan.Light].High = 101 },
		"track-loader: machine has NaN":             func(_ *plan.Job, f *plan.Figures) { f.Machine.Low = nan },
		"track-loader: operator has":                func(_ *plan.Job, f *plan.Figures) { f.Operator.Likely = nan },
		"track-loader: fuel is -3":                  func(_ *plan.Job, f *plan.Figures) { f.Fuel.Low = -3 },
		"track-loader: teeth is +Inf":               func(_ *plan.Job, f *plan.Figures) { f.Teeth.High = inf },
		"track-loader: width is -1":                 func(_ *plan.Job, f *plan.Figures) { f.WidthFt = -1 },
		"track-loader: gross_weight has NaN":        func(_ *plan.Job, f *plan.Figures) { f.GrossLb = nan },
		"track-loader: haul_rate is -1":             func(_ *plan.Job, f *plan.Figures) { f.HaulPerMile = -1 },
		"track-loader: handling is -1":              func(_ *plan.Job, f *plan.Figures) { f.HandlingH = -1 },
		"track-loader: permit has NaN":              func(_ *plan.Job, f *plan.Figures) { f.PermitUSD = nan },
		"track-loader: walk_speed is 0":             func(_ *plan.Job, f *plan.Figures) { f.WalkMPH = 0 },
		"track-loader: owned is -1":                 func(_ *plan.Job, f *plan.Figures) { f.Owned = -1 },
		"track-loader: loads is 0; give a number":   func(_ *plan.Job, f *plan.Figures) { f.Loads = 0 },
		"track-loader: loads is 21; give a number":  func(_ *plan.Job, f *plan.Figures) { f.Loads = 21 },
		"track-loader: slope_factor: a factor is 0": func(_ *plan.Job, f *plan.Figures) { f.SlopeFactor = plan.Curve{{At: 1}} },
		"track-loader: stem_factor: a point at 2 follows one at 2": func(_ *plan.Job, f *plan.Figures) {
			f.StemFactor = plan.Curve{{At: 2, Factor: 1}, {At: 2, Factor: 0.5}}
		},
		"track-loader: stem_factor: a point at +Inf":  func(_ *plan.Job, f *plan.Figures) { f.StemFactor = plan.Curve{{At: inf, Factor: 1}} },
		"track-loader: stem_factor: a factor is +Inf": func(_ *plan.Job, f *plan.Figures) { f.StemFactor = plan.Curve{{At: 1, Factor: inf}} },
		"track-loader: slope_factor: a point at NaN":  func(_ *plan.Job, f *plan.Figures) { f.SlopeFactor = plan.Curve{{At: nan, Factor: 1}} },
	} {
		book := plan.Default()
		change(&book.Job, book.Machine("track-loader"))
		_, err := plan.Make(&plan.Site{}, machines(), book)
		var bad *plan.Error
		if assert.ErrorAs(t, err, &bad, want) {
			assert.ErrorContains(t, err, want)
		}
	}
	// At the bounds they are taken.
	book := plan.Default()
	book.Job.DayH, book.Job.Margin, book.Machine("track-loader").Loads = 24, 0.9, 20
	_, err := plan.Make(&plan.Site{}, machines(), book)
	require.NoError(t, err)
	for _, c := range [][2]float64{{math.NaN(), 1}, {-1, 1}, {math.Inf(1), 1}, {1, math.NaN()}, {1, -1}, {1, math.Inf(1)}} {
		_, ok := plan.Default().Days("track-loader", plan.Light, c[0], c[1])
		assert.False(t, ok, "%g acres at %g%%", c[0], c[1])
	}
	days, ok := plan.Default().Days("track-loader", plan.Light, 0, 0)
	assert.True(t, ok)
	assert.Zero(t, days)
	book.Machine("track-loader").Fuel.Low = math.NaN()
	_, ok = book.Days("track-loader", plan.Light, 1, 1)
	assert.False(t, ok)
}

// A site whose places or signs are no numbers had NaN hours of walking, or no caution.
func TestMakeRefusesPlacesAndSigns(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for want, change := range map[string]func(s *plan.Site){
		"the site has NaN as landing east":             func(s *plan.Site) { s.LandingEastM = nan },
		"the site has -Inf as landing north":           func(s *plan.Site) { s.LandingNorthM = -inf },
		"the site has -1 acres near a limit":           func(s *plan.Site) { s.Signs.NearLimitAcres = -1 },
		"the site has NaN acres without elevation":     func(s *plan.Site) { s.Signs.NoElevationAcres = nan },
		"the site has -1 kV of an overhead line":       func(s *plan.Site) { s.Signs.LineKV = -1 },
		"the site has +Inf kV of an overhead line":     func(s *plan.Site) { s.Signs.LineKV = inf },
		"piece 1 (zone) lies at NaN, 0":                func(s *plan.Site) { s.Pieces[0].EastM = nan },
		"piece 1 (zone) lies at -Inf, 0":               func(s *plan.Site) { s.Pieces[0].EastM = -inf },
		"piece 1 (zone) lies at 0, +Inf":               func(s *plan.Site) { s.Pieces[0].NorthM = inf },
		"piece 1 (zone) has NaN gross acres":           func(s *plan.Site) { s.Pieces[0].GrossAcres = nan },
		"piece 1 (zone) has a mean slope of NaN%":      func(s *plan.Site) { s.Pieces[0].SlopeMeanPct = nan },
		"piece 1 (zone) has cover 5":                   func(s *plan.Site) { s.Pieces[0].Cover = plan.Heavy + 1 },
		"piece 1 (zone) has +Inf stems in inches":      func(s *plan.Site) { s.Pieces[0].StemIn = inf },
		"piece 1 (zone) has NaN acres to verify; give": func(s *plan.Site) { s.Pieces[0].VerifyAcres = nan },
	} {
		s := &plan.Site{Pieces: []plan.Piece{piece(loader, 2, 7, plan.Medium)}}
		change(s)
		_, err := plan.Make(s, machines(), plan.Default())
		assert.ErrorContains(t, err, want)
	}
}

// Pieces whose distance is no number may touch: machines keep apart there.
func TestGapThatIsNoNumber(t *testing.T) {
	s := &plan.Site{Pieces: []plan.Piece{piece(loader, 2, 7, plan.Medium), piece(crawler, 2, 40, plan.Medium)}}
	edits := []string{"job", "bring", "track-loader, remote-crawler"}
	touching := planOf(t, s, edits...)
	s.GapM = func(int, int) float64 { return math.NaN() }
	assert.Equal(t, touching.Options[0].SpanH, planOf(t, s, edits...).Options[0].SpanH)
	s.GapM = far
	assert.Less(t, planOf(t, s, edits...).Options[0].SpanH, touching.Options[0].SpanH)
}
