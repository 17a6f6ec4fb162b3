package lots

import (
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/pymaxion/geographiclib-go/geodesic"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/write"
)

// acresIn reads columns of lots.csv by name: a value for each lot.
func acresIn(t *testing.T, table string) map[string][]float64 {
	t.Helper()
	rows := rowsOf(t, table)
	out := map[string][]float64{}
	for i, name := range rows[0] {
		for _, row := range rows[1:] {
			if v, err := strconv.ParseFloat(row[i], 64); err == nil {
				out[name] = append(out[name], v)
			}
		}
	}
	return out
}

// Acres of 200 lots against a computation that shares nothing with ours: slopes by
// GDAL (Horn), the share of each cell in a lot by GEOS's intersection in the plane of
// the map, areas as geodesic polygons (Karney 2013).
func TestAcresByOtherMeans(t *testing.T) {
	const lots, side = 200, 13
	c := config(t)
	writeLots(t, c.Job.Parcels, squares(lots, groundCells, side))
	c.Job.Options = mapping.Options{Scale: mapping.CellScale, SlopeOnly: true}
	_, out := ran(t, c)
	got := acresIn(t, out["lots.csv"])
	slopes := gdalSlopes(t)
	bands, columns := c.Job.Fleet.Bands(), write.ZoneColumns(c.Job.Fleet)
	for i, lot := range squares(lots, groundCells, side) {
		whole := geodesicAcres(t, c.Job.Parcels, i)
		// Junctions on the boundary are rounded by half of 0.1 mm, which along all of
		// it is 15e-6 of such a lot.
		require.InEpsilon(t, whole, got["parcel_acres"][i], 15e-6, lot.name)
		want := map[string]float64{}
		shared := 0.0
		eachShare(t, lot, func(col, row int, share float64) {
			pct := mapScale * slopes[row*groundCells+col]
			key := zoning.NoMachineKey
			for _, m := range c.Job.Fleet {
				if pct < m.SteepestPct()-100*zoning.TieRise {
					key = m.Key
					break
				}
			}
			want[key] += share
			shared += share
		})
		require.InDelta(t, side*side, shared, 0.1)
		for band, b := range bands {
			if !zoning.ByLimits.Has(c.Job.Fleet, band) {
				continue
			}
			// Of some 200 cells one may lie so near to a limit that rounding decides.
			require.InDelta(t, whole*want[b.Key]/shared, got[columns[band]+"_acres"][i], 1.01*whole/shared, "%s, %s", lot.name, b.Key)
		}
	}
}

// mapScale is how many map metres a metre on the ground has on the made ground, 145 km
// west of the central meridian: 0.9996·(1 + E²/2R²) (Snyder 1987, p. 48).
const mapScale = 0.99986

// gdalSlopes are the slopes of the made ground in percent, by gdaldem.
func gdalSlopes(t *testing.T) []float64 {
	t.Helper()
	file := filepath.Join(t.TempDir(), "whole.tif")
	writeTile(t, file, 0, 0, groundCells, groundCells, 64)
	ds, err := godal.Open(file)
	require.NoError(t, err)
	defer ds.Close()
	made, err := ds.Dem(filepath.Join(t.TempDir(), "slope.tif"), "slope", "", []string{"-p", "-alg", "Horn", "-of", "GTiff"})
	require.NoError(t, err)
	defer made.Close()
	out := make([]float64, groundCells*groundCells)
	require.NoError(t, made.Bands()[0].Read(0, 0, out, groundCells, groundCells))
	return out
}

// eachShare visits the cells of the made ground under a lot with the share of each
// that lies in it.
func eachShare(t *testing.T, lot made, visit func(col, row int, share float64)) {
	t.Helper()
	ring := ""
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for i, p := range lot.ring {
		if i > 0 {
			ring += ","
		}
		ring += fmt.Sprintf("%.9f %.9f", p[0], p[1])
		x0, y0, x1, y1 = min(x0, p[0]), min(y0, p[1]), max(x1, p[0]), max(y1, p[1])
	}
	whole, err := godal.NewGeometryFromWKT("POLYGON(("+ring+"))", nil)
	require.NoError(t, err)
	defer whole.Close()
	for row := int(y0); row <= int(y1); row++ {
		for col := int(x0); col <= int(x1); col++ {
			cell, err := godal.NewGeometryFromWKT(fmt.Sprintf("POLYGON((%d %d,%d %d,%d %d,%d %d,%d %d))",
				col, row, col+1, row, col+1, row+1, col, row+1, col, row), nil)
			require.NoError(t, err)
			both, err := whole.Intersection(cell)
			require.NoError(t, err)
			if share := both.Area(); share > 0 {
				visit(col, row, share)
			}
			both.Close()
			cell.Close()
		}
	}
}

// geodesicAcres is the area of a lot of a file, its edges straight in longitude and
// latitude as RFC 7946 has them: cut into 64 pieces each, a geodesic between the ends
// of which is as good.
func geodesicAcres(t *testing.T, file string, i int) float64 {
	t.Helper()
	lots, err := read.Read(t.Context(), file, read.Options{})
	require.NoError(t, err)
	ring := lots[i].Ground[0][0]
	p := geodesic.NewPolygonArea(geodesic.WGS84, false)
	for k := 1; k < len(ring); k++ {
		a, b := ring[k-1], ring[k]
		for s := range 64 {
			f := float64(s) / 64
			p.AddPoint(a[1]+f*(b[1]-a[1]), a[0]+f*(b[0]-a[0]))
		}
	}
	return math.Abs(p.Compute(false, true).Area) / terrain.SquareMetresPerAcre
}

// A tract cut into lots: its zones are the sum of theirs.
func TestLotsOfATractAreTheTract(t *testing.T) {
	c := config(t)
	const n, from, to = 5, 30, 270
	at := func(i, k int) [2]float64 { // a net of corners that fits no grid
		x, y := float64(from+(to-from)*i/n), float64(from+(to-from)*k/n)
		if i > 0 && i < n {
			x += 7 * math.Sin(float64(3*i+5*k))
		}
		if k > 0 && k < n {
			y += 7 * math.Cos(float64(4*i+7*k))
		}
		return [2]float64{x, y}
	}
	var lots []made
	for i := range n {
		for k := range n {
			lots = append(lots, made{fmt.Sprintf("%d-%d", i, k), [][2]float64{at(i, k), at(i, k+1), at(i+1, k+1), at(i+1, k), at(i, k)}})
		}
	}
	tract := made{name: "tract"}
	for k := range n {
		tract.ring = append(tract.ring, at(0, k))
	}
	for i := range n {
		tract.ring = append(tract.ring, at(i, n))
	}
	for k := range n {
		tract.ring = append(tract.ring, at(n, n-k))
	}
	for i := range n + 1 {
		tract.ring = append(tract.ring, at(n-i, 0))
	}
	sum := func(lots []made) map[string]float64 {
		writeLots(t, c.Job.Parcels, lots)
		c.Dir = filepath.Join(t.TempDir(), "out")
		_, out := ran(t, c)
		sums := map[string]float64{}
		for name, values := range acresIn(t, out["lots.csv"]) {
			for _, v := range values {
				sums[name] += v
			}
		}
		return sums
	}
	// By slope alone: a machine that may not leave its lot has less room to turn.
	c.Job.Options.SlopeOnly = true
	parts, whole := sum(lots), sum([]made{tract})
	require.Greater(t, whole["parcel_acres"], 13.0)
	for _, zone := range write.ZoneColumns(c.Job.Fleet) {
		require.InDelta(t, whole[zone+"_acres"], parts[zone+"_acres"], 1e-6*whole["parcel_acres"], zone)
	}
	require.InEpsilon(t, whole["parcel_acres"], parts["parcel_acres"], 1e-7)
}
