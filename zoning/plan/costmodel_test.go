package plan_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
)

// byTheAcre is an embedder's own: subcontractors who ask a price by the acre, twice that
// on ground over 20%, whatever hours they take.
type byTheAcre struct {
	plan.ByRate
	usd map[string]float64 // $/ac by machine
}

// On steep ground an acre counts double.
func (byTheAcre) Ease(_ *plan.Figures, p plan.Piece) float64 {
	if p.SlopeMeanPct > 20 {
		return 0.5
	}
	return 1
}

// The price of the acres that the hours stand for in light cover.
func (m byTheAcre) WorkUSD(d *plan.Draw, productiveH, _ float64) float64 {
	return productiveH * d.AcresPerHour[plan.Light] * m.usd[d.Figures.Key]
}

func (byTheAcre) MoveUSD(*plan.Draw) float64 { return 100 }

// withModel plans with a cost model beside the default figures, without ranges that count.
func withModel(s *plan.Site, m plan.CostModel) (*plan.Plan, error) {
	book := plan.Default()
	for key, value := range map[string]string{"support_truck": "$0/h", "obstacles": "100%", "finish": "100%", "worth": "$9000/ac"} {
		if err := book.Job.Set(key, value); err != nil {
			return nil, err
		}
	}
	book.Cost = m
	return plan.Make(s, machines(), book)
}

// An embedder's cost model decides the crew, the dollars and their range, the break-even
// and the days, in the place of the built-in one.
func TestCostModelOfAnEmbedder(t *testing.T) {
	gentle, steep := piece(loader|crawler, 10, 10, plan.Light), piece(loader|crawler, 2, 30, plan.Light)
	s := &plan.Site{Pieces: []plan.Piece{gentle, steep}, GapM: far}
	for want, usd := range map[string]map[string]float64{
		"track-loader":   {"track-loader": 900, "remote-crawler": 1000},
		"remote-crawler": {"track-loader": 1000, "remote-crawler": 900},
	} {
		p, err := withModel(s, byTheAcre{usd: usd})
		require.NoError(t, err)
		o := p.Options[0]
		assert.Equal(t, []string{want}, keys(o))
		assert.InDelta(t, (10+2*2)*900+100, o.CostUSD, 1e-6, "10 acres at the price, 2 at twice that, and one move")
		assert.InDelta(t, o.CostUSD, o.Crew[0].CostUSD+o.Crew[0].MovesUSD, 1e-9)
		for _, b := range p.BreakEven {
			if b.Key == want {
				assert.InDelta(t, 100/(9000*0.85/1.12/1.10-14*900.0/12), b.Acres, 1e-9)
			}
		}
		book := plan.Default()
		before, _ := book.Days(want, plan.Light, 6, 0)
		book.Cost = byTheAcre{}
		after, ok := book.Clone().Days(want, plan.Light, 6, 30)
		require.True(t, ok)
		assert.InDelta(t, 2*before, after, 1e-9)
	}
}

// The built-in model given by name is the built-in model.
func TestByRateIsTheDefault(t *testing.T) {
	s := rough(4, 9)
	unnamed, err := withModel(s, nil)
	require.NoError(t, err)
	named, err := withModel(s, plan.ByRate{})
	require.NoError(t, err)
	assert.Equal(t, unnamed.Summary(), named.Summary())
}

// broken is a cost model of which one method is wrong.
type broken struct {
	plan.ByRate
	hours, ease, work, move func(right float64) float64
}

func of(f func(float64) float64, right float64) float64 {
	if f == nil {
		return right
	}
	return f(right)
}

func (b broken) HoursPerAcre(d *plan.Draw, c plan.Cover) float64 {
	return of(b.hours, b.ByRate.HoursPerAcre(d, c))
}
func (b broken) Ease(f *plan.Figures, p plan.Piece) float64 { return of(b.ease, b.ByRate.Ease(f, p)) }
func (b broken) WorkUSD(d *plan.Draw, productiveH, scheduledH float64) float64 {
	return of(b.work, b.ByRate.WorkUSD(d, productiveH, scheduledH))
}
func (b broken) MoveUSD(d *plan.Draw) float64 { return of(b.move, b.ByRate.MoveUSD(d)) }

// A model that returns what is no number made NaN dollars, or a crew that is not the
// best, without a word.
func TestCostModelsThatAreRefused(t *testing.T) {
	s := &plan.Site{Pieces: []plan.Piece{piece(all, 4, 10, plan.Light)}}
	nan := func(float64) float64 { return math.NaN() }
	minus := func(right float64) float64 { return -1 - right }
	forever := func(float64) float64 { return math.Inf(1) }
	for want, model := range map[string]broken{
		"the cost model gives NaN hours an acre of open cover for track-loader": {hours: nan},
		"gives +Inf hours an acre":                        {hours: forever},
		"gives NaN ease for track-loader":                 {ease: nan},
		"ease for track-loader; let it return":            {ease: minus},
		"gives NaN dollars of work":                       {work: nan},
		"gives -":                                         {move: minus},
		"gives +Inf dollars of moving":                    {move: forever},
		"let WorkUSD be in proportion to both":            {work: func(right float64) float64 { return right + 50 }},
		"for 3 productive and 5 scheduled hours of track": {work: func(right float64) float64 { return right * right }},
	} {
		_, err := withModel(s, model)
		var bad *plan.Error
		require.ErrorAs(t, err, &bad, want)
		assert.ErrorContains(t, err, want)
	}
	// A draw that goes wrong counts too, though the likeliest figures do not.
	fuel := plan.Default().Machine("track-loader").Fuel
	_, err := withModel(s, drawn{most: fuel.Likely})
	assert.ErrorContains(t, err, "gives NaN dollars of moving for track-loader")
	book := plan.Default()
	book.Cost = broken{hours: nan}
	_, ok := book.Days("track-loader", plan.Light, 1, 1)
	assert.False(t, ok)
}

// drawn fails where fuel is dearer than is likely.
type drawn struct {
	plan.ByRate
	most float64
}

func (m drawn) MoveUSD(d *plan.Draw) float64 {
	if d.Fuel > m.most && d.Figures.Key == "track-loader" {
		return math.NaN()
	}
	return 1
}

// A model may keep a machine off a piece, by an ease of 0, and out of a cover, by hours
// of 0; then another machine works it, or nobody.
func TestCostModelKeepsMachinesOff(t *testing.T) {
	only := zoning.Mask(loader)
	s := &plan.Site{Pieces: []plan.Piece{piece(only, 4, 10, plan.Light)}}
	none := func(float64) float64 { return 0 }
	for _, m := range []broken{{ease: none}, {hours: none}} {
		p, err := withModel(s, m)
		require.NoError(t, err)
		assert.InDelta(t, 4, p.Options[0].LeftAcres, 1e-9)
		assert.Empty(t, p.Options[0].Crew)
	}
}
