package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning/fleet"
)

// oneAcre is a planner of an acre that all machines of the built-in fleet may work.
func oneAcre(t *testing.T, slopePct float64, c Cover) *planner {
	return planning(t, &Site{Pieces: []Piece{{Zone: "z", May: 15, GrossAcres: 1, NetAcres: 1, SlopeMeanPct: slopePct, Cover: c}}})
}

// acreUSD is what an acre costs by a machine, moves apart.
func (p *planner) acreUSD(kind int) float64 {
	w, _ := p.v.load(kind, p.kinds[kind], p.site.Pieces[0], 0)
	return w.usd + p.v.truck*w.scheduled
}

// Common practice, no source: a dedicated carrier with its support truck and permits is
// rarely worth moving for less than 15 to 40 acres, instead of a loader and on gentle
// ground; it clears ten acres a day when all lines up.
func TestWhereTheDedicatedCarrierPays(t *testing.T) {
	for _, c := range Classes() {
		for _, slopePct := range []float64{3, 7} {
			p := oneAcre(t, slopePct, c)
			acres := (p.v.movesUSD(1) - p.v.movesUSD(0)) / (p.acreUSD(0) - p.acreUSD(1))
			assert.GreaterOrEqual(t, acres, 15.0, "%s at %g%%", c, slopePct)
			assert.LessOrEqual(t, acres, 40.0, "%s at %g%%", c, slopePct)
		}
	}
	book := Default()
	for _, c := range []Cover{Open, Light} {
		best := book.Machine("dedicated-carrier").Rate[c].High * book.Job.Productive.High * book.Job.DayH
		assert.InDelta(t, 10, best, 1, c)
	}
}

// Common practice, no source: a track loader asks $1,500 to 2,500 a day, some $400 an acre
// in the open to some $2,000 in heavy growth; a crawler on steep ground clears 0.05 to 0.15
// acres in an hour, with a second person, for $2,500 to 6,000 an acre.
func TestWhatDefaultFiguresAsk(t *testing.T) {
	loader := oneAcre(t, 7, Open)
	j := loader.job
	day := j.markup() * (loader.v.usd(0, j.DayH*j.Productive.Likely, j.DayH) + loader.v.truck*j.DayH)
	assert.GreaterOrEqual(t, day, 1500.0)
	assert.LessOrEqual(t, day, 2500.0)
	assert.InDelta(t, 400, j.markup()*loader.acreUSD(0), 100)
	assert.InDelta(t, 2000, j.markup()*oneAcre(t, 7, Heavy).acreUSD(0), 200)
	for _, c := range []Cover{Light, Medium} {
		p := oneAcre(t, 50, c)
		w, _ := p.v.load(3, p.kinds[3], p.site.Pieces[0], 0)
		assert.GreaterOrEqual(t, 1/w.productive, 0.05)
		assert.LessOrEqual(t, 1/w.productive, 0.15)
		usd := j.markup() * p.acreUSD(3)
		assert.GreaterOrEqual(t, usd, 2500.0, c)
		assert.LessOrEqual(t, usd, 6000.0, c)
	}
	crawler := Default().Machine("remote-crawler")
	assert.Greater(t, crawler.Operator.Likely, 1.5*Default().Machine("track-loader").Operator.Likely, "a spotter stands by")
}

// A load is as wide as its trailer, or as its machine where that is wider: 23 CFR 658.15
// holds loads to 102 in, which trailers have.
func TestLoadsAreAsWideAsTheirTrailers(t *testing.T) {
	for _, m := range fleet.Default() {
		f := Default().Machine(m.Key)
		assert.GreaterOrEqual(t, f.WidthFt, 8.5, m.Key)
		assert.GreaterOrEqual(t, f.WidthFt+1e-9, m.WidthM/0.3048, m.Key)
	}
}
