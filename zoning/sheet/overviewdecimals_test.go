package sheet

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// A run's sheet tells no more of an acre than its coarsest cells carry: it told hundredths from
// cells of two acres.
func TestOverviewPrecisionFollowsTheCells(t *testing.T) {
	lots := inARow([]float64{1.234, 2.345, 3.456}, []float64{4.567, 0, 0.002})
	for cell, c := range map[float64]struct{ lead, row, none string }{
		1:  {"11.60 acres", "7.04", `\d\.\d{3} ?ac`},
		10: {"11.6 acres", "7.0", `\d\.\d\d ?ac`},
		90: {"12 acres", "7", `\d\.\d+ ?ac`},
	} {
		page := overviewPageOf(t, lots, func(r *Run) {
			r.Sum.Sources = []terrain.Source{{Path: "made.tif", CellM: [2]float64{cell, cell}, Unit: "m", UnitFrom: "assumed"}}
			r.Sum.SourceAcres = nil
			r.Rounds = []Round{{Machine: "Track loader", Lots: 1, Acres: 7.035, Stops: []Stop{{Lot: "R1", Acres: 7.035}}}}
		})
		what := fmt.Sprintf("cells of %v m", cell)
		assert.Contains(t, page, c.lead, what)
		assert.Contains(t, page, ">"+c.row+"<", what)
		assert.NotRegexp(t, regexp.MustCompile(c.none), strings.ReplaceAll(page, "0.25 acres", ""), what+": a quarter acre is the rule of what counts")
	}
}

// A machine's name that runs to the left keeps its acres on its right in the key.
func TestKeyKeepsFiguresInPlace(t *testing.T) {
	p := jobPage(t)
	p.Map.Fleet[0].Name = "מכסחה 3"
	assert.Contains(t, string(written(t, p.WriteHTML)), "<strong>\u2067מכסחה 3\u2069</strong> <b>")
	o := NewOverview([]zoning.Machine{{Key: "a", Name: "מכסחה 3", LimitPct: 30}})
	o.groups[0].lots = 1
	assert.Equal(t, "מכסחה \u200e3 alone", o.key()[0].Words)
}
