package plan_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/site"
)

// Of a row of twenty cells of one zone a budget pays for a part: on the map it is the cells
// nearest to where the crew unloads, as many as that part makes to within half a cell.
func TestThePartThatIsPaidForIsTheNearest(t *testing.T) {
	const first, row, n, unload = 205, 200, 20, 207.2 // columns of the raster
	staging := site.Feature{Kind: site.Staging, Place: 1, Geometry: orb.Point{rasterWest + unload*cellDeg, rasterNorth - (row+0.5)*cellDeg}}
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{"../../testdata/jacksboro_dem.tif"},
		Parcel: boundary(t, []named{{"a", cells(first, row, first+n, row+1)}}), Features: []site.Feature{staging}})
	require.NoError(t, err)
	m, err := mapping.Map(t.Context(), g, []zoning.Machine{{Key: "track-loader", Name: "Track loader", LimitPct: 100}}, mapping.Options{SlopeOnly: true})
	require.NoError(t, err)
	require.Len(t, m.Lots[0].Zones, 1, "all of one zone")
	nearest := make([]int, n)
	for i := range nearest {
		nearest[i] = i
	}
	slices.SortFunc(nearest, func(a, b int) int {
		return int(1000*math.Abs(first+float64(a)+0.5-unload) - 1000*math.Abs(first+float64(b)+0.5-unload))
	})
	for usd := 4000; usd < 60000; usd += 700 {
		book := plan.Default()
		book.Job.BudgetUSD, book.Job.Bring = float64(usd), []string{"track-loader"}
		p, err := plan.ForMap(g, m, book, plan.Light)
		require.NoError(t, err)
		z, err := plan.Planned(t.Context(), g, m, p)
		require.NoError(t, err)
		var worked []int
		for col := range z.Cells.Cols {
			lot := z.Cells.Col0 + col - first
			at := (row-z.Cells.Row0)*z.Cells.Cols + col
			if lot >= 0 && lot < n && z.Cells.Masks[at] == 1 {
				worked = append(worked, lot)
			} else if lot >= 0 && lot < n {
				require.Equal(t, zoning.NeedsMachine, z.Cells.Masks[at])
			}
		}
		want := slices.Clone(nearest[:int(math.Floor(n*p.Ladder[0].Acres/p.NetAcres+0.5))])
		slices.Sort(want)
		assert.Equal(t, want, worked, fmt.Sprintf("$%d: %.3f cells", usd, n*p.Ladder[0].Acres/p.NetAcres))
	}
}

// Ground beyond the elevation is in no machine's part, and is left where a part is drawn.
func TestAPartOfGroundAtTheEdge(t *testing.T) {
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{"../../testdata/jacksboro_dem.tif"},
		Parcel: boundary(t, []named{{"north", cells(100, -0.5, 140, 1)}, {"east", cells(rasterCols-1, 100, rasterCols+0.5, 140)}})})
	require.NoError(t, err)
	m, err := mapping.Map(t.Context(), g, []zoning.Machine{{Key: "track-loader", Name: "Track loader", LimitPct: 100}}, mapping.Options{SlopeOnly: true})
	require.NoError(t, err)
	book := plan.Default()
	book.Job.BudgetUSD = 50000
	p, err := plan.ForMap(g, m, book, plan.Light)
	require.NoError(t, err)
	require.Len(t, p.Ladder, 1)
	z, err := plan.Planned(t.Context(), g, m, p)
	require.NoError(t, err)
	bands := z.Fleet.Bands()
	got := z.BandAcres(len(bands))
	assert.InDelta(t, p.Ladder[0].Acres, got[0], 1.8, "but for half a cell of each lot")
	unknown := 0.0
	for _, e := range p.Excluded {
		unknown += e.Acres
	}
	assert.Positive(t, unknown)
	assert.InDelta(t, unknown, got[z.Fleet.UnknownBand()], 1e-6)
	assert.Greater(t, p.Ladder[0].Acres, 20.0)
	assert.Less(t, p.Ladder[0].Acres, 0.9*p.NetAcres)
}
