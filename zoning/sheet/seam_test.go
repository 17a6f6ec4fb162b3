package sheet

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// acrossMap is the ground map of a lot 200 m square at a longitude, cut in two there where
// that is the antimeridian.
func acrossMap(t *testing.T, lon float64) *groundMap {
	g := turned(t, lon, 0, 2, 0, 256, func(x, y float64) float64 { return 0.1 * y })
	const half = 100 / degreeM
	box := func(west, east float64) orb.Polygon {
		return orb.Polygon{{{west, -half}, {east, -half}, {east, half}, {west, half}, {west, -half}}}
	}
	ground := orb.MultiPolygon{box(lon-half, lon+half)}
	if lon == 180 {
		ground = orb.MultiPolygon{box(180-half, 180), box(-180, half-180)}
	}
	zm := mapOn(t, g, threeMachines(), []zoning.Parcel{{Lot: "Square", Ground: ground}}, terrain.Source{})
	m, err := newGroundMap(&Page{Map: zm, Grid: g}, totalsOf(zm), 300, 300)
	require.NoError(t, err)
	return m
}

// upright is how long the longest line near a middle is that goes up and down.
func upright(paths []drawing.Path, middle float64) (tall float64) {
	for _, p := range paths {
		for _, line := range p.Lines {
			if p.Closed {
				line = append(line[:len(line):len(line)], line[0])
			}
			for i := 1; i < len(line); i++ {
				if math.Abs(line[i].X-middle) < 10 && math.Abs(line[i-1].X-middle) < 10 {
					tall = max(tall, math.Abs(line[i].Y-line[i-1].Y))
				}
			}
		}
	}
	return tall
}

// A lot across the antimeridian was drawn with a line down its middle on the sheet, where
// it is cut only to be written.
func TestNoLineAlongTheAntimeridian(t *testing.T) {
	lengths := map[float64]float64{}
	for _, lon := range []float64{100, 180} {
		m := acrossMap(t, lon)
		var paths []drawing.Path
		for _, s := range m.over[:2] {
			paths = append(paths, s.(drawing.Path))
		}
		for _, z := range m.zones {
			paths = append(paths, z.path)
		}
		require.Greater(t, len(paths), 2)
		assert.Less(t, upright(paths, 150), 1.0, "no line down the middle at %g", lon)
		for _, p := range paths {
			assert.Equal(t, lon != 180, p.Closed)
			for _, line := range p.Lines {
				if p.Closed {
					line = append(line[:len(line):len(line)], line[0])
				}
				for i := 1; i < len(line); i++ {
					lengths[lon] += math.Hypot(line[i].X-line[i-1].X, line[i].Y-line[i-1].Y)
				}
			}
		}
	}
	assert.InDelta(t, lengths[100], lengths[180], 0.01*lengths[100], "all other lines are drawn")
}

// A ring that comes to the antimeridian twice, and one that does not, beside each other.
func TestRingsBesideTheSeam(t *testing.T) {
	m := acrossMap(t, 180)
	const d = 20 / degreeM
	twice := orb.Ring{{180, -4 * d}, {180, -2 * d}, {180 - d, -2 * d}, {180 - d, 2 * d}, {180, 2 * d}, {180, 4 * d}, {180 - 3*d, 4 * d}, {180 - 3*d, -4 * d}, {180, -4 * d}}
	plain := orb.Ring{{-180 + d, 0}, {-180 + 2*d, 0}, {-180 + 2*d, d}, {-180 + d, 0}}
	lines, closed := m.rings(orb.MultiPolygon{{twice}, {plain}})
	assert.False(t, closed)
	require.Len(t, lines, 3)
	assert.Equal(t, []drawing.Point{m.at(twice[1]), m.at(twice[2]), m.at(twice[3]), m.at(twice[4])}, lines[0])
	assert.Equal(t, []drawing.Point{m.at(twice[5]), m.at(twice[6]), m.at(twice[7]), m.at(twice[0])}, lines[1])
	assert.Equal(t, []drawing.Point{m.at(plain[0]), m.at(plain[1]), m.at(plain[2]), m.at(plain[0])}, lines[2])
	lines, closed = m.rings(orb.MultiPolygon{{plain}})
	assert.True(t, closed)
	assert.Len(t, lines[0], 3)
}
