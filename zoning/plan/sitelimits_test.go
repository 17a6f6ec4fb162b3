package plan_test

import (
	"cmp"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
)

// Pieces come lot by lot and zone by zone, in a zone by the machines that may work them,
// then by cover and stems: the same on every run. Their mean slopes are the zone's.
func TestPiecesComeInOrderWithTheSlopeOfTheirZone(t *testing.T) {
	g, m := mappedTwo(t, mapping.Options{SlopeOnly: true}, thicket)
	s := siteOf(t, g, m, plan.Light)
	type zone struct{ lot, key string }
	rank := map[zone]int{}
	slope, acres := map[zone]float64{}, map[zone]float64{}
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			rank[zone{lot.Lot, m.Fleet.Bands()[z.Band].Key}] = len(rank)
		}
	}
	require.Greater(t, len(s.Pieces), len(rank), "some zones are of several pieces")
	assert.True(t, slices.IsSortedFunc(s.Pieces, func(a, b plan.Piece) int {
		return cmp.Or(cmp.Compare(rank[zone{a.Lot, a.Zone}], rank[zone{b.Lot, b.Zone}]), cmp.Compare(a.May, b.May),
			cmp.Compare(a.Cover, b.Cover), cmp.Compare(a.StemIn, b.StemIn))
	}))
	for _, p := range s.Pieces {
		z := zone{p.Lot, p.Zone}
		slope[z], acres[z] = slope[z]+p.SlopeMeanPct*p.GrossAcres, acres[z]+p.GrossAcres
	}
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			if at := (zone{lot.Lot, m.Fleet.Bands()[z.Band].Key}); z.SlopeMeanPct > 0 {
				assert.InEpsilon(t, z.SlopeMeanPct, slope[at]/acres[at], 1e-3, "%v", at)
			}
		}
	}
}

// Net acres are a part of the gross, and those to verify of the net, all of it at the most;
// what rounding adds is nothing.
func TestASiteIsRefusedFromItsLimits(t *testing.T) {
	for name, c := range map[string]struct {
		says   string
		change func(p *plan.Piece)
	}{
		"all of it":           {"", func(p *plan.Piece) { p.VerifyAcres = 4 }},
		"by rounding":         {"", func(p *plan.Piece) { p.NetAcres, p.VerifyAcres = 4*(1+5e-10), 4*(1+1e-9) }},
		"more net than gross": {"has 4.00001 net acres and 4 gross", func(p *plan.Piece) { p.NetAcres = 4.00001 }},
		"more to verify":      {"has 4.00001 acres to verify of 4 net", func(p *plan.Piece) { p.VerifyAcres = 4.00001 }},
		"a machine too many":  {"may be worked by a machine that the fleet does not have", func(p *plan.Piece) { p.May = 1 << 4 }},
		"the last machine":    {"", func(p *plan.Piece) { p.May = 1 << 3 }},
		"below zero":          {"has a mean slope of -1%", func(p *plan.Piece) { p.SlopeMeanPct = -1 }},
		"level":               {"", func(p *plan.Piece) { p.SlopeMeanPct = 0 }},
	} {
		p := piece(loader, 4, 10, plan.Light)
		c.change(&p)
		_, err := plan.Make(&plan.Site{Pieces: []plan.Piece{p}}, machines(), plan.Default())
		if c.says == "" {
			assert.NoError(t, err, name)
		} else {
			assert.ErrorContains(t, err, c.says, name)
		}
	}
}

// A job has both a start and an end, the one not after the other.
func TestAJobEndsNoEarlierThanItStarts(t *testing.T) {
	day := func(d int) time.Time { return time.Date(2026, 3, d, 0, 0, 0, 0, time.UTC) }
	for name, c := range map[string]struct {
		start, end time.Time
		says       string
	}{
		"neither":    {},
		"both":       {day(2), day(20), ""},
		"one day":    {day(2), day(2), ""},
		"the start":  {day(2), time.Time{}, "the job has one of start and end"},
		"the end":    {time.Time{}, day(2), "the job has one of start and end"},
		"end before": {day(3), day(2), "the job ends before it starts"},
	} {
		book := plan.Default()
		book.Job.Start, book.Job.End = c.start, c.end
		_, err := plan.Make(&plan.Site{Pieces: []plan.Piece{piece(loader, 4, 10, plan.Light)}}, machines(), book)
		if c.says == "" {
			assert.NoError(t, err, name)
		} else {
			assert.ErrorContains(t, err, c.says, name)
		}
	}
}

// noEase says nothing of ground that is closed, and of what a machine may not work.
type noEase struct{ plan.ByRate }

func (noEase) Ease(f *plan.Figures, p plan.Piece) float64 {
	if p.May&zoning.NoGo != 0 || p.May&zoning.Unknown != 0 || f.Key != "track-loader" {
		return math.NaN()
	}
	return 1
}

// A cost model is not asked for the ease of pieces that are closed, nor of a machine's that
// may not work them.
func TestACostModelIsNotAskedForClosedPieces(t *testing.T) {
	open := piece(loader, 4, 10, plan.Light)
	for _, may := range []zoning.Mask{zoning.NoGo | loader, zoning.Unknown | loader, zoning.NoGo, loader} {
		_, err := withModel(&plan.Site{Pieces: []plan.Piece{open, piece(may, 1, 10, plan.Light)}, GapM: far}, noEase{})
		assert.NoError(t, err, "%b", may)
	}
	_, err := withModel(&plan.Site{Pieces: []plan.Piece{piece(carrier, 1, 10, plan.Light)}, GapM: far}, noEase{})
	assert.ErrorContains(t, err, "the cost model gives NaN ease for dedicated-carrier")
}
