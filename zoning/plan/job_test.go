package plan_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
)

// machines are those the default figures are for, in the order of the fleet.
func machines() []zoning.Machine {
	return []zoning.Machine{
		{Key: "track-loader", Name: "Track loader", LimitPct: 30},
		{Key: "dedicated-carrier", Name: "Dedicated carrier", LimitPct: 35},
		{Key: "boom-head", Name: "Boom-mounted head", LimitPct: 40},
		{Key: "remote-crawler", Name: "Remote crawler", LimitPct: 100},
	}
}

const (
	loader = zoning.Mask(1 << iota)
	carrier
	boom
	crawler
	all = loader | carrier | boom | crawler
)

// far puts every two pieces out of each other's way.
func far(int, int) float64 { return 1e6 }

func piece(may zoning.Mask, acres, slopePct float64, cover plan.Cover) plan.Piece {
	return plan.Piece{Zone: "zone", May: may, GrossAcres: acres, NetAcres: acres, SlopeMeanPct: slopePct, Cover: cover}
}

// planOf makes a plan with default figures, changed by edits such as "job budget $5000"
// in threes.
func planOf(t testing.TB, site *plan.Site, edits ...string) *plan.Plan {
	t.Helper()
	book := plan.Default()
	for ; len(edits) > 0; edits = edits[3:] {
		var err error
		if edits[0] == "job" {
			err = book.Job.Set(edits[1], edits[2])
		} else {
			err = book.Machine(edits[0]).Set(edits[1], edits[2])
		}
		require.NoError(t, err)
	}
	p, err := plan.Make(site, machines(), book)
	require.NoError(t, err)
	return p
}

func keys(o plan.Option) []string {
	var k []string
	for _, b := range o.Crew {
		k = append(k, b.Key)
	}
	return k
}

// Common practice, no source: 2.0 acres, 1.7 net, 3 to 12 %, brush to 4 inches behind a
// 12 ft gate is one track loader, 6 productive and 8 scheduled hours, 1 to 1.5 days,
// about $2 500 to 4 000.
func TestTwoAcresOfCommonPractice(t *testing.T) {
	brush := piece(all, 2, 7, plan.Medium)
	brush.NetAcres, brush.StemIn = 1.7, 4
	o := planOf(t, &plan.Site{Pieces: []plan.Piece{brush}}, "job", "gate", "12ft").Options[0]
	assert.Equal(t, []string{"track-loader"}, keys(o))
	assert.InDelta(t, 6, o.ProductiveH, 0.2)
	assert.InDelta(t, 8, o.ScheduledH, 0.2)
	assert.GreaterOrEqual(t, o.Days.P10, 1.0)
	assert.LessOrEqual(t, o.Days.P90, 1.5)
	assert.GreaterOrEqual(t, o.Price.P10, 2500.0)
	assert.LessOrEqual(t, o.Price.P90, 4000.0)
	assert.Zero(t, o.LeftAcres)
}

// Common practice, no source: 300 acres, 250 net, 2 to 12 %, brush to 3 inches is the
// dedicated carrier at 1.0 ac/h × 10 h × 0.75, about 33 days (25 to 50), $400 to
// 800 a net acre; ten acres a day is the best case, not the plan; the track loader
// only trims. Ten hours at the machine are those of a crew that stays by the job; one that
// drives out and back every day takes a tenth longer, within the same range.
func TestThreeHundredAcresOfCommonPractice(t *testing.T) {
	brush, trim := piece(all, 294, 6, plan.Light), piece(loader, 6, 6, plan.Light)
	brush.NetAcres, trim.NetAcres = 245, 5
	brush.StemIn, trim.StemIn = 3, 3
	site := &plan.Site{Pieces: []plan.Piece{brush, trim}}
	home := planOf(t, site, "job", "worth", "$4000/ac").Options[0]
	assert.GreaterOrEqual(t, home.Days.P10, 25.0)
	assert.LessOrEqual(t, home.Days.P90, 50.0)
	o := planOf(t, site, "job", "day", "10h", "job", "worth", "$4000/ac").Options[0]
	assert.Equal(t, []string{"track-loader", "dedicated-carrier"}, keys(o))
	assert.InDelta(t, 5, o.Crew[0].NetAcres, 1e-6, "the loader only trims")
	assert.InDelta(t, 245, o.Crew[1].NetAcres, 1e-6)
	assert.InDelta(t, 33, o.WorkingDays, 1)
	assert.GreaterOrEqual(t, o.Days.P10, 25.0)
	assert.LessOrEqual(t, o.Days.P90, 50.0)
	assert.Less(t, 250/o.Days.P10, 10.0, "ten acres a day is the best case")
	assert.GreaterOrEqual(t, o.Price.P10/250, 400*0.99)
	assert.LessOrEqual(t, o.Price.P90/250, 800.0)
	assert.InDelta(t, 245/(1.0*0.75), o.Crew[1].ScheduledH, 1e-6)
}

// Halbrook et al. 2006 (rotary head, Idaho, 37 acres): mean 0.57 ac/h, range 0.21 to
// 0.89; $530 an acre, range 335 to 1395, in 2005 dollars. The default figures are of
// about 2024; consumer prices rose from 195.3 to 313.7 (CPI-U, US city average, annual,
// 1982-84 = 100, both from memory).
func TestThirtySevenAcresOfHalbrook(t *testing.T) {
	const deflate = 195.3 / 313.7
	site := &plan.Site{Pieces: []plan.Piece{piece(all, 37, 20, plan.Medium)}}
	o := planOf(t, site).Options[0]
	for _, h := range []float64{o.ProductiveH, o.Productive.P10, o.Productive.P90} {
		assert.GreaterOrEqual(t, 37/h, 0.21)
		assert.LessOrEqual(t, 37/h, 0.89)
	}
	assert.InDelta(t, 0.57, 37/o.ProductiveH, 0.15)
	for _, usd := range []float64{o.PriceUSD, o.Price.P10, o.Price.P90} {
		assert.GreaterOrEqual(t, deflate*usd/37, 335.0)
		assert.LessOrEqual(t, deflate*usd/37, 1395.0)
	}
	assert.InDelta(t, 530, deflate*o.PriceUSD/37, 150)
}

// The arithmetic of the package's doc, by hand.
func TestHoursAndCostByHand(t *testing.T) {
	p := piece(loader, 4, 20, plan.Light) // slope factor 0.78
	p.StemIn = 5                          // halfway from 100% at 4in to 60% at 6in
	p.NorthM = 1609.344
	o := planOf(t, &plan.Site{Pieces: []plan.Piece{p}}, "job", "obstacles", "90%", "job", "finish", "80%").Options[0]
	productive := 4 / (0.45 * 0.78 * 0.8 * 0.9 * 0.8)
	scheduled := productive/0.75 + 2.0/3 // a mile there and back at 3 mph
	assert.InDelta(t, productive, o.ProductiveH, 1e-9)
	assert.InDelta(t, scheduled, o.ScheduledH, 1e-9)
	moving := 2 * (30.0/45 + 0.75)
	cost := scheduled*(55+48) + productive*(18+10) + 2*30*4 + moving*48 + scheduled*25
	assert.InDelta(t, moving, o.MovingH, 1e-9)
	assert.InDelta(t, cost, o.CostUSD, 1e-6)
	assert.InDelta(t, cost*1.12*1.10/0.85, o.PriceUSD, 1e-6)
	assert.InDelta(t, scheduled+moving, o.SpanH, 1e-9)
}

// Acres by the day of work are acres by the productive hour of it.
func TestRateByTheDay(t *testing.T) {
	site := &plan.Site{Pieces: []plan.Piece{piece(loader, 6, 5, plan.Light)}}
	o := planOf(t, site, "track-loader", "rate_light", "6ac/day").Options[0]
	assert.InDelta(t, 9, o.ScheduledH, 1e-9)
	assert.InDelta(t, 6.75, o.ProductiveH, 1e-9)
}

// A plan comes with the cautions of its site.
func TestAPlanHasItsCautions(t *testing.T) {
	site := &plan.Site{Pieces: []plan.Piece{piece(loader, 6, 5, plan.Light)}, Signs: plan.Signs{DropOff: true}}
	p := planOf(t, site)
	require.NotEmpty(t, p.Cautions)
	assert.Contains(t, p.Cautions[0].Text, "There is a drop-off")
}
