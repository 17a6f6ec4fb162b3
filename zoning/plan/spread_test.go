package plan_test

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/plan"
)

// triangular is the closed form of the quantile of a triangular distribution.
func triangular(p, low, likely, high float64) float64 {
	if c := (likely - low) / (high - low); p < c {
		return low + math.Sqrt(p*(high-low)*(likely-low))
	}
	return high - math.Sqrt((1-p)*(high-low)*(high-likely))
}

// Where one figure alone varies, the range of the cost is that figure's: its percentiles
// lie between those of the closed form four hundredths to either side: 1000 draws are good
// for 2.5 standard errors of √(0.5 · 0.5 / 1000).
func TestSpreadAgainstTheClosedForm(t *testing.T) {
	site := &plan.Site{Pieces: []plan.Piece{piece(0, 3, 10, plan.Light)}} // all by hand
	o := planOf(t, site, "job", "rest", "hand", "job", "hand_work", "$2500/ac, $3500/ac, $6000/ac").Options[0]
	for _, c := range []struct{ p, v float64 }{{0.1, o.Cost.P10}, {0.5, o.Cost.P50}, {0.9, o.Cost.P90}} {
		assert.Greater(t, c.v/3, triangular(c.p-0.04, 2500, 3500, 6000), "P%g", 100*c.p)
		assert.Less(t, c.v/3, triangular(c.p+0.04, 2500, 3500, 6000), "P%g", 100*c.p)
	}
	assert.InDelta(t, o.Cost.P90*1.12*1.10/0.85, o.Price.P90, 1e-6)
}

// Ground to be verified widens the range of hours.
func TestGroundToVerifyWidensTheRange(t *testing.T) {
	sure, doubtful := piece(loader, 10, 10, plan.Light), piece(loader, 10, 10, plan.Light)
	doubtful.VerifyAcres = 5
	a := planOf(t, &plan.Site{Pieces: []plan.Piece{sure}}).Options[0].Productive
	b := planOf(t, &plan.Site{Pieces: []plan.Piece{doubtful}}).Options[0].Productive
	assert.Less(t, b.P10, a.P10)
	assert.Greater(t, b.P90, a.P90)
}

// What a contractor reads first is what to bring, how long and for how much.
func TestWriteText(t *testing.T) {
	site := &plan.Site{GapM: far, Pieces: []plan.Piece{piece(loader, 10, 10, plan.Light), piece(0, 1, 120, plan.Light)},
		Notes: []string{"A note of the site."}}
	p := planOf(t, site)
	var b bytes.Buffer
	require.NoError(t, plan.WriteText(&b, p))
	text := b.String()
	assert.Regexp(t, `^bring      Track loader\. 10\.0 of 11\.0 net acres in [\d.]+ to [\d.]+ working days, for\n +\$[\d,]+0 to`, text)
	assert.Contains(t, text, "left       1.0 acres stay standing; a hand crew would ask about $3,500\n")
	assert.Regexp(t, `\n1 +10\.0 +[\d.]+ +\$[\d,]+ \(\$[\d,]+ to \$[\d,]+\) *\n`, text)
	assert.Contains(t, text, "\nrung 1     Track loader (recommended); leaves 1.0 ac no machine may work\n")
	assert.Contains(t, text, "\nwhy        The least price per acre.\n")
	assert.Contains(t, text, "note       A note of the site.\n")
	assert.Contains(t, text, "assumed    track-loader: rate_light 0.3ac/h, 0.45ac/h, 0.7ac/h; slope_factor")
	assert.NotContains(t, text, "remote-crawler:", "it may work no ground here: its figures are not used")
	assert.NotContains(t, text, "\n\n\n")
	for line := range strings.SplitSeq(text, "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}

	b.Reset()
	require.NoError(t, plan.WriteText(&b, planOf(t, &plan.Site{Pieces: []plan.Piece{piece(loader, 10, 10, plan.CoverNotGiven)}})))
	assert.Contains(t, b.String(), "hours for each class, and no price")
	assert.NotContains(t, b.String(), "price of an acre more")
}

// Where no machine may work, nothing is done and nothing is charged.
func TestWriteTextOfNoCrew(t *testing.T) {
	p := planOf(t, &plan.Site{Pieces: []plan.Piece{piece(0, 3, 10, plan.Light)}})
	o := p.Options[0]
	assert.Zero(t, o.PriceUSD)
	assert.Zero(t, o.Price)
	assert.False(t, math.Signbit(o.WorkingDays) || math.Signbit(o.CalendarDays) || math.Signbit(o.Days.P10))
	var b bytes.Buffer
	require.NoError(t, plan.WriteText(&b, p))
	assert.Contains(t, b.String(), "bring      no machine: all of 3.0 net acres stay standing. An estimate, not a\n")
	assert.Contains(t, b.String(), "why        No machine that can get here may work any of this ground.\n")
	assert.NotContains(t, b.String(), "$2,500 (")
}

// A plan in a file is its summary.
func TestPlanAsJSON(t *testing.T) {
	p := planOf(t, &plan.Site{Pieces: []plan.Piece{piece(loader, 10, 10, plan.Light)}})
	text, err := json.Marshal(p)
	require.NoError(t, err)
	want, err := json.Marshal(p.Summary())
	require.NoError(t, err)
	assert.JSONEq(t, string(want), string(text))
	assert.Contains(t, string(text), `"recommended":"cheapest"`)
}
