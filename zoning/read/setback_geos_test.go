package read

import (
	"encoding/binary"
	"fmt"
	"math"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkb"
	"github.com/paulmach/orb/project"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/site"
)

// windowOf is a window of flat ground of a raster in some CRS, north-up, with
// its north-west corner at (x, y).
func windowOf(t testing.TB, crsName string, x, y, cell float64, cols, rows int) *terrain.Grid {
	t.Helper()
	require.NoError(t, registerDrivers())
	wkt, err := userCRS(crsName, "site-crs")
	require.NoError(t, err)
	c, err := newCRS(wkt, "site-crs")
	require.NoError(t, err)
	defer c.close()
	frame, err := terrain.NewFrame(16, 0, 0, cols, rows, func(cells [][2]float64) ([][2]float64, error) {
		points := make([]orb.Point, len(cells))
		for i, k := range cells {
			points[i] = orb.Point{x + k[0]*cell, y - k[1]*cell}
		}
		if c.transform != nil {
			points = c.toLonLat(points)
		}
		out := make([][2]float64, len(cells))
		for i, p := range points {
			out[i] = [2]float64(p)
		}
		return out, nil
	})
	require.NoError(t, err)
	return &terrain.Grid{Z: make([]float32, cols*rows), Cols: cols, Rows: rows, Stride: cols, Frame: frame}
}

// tangent is an azimuthal equidistant plane about the middle of a window (PROJ):
// within 300 m of it lengths are true to 1e-9.
type tangent struct{ to *godal.Transform }

func tangentAt(t testing.TB, middle orb.Point) tangent {
	t.Helper()
	from, err := godal.NewSpatialRefFromEPSG(4326)
	require.NoError(t, err)
	defer from.Close()
	plane, err := godal.NewSpatialRefFromProj4(fmt.Sprintf("+proj=aeqd +lat_0=%.12f +lon_0=%.12f +datum=WGS84 +units=m", middle[1], middle[0]))
	require.NoError(t, err)
	defer plane.Close()
	to, err := godal.NewTransform(from, plane)
	require.NoError(t, err)
	t.Cleanup(to.Close)
	return tangent{to}
}

// geometry lays a geometry in the plane, for GEOS.
func (p tangent) geometry(t testing.TB, g orb.Geometry) *godal.Geometry {
	t.Helper()
	flat := project.Geometry(orb.Clone(g), func(q orb.Point) orb.Point {
		x, y := []float64{q[0]}, []float64{q[1]}
		require.NoError(t, p.to.TransformEx(x, y, nil, nil))
		return orb.Point{x[0], y[0]}
	})
	raw, err := wkb.Marshal(flat, binary.LittleEndian)
	require.NoError(t, err)
	out, err := godal.NewGeometryFromWKB(raw, nil)
	require.NoError(t, err)
	t.Cleanup(out.Close)
	return out
}

// Every cell whose middle lies within GEOS' buffer of a shape is in its setback,
// every one outside is not, but for what neither rounding nor GEOS' chords for
// arcs (64 to a quarter turn: 1.5 mm at 20 m) tells apart; and every cell that
// GEOS says a shape meets is closed. Rasters in a UTM zone far from home, in
// degrees, in US survey feet and in Web Mercator.
func TestSetbacksAgainstGEOS(t *testing.T) {
	for _, c := range []struct {
		name, crs  string
		x, y, cell float64
	}{
		{"UTM, 8 degrees out of its zone", "EPSG:32615", 1400000, 4460000, 2},
		{"degrees", "EPSG:4326", -80.3, 61.2, 1.0 / 40000},
		{"US survey feet", "EPSG:2227", 6050000, 2120000, 6},
		{"Web Mercator", "EPSG:3857", -8900000, 4900000, 2.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			const n = 40
			g := windowOf(t, c.crs, c.x, c.y, c.cell, n, n)
			at := func(col, row float64) orb.Point {
				lon, lat := g.Frame.LonLat(col, row)
				return orb.Point{lon, lat}
			}
			plane := tangentAt(t, at(n/2, n/2))
			var middles, squares [n * n]*godal.Geometry
			for i := range middles {
				col, row := float64(i%n), float64(i/n)
				middles[i] = plane.geometry(t, at(col+0.5, row+0.5))
				squares[i] = plane.geometry(t, orb.Polygon{{at(col, row), at(col+1, row), at(col+1, row+1), at(col, row+1), at(col, row)}})
			}
			shapes := map[string]orb.Geometry{
				"point":   at(17.3, 23.8),
				"line":    orb.LineString{at(-12, 6.1), at(14.2, 10.7), at(18.4, 34.2), at(52, 38)},
				"polygon": orb.Polygon{{at(12, 12.3), at(30.1, 10), at(27.7, 29.9), at(19, 20), at(12, 12.3)}},
				"parts":   orb.MultiPolygon{{{at(3, 3), at(6, 3), at(4, 6), at(3, 3)}}, {{at(29, 29), at(46, 30), at(35, 46), at(29, 29)}}},
			}
			for name, shape := range shapes {
				const width = 20
				got, err := site.Lay([]site.Feature{{Kind: site.NoGo, Geometry: shape, Setback: site.Setback{WidthM: width}}}, g)
				require.NoError(t, err)
				flat := plane.geometry(t, shape)
				inner, outer := buffered(t, flat, width-0.005), buffered(t, flat, width+0.005)
				tight := buffered(t, flat, 0.01)
				told := 0
				for i, p := range middles {
					meets, err := squares[i].Intersects(flat)
					require.NoError(t, err)
					if meets {
						require.True(t, got.Closed[i], "%s, cell %d touches", name, i)
					}
					if near, err := squares[i].Intersects(tight); err == nil && !near {
						require.False(t, got.Closed[i], "%s, cell %d does not touch", name, i)
					}
					if in := inner.Contains(p); in || !outer.Contains(p) {
						told++
						require.Equal(t, in || meets, got.Setback[i], "%s, cell %d: GEOS inside %t", name, i, in)
					}
				}
				require.Greater(t, told, n*n*98/100)
			}
		})
	}
}

func buffered(t testing.TB, g *godal.Geometry, metres float64) *godal.Geometry {
	t.Helper()
	b, err := g.Buffer(metres, 64)
	require.NoError(t, err)
	t.Cleanup(b.Close)
	return b
}

// A rule that grows with slope is held to the buffer of the width it gives, on a
// plane that falls 27% to the west, seen from a stream along its contour: 84 ft
// along the slope are 84/√(1+0.27²) ft on the map.
func TestFilterStripAgainstGEOS(t *testing.T) {
	const n = 60
	g := windowOf(t, "EPSG:32610", 600000, 4100000, 1, n, n)
	for i := range g.Z {
		g.Z[i] = float32(0.27 / math.Sqrt(g.Frame.MetricAt(30, 30).A) * float64(i%n))
	}
	at := func(col, row float64) orb.Point {
		lon, lat := g.Frame.LonLat(col, row)
		return orb.Point{lon, lat}
	}
	stream := orb.LineString{at(20, -100), at(20, 160)}
	rule, err := site.ParseSetback("filter-strip")
	require.NoError(t, err)
	got, err := site.Lay([]site.Feature{{Kind: site.NoGo, Geometry: stream, Setback: rule}}, g)
	require.NoError(t, err)
	plane := tangentAt(t, at(n/2, n/2))
	flat := plane.geometry(t, stream)
	width := 84 * 0.3048 / math.Hypot(1, 0.27)
	inner, outer := buffered(t, flat, width-0.02), buffered(t, flat, width+0.02)
	for cell := range n * n {
		p := plane.geometry(t, at(float64(cell%n)+0.5, float64(cell/n)+0.5))
		if in := inner.Contains(p); in || !outer.Contains(p) {
			require.Equal(t, in, got.Setback[cell], "cell %d", cell)
		}
	}
}
