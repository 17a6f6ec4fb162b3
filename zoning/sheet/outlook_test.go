package sheet

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
)

func crewOf(keys ...string) *plan.Plan {
	o := plan.Option{Goal: plan.Cheapest}
	for _, k := range keys {
		o.Crew = append(o.Crew, plan.Brought{Key: k, Name: k, Count: 1})
	}
	return &plan.Plan{Options: []plan.Option{o}}
}

// The sentence and the table give the same acres, and its parts make the whole.
func TestOutlookSumsAndAgreesWithTheTable(t *testing.T) {
	p := jobPage(t)
	p.Plan = nil
	o, tt := p.outlook(), totalsOf(p.Map)
	assert.InEpsilon(t, tt.acres, o.sure+o.verify+o.leave+o.unknown, 1e-9)
	sure, all := 0.0, 0.0
	for _, b := range tt.bands[:3] {
		sure, all = sure+b.sureAcres, all+b.acres
	}
	assert.InDelta(t, sure, o.sure, 1e-9)
	assert.InDelta(t, all-sure, o.verify, 1e-9)
	require.Greater(t, o.verify, 0.1)
	require.Greater(t, o.leave, 0.1)
	assert.Equal(t, fmt.Sprintf("%.1f of %.1f acres workable with what is loaded; %.1f walk or sight first; %.1f leave.", o.sure, tt.acres, o.verify, o.leave), o.sentence(tt))
	rows := p.acresTables(tt).Tables[0].Rows
	last := map[string]string{}
	for i, head := range rows[0] {
		last[head] = rows[len(rows)-1][i]
	}
	assert.Equal(t, "parcel", last["zone"])
	assert.Equal(t, tt.acresText(tt.acres), last["acres"])
	assert.Equal(t, tt.acresText(sure), last[sureHead])
	assert.Equal(t, tt.acresText(all-sure), last[walkHead])
}

// What stays home works nothing. Ground of a machine that stays home goes to another
// that is loaded and may stand on it; a lower limit makes none of it sure.
func TestOutlookCountsWhatIsLoaded(t *testing.T) {
	p := jobPage(t)
	p.Plan = nil
	whole, tt := p.outlook(), totalsOf(p.Map)

	p.Plan = crewOf("track-loader")
	loader := p.outlook()
	assert.InDelta(t, tt.bands[0].acres, loader.sure+loader.verify, 1e-9)
	assert.InDelta(t, whole.acres-tt.bands[0].acres, loader.leave, 1e-9)

	p.Plan = crewOf("remote-crawler") // may stand on all that the others may
	crawler := p.outlook()
	assert.InDelta(t, whole.leave, crawler.leave, 1e-6)
	assert.InDelta(t, whole.verify, crawler.verify, 1e-6, "as sure as for the gentler machines")

	p.Map.Fleet[2].LimitPct, p.Map.Fleet[2].TetherAbovePct = 20, 0 // as if a wet limit: lower than the others'
	low := p.outlook()
	assert.InDelta(t, tt.bands[2].sureAcres, low.sure, 1e-6, "only its own zone is sure")

	p.Plan = crewOf()
	none := p.outlook()
	assert.Zero(t, none.sure+none.verify)
	assert.Contains(t, p.outlookOf(tt).Lines[1], "Loaded: no machine")
}

func TestOutlookWithoutError(t *testing.T) {
	p := jobPage(t)
	p.Plan = nil
	for i := range p.Map.Lots[0].Zones {
		p.Map.Lots[0].Zones[i].SureAcres = math.NaN()
	}
	assert.Contains(t, p.outlook().sentence(totalsOf(p.Map)), "how much of it to walk or sight first is not known")
}

// What touches a machine or tips it comes first; of each kind the largest is named.
func TestWorstDangers(t *testing.T) {
	p := jobPage(t)
	worst := p.worst(totalsOf(p.Map))
	require.Len(t, worst, 3)
	assert.Equal(t, "North line: keep 15 ft clear", worst[0].words)
	assert.Equal(t, "Drop-off, up to 12 ft (and 1 more place)", worst[1].words)
	assert.Equal(t, "Ground of 50% or more right below a zone, 0.15 acres: what goes over the edge does not stop", worst[2].words)
	middle := degrees(0, -75) // half way along the line
	assert.InDelta(t, middle[0], worst[0].at[0], 1e-9)
	assert.InDelta(t, middle[1], worst[0].at[1], 1e-9)

	p.Map.Hazards = nil
	worst = p.worst(totalsOf(p.Map))
	require.Len(t, worst, 3)
	assert.Contains(t, worst[0].words, "so near a machine's limit")
	assert.Contains(t, worst[1].words, "written procedure")
	assert.Contains(t, worst[2].words, "Rain takes")

	p.Map.Access.Pockets = []zoning.Pocket{{Machine: 0, Acres: 0.4, At: degrees(5, 5)}, {Machine: 0, Acres: 0.9, At: orb.Point{}}}
	p.Map.Otherwise = nil
	worst = p.worst(totalsOf(p.Map))
	assert.Equal(t, "0.9 acres are cut off for the Track loader: no way there from its other ground", worst[2].words)
}
