package plan_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/plan"
)

// Figures without a range give hours, days and dollars without one: those of the option.
func TestFixedFiguresHaveNoSpread(t *testing.T) {
	site := &plan.Site{GapM: far, Pieces: []plan.Piece{piece(loader, 4, 10, plan.Light), piece(crawler, 6, 45, plan.Light)}}
	edits := []string{"job", "support_truck", "$25/h", "job", "productive", "75%", "job", "weather", "10%",
		"job", "obstacles", "90%", "job", "finish", "95%", "job", "hand_work", "$3500/ac", "job", "worth", "$9000/ac"}
	for _, m := range []string{"track-loader", "remote-crawler"} {
		edits = append(edits, m, "rate_light", "0.3ac/h", m, "machine", "$55/h", m, "operator", "$40/h", m, "fuel", "$18/h", m, "teeth", "$10/h")
	}
	o := planOf(t, site, edits...).Options[0]
	require.Equal(t, []string{"track-loader", "remote-crawler"}, keys(o))
	for _, c := range []struct {
		spread plan.Spread
		want   float64
	}{{o.Productive, o.ProductiveH}, {o.Scheduled, o.ScheduledH}, {o.Days, o.WorkingDays}, {o.Cost, o.CostUSD}, {o.Price, o.PriceUSD}} {
		assert.InEpsilon(t, c.want, c.spread.P10, 1e-9)
		assert.InEpsilon(t, c.want, c.spread.P50, 1e-9)
		assert.InEpsilon(t, c.want, c.spread.P90, 1e-9)
	}
	assert.Greater(t, o.ScheduledH, o.SpanH, "both work at once")
}

// A piece of which nothing is to be cleared has no hours, and no share of what is to be
// verified.
func TestPieceWithoutNetAcres(t *testing.T) {
	none := piece(loader, 3, 7, plan.Medium)
	none.NetAcres = 0
	for _, o := range planOf(t, &plan.Site{Pieces: []plan.Piece{none, piece(loader, 2, 7, plan.Medium)}}).Options {
		assert.InDelta(t, 2/0.28, o.ProductiveH, 1e-9, o.Goal)
		assert.Positive(t, o.Cost.P10, o.Goal)
	}
}
