package plan

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// Each sign has its caution, and nothing else has one.
func TestCautionsFollowSigns(t *testing.T) {
	text := func(s Signs, c crewFacts) (out []string) {
		for _, one := range s.cautions(c) {
			out = append(out, one.Text)
		}
		return out
	}
	assert.Empty(t, Signs{}.cautions(crewFacts{machines: 1, clearedAcres: 0.99}))
	for name, c := range map[string]struct {
		signs Signs
		crew  crewFacts
		want  string
	}{
		"near":       {Signs{NearLimitAcres: 0.01}, crewFacts{}, "<0.1 acres lie so near a machine's limit"},
		"unknown":    {Signs{NoElevationAcres: 1.26}, crewFacts{}, "1.3 acres have no elevation data"},
		"drop":       {Signs{DropOff: true}, crewFacts{}, "There is a drop-off"},
		"water":      {Signs{Water: true}, crewFacts{}, "There is water"},
		"people":     {Signs{People: true}, crewFacts{}, "People may come within"},
		"remote":     {Signs{}, crewFacts{remote: []string{"Crawler"}}, "Crawler is worked from outside"},
		"two":        {Signs{}, crewFacts{machines: 2, apartFt: 300}, "This plan keeps 300 ft."},
		"an acre":    {Signs{}, crewFacts{clearedAcres: 1}, "An acre or more may be left as bare soil"},
		"over width": {Signs{}, crewFacts{overLimits: []string{"Carrier travels 9 ft wide"}}, "Carrier travels 9 ft wide: ask the state"},
	} {
		got := text(c.signs, c.crew)
		require.Len(t, got, 1, name)
		assert.Contains(t, got[0], c.want, name)
	}
}

// 29 CFR 1926.1408 Table A, nominal kV and feet, both ends of each row.
func TestClearanceOfALine(t *testing.T) {
	for kV, want := range map[float64]string{
		0.1: "10 ft", 50: "10 ft", 50.1: "15 ft", 200: "15 ft", 200.1: "20 ft", 350: "20 ft", 350.1: "25 ft", 500: "25 ft",
		500.1: "35 ft", 750: "35 ft", 750.1: "45 ft", 1000: "45 ft",
	} {
		assert.Contains(t, Signs{OverheadLine: true, LineKV: kV}.clearance(measure.US), "keep at least "+want+" from ", "%g kV", kV)
	}
	assert.Contains(t, Signs{LineKV: 1000.1}.clearance(measure.US), "above the table")
}

// A line of unknown voltage had 50 ft on the map and "at least 10 ft" in the plan, out of two
// tables: there is one, and the plan says what the map keeps.
func TestClearanceOfAnUnknownVoltageIsTheMaps(t *testing.T) {
	got := Signs{OverheadLine: true}.cautions(crewFacts{})
	require.Len(t, got, 1)
	assert.Equal(t, Caution{"There is an overhead line: keep at least 50 ft, since its voltage is not known; ask its owner for it. " +
		"Its owner's rule governs where it asks for more.", "29 CFR 1926.1409(a), a rule for cranes used as a caution"}, got[0])
	known := Signs{OverheadLine: true, LineKV: 0.1}.cautions(crewFacts{})
	assert.Equal(t, "29 CFR 1926.1408 Table A, a rule for cranes used as a caution", known[0].Source)
	for _, kV := range []float64{0, 0.1, 50, 50.1, 200.1, 350.1, 500.1, 1000} {
		feet := fmt.Sprintf("at least %.0f ft", site.ClearanceM(kV)/zoning.MetresPerFoot)
		assert.Contains(t, Signs{LineKV: kV}.clearance(measure.US), feet, "%g kV", kV)
	}
}

// What is cleared, brought and found of a plan decides its cautions.
func TestCautionsOfAPlan(t *testing.T) {
	p := &planner{site: &Site{Signs: Signs{NearLimitAcres: 1}}, kinds: []kind{
		{machine: zoning.Machine{Key: "a", Name: "A"}, figures: &Figures{Remote: true}, permit: "travels 9 ft wide"},
		{machine: zoning.Machine{Key: "b", Name: "B"}, figures: &Figures{Remote: true}, permit: "travels 9 ft wide"},
	}}
	text := func(plan *Plan) string {
		p.caution(plan)
		var out []string
		for _, c := range plan.Cautions {
			out = append(out, c.Text)
		}
		return strings.Join(out, "\n")
	}
	plan := &Plan{NetAcres: 5, VerifyAcres: 2, Excluded: []Excluded{{zoning.UnknownKey, 3, ""}, {zoning.NoGoKey, 9, ""}},
		Options: []Option{{LeftAcres: 4.1, Crew: []Brought{{Key: "a", Count: 1}}}, {Crew: []Brought{{Key: "b", Count: 7}}}}}
	got := text(plan)
	assert.Contains(t, got, "2.0 acres lie so near")
	assert.Contains(t, got, "3.0 acres have no elevation data")
	assert.Contains(t, got, "A is worked from outside")
	assert.Contains(t, got, "A travels 9 ft wide: ask")
	assert.NotContains(t, got, "B ", "it is not in the recommended crew")
	assert.NotContains(t, got, "Several machines")
	assert.NotContains(t, got, "bare soil", "0.9 acres of it")
	plan.Options[0].LeftAcres, plan.Options[0].Crew[0].Count = 4, 2
	got = text(plan)
	assert.Contains(t, got, "Several machines")
	assert.Contains(t, got, "bare soil")
	assert.Contains(t, text(&Plan{NetAcres: 5, ByCover: []ByCover{{Crew: []Brought{{Key: "b", Count: 1}, {Key: "a", Count: 1}}}}}), "Several machines")
}

// Acres are added up, and what no machine works is told from a thousandth of an acre on.
func TestSumOfASite(t *testing.T) {
	p := &planner{site: &Site{Pieces: []Piece{
		{May: 1, GrossAcres: 5, NetAcres: 4, VerifyAcres: 1}, {May: 0, GrossAcres: 2, NetAcres: 2, VerifyAcres: 0.5},
		{May: zoning.NoGo, GrossAcres: 3, NetAcres: 3, VerifyAcres: 3}, {May: zoning.Unknown, GrossAcres: 0.0009, NetAcres: 1, VerifyAcres: 1},
	}}}
	var plan Plan
	p.sum(&plan)
	assert.InDelta(t, 10.0009, plan.GrossAcres, 1e-12)
	assert.Equal(t, 6.0, plan.NetAcres)
	assert.Equal(t, 1.5, plan.VerifyAcres)
	assert.Equal(t, []Excluded{{zoning.NoGoKey, 3, "closed to machines"}, {"", 1, "not to be cleared: gross less net"}}, plan.Excluded)
	p.site.Pieces[3].GrossAcres = 0.001
	plan = Plan{}
	p.sum(&plan)
	assert.Len(t, plan.Excluded, 3)
}

// Only ground that a machine may work, of which nobody says what grows there, leaves a
// plan without a price.
func TestCoverMissing(t *testing.T) {
	missing := func(piece Piece) bool { return (&planner{site: &Site{Pieces: []Piece{piece}}}).coverMissing() }
	assert.True(t, missing(Piece{May: 1, NetAcres: 1}))
	assert.False(t, missing(Piece{May: 1, NetAcres: 1, Cover: Light}))
	assert.False(t, missing(Piece{May: 1}))
	assert.False(t, missing(Piece{NetAcres: 1}))
	assert.False(t, missing(Piece{May: 1 | zoning.NoGo, NetAcres: 1}))
}

// What cannot be a piece is refused with its value.
func TestSitesThatAreRefused(t *testing.T) {
	good := Piece{Zone: "z", May: 2, GrossAcres: 2, NetAcres: 2, VerifyAcres: 2, SlopeMeanPct: 0, StemIn: 0, Cover: Heavy}
	require.NoError(t, (&Site{Pieces: []Piece{good}}).check(2))
	for want, change := range map[string]func(p *Piece){
		"has -1 stems in inches": func(p *Piece) { p.StemIn = -1 }, "has -1 acres to verify": func(p *Piece) { p.VerifyAcres = -1 },
		"has -1 net acres": func(p *Piece) { p.NetAcres = -1 }, "has -1 gross acres": func(p *Piece) { p.GrossAcres = -1 },
		"has +Inf gross acres": func(p *Piece) { p.GrossAcres = math.Inf(1) }, "has 2.1 net acres and 2 gross": func(p *Piece) { p.NetAcres = 2.1 },
		"has 2.1 acres to verify of 2 net": func(p *Piece) { p.VerifyAcres = 2.1 }, "has cover 5": func(p *Piece) { p.Cover = covers },
		"a machine that the fleet does not have": func(p *Piece) { p.May = 4 }, "has a mean slope of -1%": func(p *Piece) { p.SlopeMeanPct = -1 },
	} {
		p := good
		change(&p)
		assert.ErrorContains(t, (&Site{Pieces: []Piece{p}}).check(2), want)
	}
}
