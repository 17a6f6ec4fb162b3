package sheet

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"

	"github.com/pymaxion/geographiclib-go/geodesic"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/relief"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
)

func decoded(t *testing.T, write func(*bytes.Buffer) error) image.Image {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(&b))
	img, err := png.Decode(&b)
	require.NoError(t, err)
	return img
}

// level is a lot of 200 × 100 m, level in the west and at 50% in the east.
func level(t *testing.T) (*terrain.Grid, *zoning.ZoneMap) {
	s := scene{cols: 300, rows: 200, cell: 1, height: func(x, _ float64) float64 { return 0.5 * max(x, 0) },
		fleet: threeMachines(), lots: []zoning.Parcel{box("level", -100, -50, 100, 50)}}
	return s.mapped(t)
}

// A dot of a view lies where its plane says: the west of the lot is level ground, the
// east is at 50%.
func TestViewShowsTheGroundItIsOf(t *testing.T) {
	g, zm := level(t)
	p, east, north, ok := PlaneOf(g.Frame, zm)
	require.True(t, ok)
	assert.InDelta(t, 100, east, 0.01)
	assert.InDelta(t, 50, north, 0.5)
	painter := NewPainter(g)
	at := func(v View, only, x, y int) color.Color {
		return decoded(t, func(b *bytes.Buffer) error { return painter.Paint(b, zm, v, only) }).At(x, y)
	}
	const gentle, steep = 0, 2 // bands
	tint := func(band int) color.RGBA { return palette.GroundOf(band, 3).Shade(relief.FlatLit, palette.ZoneRelief) }
	near := func(want color.RGBA, got color.Color, words string) {
		t.Helper()
		r, gr, b, _ := got.RGBA()
		off := math.Abs(float64(r>>8)-float64(want.R)) + math.Abs(float64(gr>>8)-float64(want.G)) + math.Abs(float64(b>>8)-float64(want.B))
		assert.Less(t, off, 12.0, "%s: %v for %v", words, got, want)
	}
	whole := View{Plane: p, MetresPerDot: 1, Width: 240, Height: 140}
	// Hatching of the first machine runs at x+y = 0 (mod 16): 8 is between two lines.
	near(tint(gentle), at(whole, AllBands, 60, 60), "60 m west of the middle")
	west := View{Plane: p, XM: -60, MetresPerDot: 0.5, Width: 96, Height: 96}
	near(tint(gentle), at(west, AllBands, 48, 56), "the same, nearer")
	off := whole
	off.XM = 1000
	near(color.RGBA{0xFF, 0xFF, 0xFF, 0xFF}, at(off, AllBands, 60, 60), "off the grid")
	near(palette.Outside.Shade(relief.FlatLit, palette.FadedRelief), at(whole, steep, 60, 60), "a band that is not asked for")
}

func TestReliefIsClearOffItsGrids(t *testing.T) {
	g, zm := level(t)
	p, _, _, _ := PlaneOf(g.Frame, zm)
	img := decoded(t, func(b *bytes.Buffer) error {
		return PaintRelief(b, View{Plane: p, MetresPerDot: 2, Width: 400, Height: 200}, []*Painter{NewPainter(g)})
	})
	_, _, _, alpha := img.At(200, 100).RGBA()
	assert.Equal(t, uint32(0xFFFF), alpha)
	_, _, _, alpha = img.At(10, 10).RGBA()
	assert.Zero(t, alpha)
}

// Metres of a plane are metres on the ellipsoid, by GeographicLib's geodesics.
func TestPlaneIsInMetres(t *testing.T) {
	g, zm := level(t)
	p, _, _, _ := PlaneOf(g.Frame, zm)
	assert.InDelta(t, p.LonM, planeAt(g.Frame, p.Lon, p.Lat).perLon, 1e-6)
	assert.InEpsilon(t, geodesic.WGS84.Inverse(p.Lat, p.Lon, p.Lat, p.Lon+0.001).S12/0.001, p.LonM, 1e-4)
	assert.InEpsilon(t, geodesic.WGS84.Inverse(p.Lat, p.Lon, p.Lat+0.001, p.Lon).S12/0.001, p.LatM, 1e-4)
}

func TestSwatchesDiffer(t *testing.T) {
	seen := map[string]int{}
	for band := range 8 {
		var b bytes.Buffer
		require.NoError(t, Swatch(&b, band, 3, 72, 40))
		img, err := png.Decode(bytes.NewReader(b.Bytes()))
		require.NoError(t, err)
		assert.Equal(t, image.Rect(0, 0, 72, 40), img.Bounds())
		seen[b.String()]++
	}
	assert.Len(t, seen, 8)
}
