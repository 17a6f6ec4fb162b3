package plan_test

import (
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

// Of twenty cells of one zone, in a row or a column, a budget pays for a part: on the map it
// is the cells nearest to where the crew unloads, as many as that part makes to within half
// a cell.
func TestThePartThatIsPaidForIsTheNearest(t *testing.T) {
	const col0, row0, n, unload = 205, 200, 20, 2.2 // cells of the raster, and where along them is the staging
	nearest := make([]int, n)
	for i := range nearest {
		nearest[i] = i
	}
	slices.SortFunc(nearest, func(a, b int) int {
		return int(1000*math.Abs(float64(a)+0.5-unload) - 1000*math.Abs(float64(b)+0.5-unload))
	})
	for name, to := range map[string][2]int{"row": {1, 0}, "column": {0, 1}} {
		at := func(d float64) [2]float64 { return [2]float64{col0 + d*float64(to[0]), row0 + d*float64(to[1])} }
		start, end := at(0), at(n-1)
		way := at(unload - 0.5)
		staging := site.Feature{Kind: site.Staging, Place: 1, Geometry: orb.Point{rasterWest + (way[0]+0.5)*cellDeg, rasterNorth - (way[1]+0.5)*cellDeg}}
		g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{"../../testdata/jacksboro_dem.tif"},
			Parcel: boundary(t, []named{{"a", cells(start[0], start[1], end[0]+1, end[1]+1)}}), Features: []site.Feature{staging}})
		require.NoError(t, err)
		m, err := mapping.Map(t.Context(), g, []zoning.Machine{{Key: "track-loader", Name: "Track loader", LimitPct: 100}}, mapping.Options{SlopeOnly: true})
		require.NoError(t, err)
		require.Len(t, m.Lots[0].Zones, 1, "all of one zone")
		for usd := 4000; usd < 60000; usd += 700 {
			book := plan.Default()
			book.Job.BudgetUSD, book.Job.Bring = float64(usd), []string{"track-loader"}
			p, err := plan.ForMap(g, m, book, plan.Light)
			require.NoError(t, err)
			z, err := plan.Planned(t.Context(), g, m, p)
			require.NoError(t, err)
			var worked []int
			for i := range n {
				cell := at(float64(i))
				mask := z.Cells.Masks[(int(cell[1])-z.Cells.Row0)*z.Cells.Cols+int(cell[0])-z.Cells.Col0]
				if mask == 1 {
					worked = append(worked, i)
				} else {
					require.Equal(t, zoning.NeedsMachine, mask)
				}
			}
			want := slices.Clone(nearest[:int(math.Floor(n*p.Ladder[0].Acres/p.NetAcres+0.5))])
			slices.Sort(want)
			assert.Equal(t, want, worked, "%s, $%d: %.3f cells", name, usd, n*p.Ladder[0].Acres/p.NetAcres)
		}
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
