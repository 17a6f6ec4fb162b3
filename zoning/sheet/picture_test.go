package sheet

import (
	"bytes"
	"image"
	"image/color"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/relief"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
)

// Every scene draws. With SHEET_OUT set to a folder the pictures are left there
// to look at.
func TestScenesDraw(t *testing.T) {
	for name, s := range scenes() {
		t.Run(name, func(t *testing.T) {
			g, zm := s.mapped(t)
			img, first := drawn(t, g, zm)
			long := max(img.Bounds().Dx(), img.Bounds().Dy())
			assert.True(t, long >= 1000 && long <= 1440, "longer side %d px", long)
			assert.IsType(t, &image.Paletted{}, img, "a byte a pixel")
			if dir := os.Getenv("SHEET_OUT"); dir != "" {
				require.NoError(t, os.WriteFile(filepath.Join(dir, name+".png"), first, 0o644))
			}
		})
	}
}

// The same map gives the same bytes, on any number of processors and from
// several goroutines at once too.
func TestSameBytes(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, name := range []string{"lots", "voids", "fourteen"} {
		g, zm := scenes()[name].mapped(t)
		_, first := drawn(t, g, zm)
		for _, processors := range []int{1, 2, 3, 200} {
			runtime.GOMAXPROCS(processors)
			_, again := drawn(t, g, zm)
			assert.True(t, bytes.Equal(first, again), "%s on %d processors", name, processors)
		}
		var wg sync.WaitGroup
		for range 2 {
			wg.Go(func() {
				var b bytes.Buffer
				if assert.NoError(t, Picture(&b, g, zm)) {
					assert.True(t, bytes.Equal(first, b.Bytes()), name)
				}
			})
		}
		wg.Wait()
	}
}

func TestNothingToDraw(t *testing.T) {
	g, zm := scenes()["tiny"].mapped(t)
	zm.Lots = nil
	assert.ErrorIs(t, Picture(&bytes.Buffer{}, g, zm), errNoGround)
	assert.ErrorIs(t, Table(&bytes.Buffer{}, zm), errNoLot)
}

// twoPlanes rises to the east: 20% west of the middle, 36% east of it.
func twoPlanes() scene {
	return scene{cols: 200, rows: 200, cell: 2, fleet: threeMachines(),
		height: func(x, y float64) float64 { return 0.2*min(x, 0) + 0.36*max(x, 0) },
		lots:   []zoning.Parcel{box("Planes", -150, -140, 150, 140)}}
}

// placed returns the layout of a map, as Picture makes it.
func placed(t testing.TB, g *terrain.Grid, zm *zoning.ZoneMap) (*page, *view) {
	p, ok := planeOf(g.Frame, zm)
	require.True(t, ok)
	return layout(zm, totalsOf(zm), p)
}

// spot is the pixel of a picture that shows metres east and north of the middle
// of a made grid.
func spot(pg *page, v *view, x, y float64) image.Point {
	px, py := v.pixel(orb.Point{x / degreeM, y / degreeM})
	return pg.ground.Min.Add(image.Pt(int(px), int(py)))
}

// commonest is the colour that most pixels around a spot have.
func commonest(img image.Image, at image.Point, reach int) color.RGBA {
	counts := map[color.RGBA]int{}
	for y := at.Y - reach; y <= at.Y+reach; y++ {
		for x := at.X - reach; x <= at.X+reach; x++ {
			counts[color.RGBAModel.Convert(img.At(x, y)).(color.RGBA)]++
		}
	}
	var best color.RGBA
	for c, n := range counts {
		if n > counts[best] || n == counts[best] && c.R < best.R {
			best = c
		}
	}
	return best
}

// lambert is the brightness of a plane by Horn 1981, worked out by hand: rise
// to the east s, heights exaggerated k times, light at 45° in the north-west.
func lambert(s, k float64) float64 {
	toward := -s / math.Sqrt2
	return math.Sqrt(0.5) * (1 - k*toward) / math.Sqrt(1+k*k*s*s)
}

func near(t *testing.T, want, got color.RGBA, what string) {
	t.Helper()
	const tol = 4 // half a step of relief, and what a block of 16 pixels is apart in brightness
	assert.LessOrEqual(t, apartBy(want, got), tol, "%s: want %v, got %v", what, want, got)
}

func TestColoursAtKnownSpots(t *testing.T) {
	g, zm := twoPlanes().mapped(t)
	pg, v := placed(t, g, zm)
	img, _ := drawn(t, g, zm)
	lit, err := relief.Shade(g, int(v.cellsPerPixel()))
	require.NoError(t, err)
	k := lit.Exaggeration
	// Mean slope of the two halves 28%: Horn's method blurs only the seam.
	require.InDelta(t, 0.40/0.28, k, 0.02)

	west := palette.Shaded(palette.GroundOf(0, 3).Tint, lambert(0.20, k), palette.ZoneRelief)
	east := palette.Shaded(palette.GroundOf(1, 3).Tint, lambert(0.36, k), palette.ZoneRelief)
	near(t, west, commonest(img, spot(pg, v, -70, 30), 12), "20%: track loader")
	near(t, east, commonest(img, spot(pg, v, 70, -30), 12), "36%: boom-mounted head")
	far := palette.Shaded(palette.FarGround, lambert(0.20, k), palette.FadedRelief)
	near(t, far, commonest(img, spot(pg, v, -156, 0), 3), "outside the parcel")

	// The boundary runs through x = 150 m; its line is dark, its casing white.
	at := spot(pg, v, 150, 7)
	near(t, palette.Ink, color.RGBAModel.Convert(img.At(at.X, at.Y)).(color.RGBA), "boundary")
	inside := color.RGBAModel.Convert(img.At(at.X-3, at.Y)).(color.RGBA)
	assert.Greater(t, luminance(inside), 0.8, "casing")
}

// In greyscale the two zones differ by their hatching alone: their rows of
// pixels, made black and white at their own mean, do not agree anywhere.
func TestZonesDifferInGrey(t *testing.T) {
	g, zm := twoPlanes().mapped(t)
	pg, v := placed(t, g, zm)
	img, _ := drawn(t, g, zm)
	inked := func(x, y float64) *tile {
		at := spot(pg, v, x, y).Sub(pg.ground.Min)
		at = pg.ground.Min.Add(image.Pt(at.X/tileSide*tileSide, at.Y/tileSide*tileSide))
		var grey [tileSide * tileSide]float64
		mean := 0.0
		for i := range grey {
			c := color.GrayModel.Convert(img.At(at.X+i%tileSide, at.Y+i/tileSide)).(color.Gray)
			grey[i] = float64(c.Y)
			mean += float64(c.Y) / float64(len(grey))
		}
		var out tile
		for i, v := range grey {
			if v < mean-10 {
				out[i] = inkSteps - 1
			}
		}
		return &out
	}
	a, b := inked(-70, 30), inked(70, -30)
	assert.Less(t, difference(a, inked(-60, -80)), 0.02, "one zone, one hatching")
	assert.Greater(t, difference(a, b), 0.1)
}

// Voids are plain: unknown ground is paper and dots, outside it paper.
func TestVoidsArePlain(t *testing.T) {
	g, zm := scenes()["voids"].mapped(t)
	pg, v := placed(t, g, zm)
	img, _ := drawn(t, g, zm)
	assert.Equal(t, palette.Paper, commonest(img, spot(pg, v, 80, -50), 20))
	assert.Equal(t, palette.Paper, commonest(img, spot(pg, v, -215, 150), 4))
	dark := 0
	at := spot(pg, v, 80, -50)
	for y := -24; y < 24; y++ {
		for x := -24; x < 24; x++ {
			if luminance(color.RGBAModel.Convert(img.At(at.X+x, at.Y+y)).(color.RGBA)) < 0.2 {
				dark++
			}
		}
	}
	// Dots 2.7 px across, two in 12 × 12 px: 8%.
	assert.InDelta(t, 0.08, float64(dark)/48/48, 0.03)
}

// The pixels of a zone, measured at the picture's scale, are its acres.
func TestPixelsAreAcres(t *testing.T) {
	for _, name := range []string{"hills", "ridge", "voids", "lots"} {
		g, zm := scenes()[name].mapped(t)
		_, v := placed(t, g, zm)
		counts := make([]float64, len(zm.Fleet)+palette.Rest+1)
		for _, k := range bandImage(v, zm) {
			counts[k]++
		}
		want := make([]float64, len(zm.Fleet)+palette.Rest+1)
		total := 0.0
		for _, lot := range zm.Lots {
			for _, z := range lot.Zones {
				want[z.Band+1] += z.Acres
				total += z.Acres
			}
		}
		for b := 1; b < len(want); b++ {
			got := counts[b] * v.metres * v.metres / terrain.SquareMetresPerAcre
			assert.InDelta(t, want[b], got, 0.004*total, "%s, band %d", name, b-1)
		}
	}
}

// turned is a raster of square cells whose rows run at an angle from east,
// counter-clockwise.
func turned(t *testing.T, lon, lat, cellM, deg float64, n int, height func(x, y float64) float64) *terrain.Grid {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	perLat := 111132.95 - 559.85*math.Cos(2*lat*math.Pi/180) // metres in a degree, to 2 m
	perLon := 111412.88*math.Cos(lat*math.Pi/180) - 93.5*math.Cos(3*lat*math.Pi/180)
	at := func(c, r float64) (x, y float64) {
		u, w := (c-float64(n)/2)*cellM, (float64(n)/2-r)*cellM
		return u*cos - w*sin, u*sin + w*cos
	}
	f, err := terrain.NewFrame(32, 0, 0, n, n, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			x, y := at(c[0], c[1])
			out[i] = [2]float64{math.Remainder(lon+x/perLon, 360), lat + y/perLat}
		}
		return out, nil
	})
	require.NoError(t, err)
	g := &terrain.Grid{Z: make([]float32, n*n), Cols: n, Rows: n, Stride: n, Frame: f}
	for r := range n {
		for c := range n {
			g.Z[r*n+c] = float32(height(at(float64(c)+0.5, float64(r)+0.5)))
		}
	}
	return g
}

// North is up and ground is true to scale whatever way the raster lies: steep
// ground in the north-east of a square lot is in the picture's upper right.
func TestNorthIsUp(t *testing.T) {
	// 20% to the north everywhere, 80% in the north-east.
	height := func(x, y float64) float64 { return 0.2*y + 0.6*min(max(x, 0), max(y, 0)) }
	for _, c := range []struct {
		lon, lat, deg float64
	}{{-84, 36, 0}, {12, 60, 33}, {12, -45, 160}, {100, 0, 180}, {180, 10, 9.5}, {-180, 52, 75}} {
		g := turned(t, c.lon, c.lat, 2, c.deg, 256, height)
		perLat := 111132.95 - 559.85*math.Cos(2*c.lat*math.Pi/180)
		perLon := 111412.88*math.Cos(c.lat*math.Pi/180) - 93.5*math.Cos(3*c.lat*math.Pi/180)
		square := func(west, east float64) orb.Polygon {
			var r orb.Ring
			for _, p := range [][2]float64{{west, -100}, {east, -100}, {east, 100}, {west, 100}, {west, -100}} {
				lon := c.lon + p[0]/perLon
				if c.lon == 180 && p[0] > 0 {
					lon -= 360
				}
				if c.lon == -180 && p[0] < 0 {
					lon += 360
				}
				if p[0] == 0 {
					lon = math.Copysign(180, west+east) * -1
				}
				r = append(r, orb.Point{lon, c.lat + p[1]/perLat})
			}
			return orb.Polygon{r}
		}
		ground := orb.MultiPolygon{square(-100, 100)}
		if math.Abs(c.lon) == 180 { // cut in two there, as RFC 7946 asks
			ground = orb.MultiPolygon{square(-100, 0), square(0, 100)}
		}
		zm := mapOn(t, g, threeMachines(), []zoning.Parcel{{Lot: "Square", Ground: ground}}, terrain.Source{})
		_, v := placed(t, g, zm)
		// Snyder 1987, table of lengths of a degree: the formulae above hold to
		// some metres; the lot is 200 m square with 5% around it.
		assert.InDelta(t, 100, v.halfW, 0.02, "%+v", c)
		assert.InDelta(t, 100, v.halfH, 0.02, "%+v", c)
		assert.InDelta(t, v.w, v.h, 1, "%+v", c)

		bands := bandImage(v, zm)
		at := func(x, y float64) uint8 {
			return bands[int(float64(v.h)/2-y/v.metres)*v.w+int(float64(v.w)/2+x/v.metres)]
		}
		assert.EqualValues(t, 1, at(-50, 50), "%+v: north-west", c)
		assert.EqualValues(t, 1, at(50, -50), "%+v: south-east", c)
		assert.EqualValues(t, 1, at(-50, -50), "%+v: south-west", c)
		assert.EqualValues(t, 3, at(60, 30), "%+v: north-east", c)
		assert.EqualValues(t, 3, at(30, 60), "%+v: north-east", c)
		assert.EqualValues(t, 0, at(0, 104), "%+v: outside", c)

		// No line is drawn where the ground was cut only to be written.
		img, _ := drawn(t, g, zm)
		pg, _ := placed(t, g, zm)
		middle := pg.ground.Min.Add(image.Pt(v.w/2, v.h*3/4))
		dark := 0
		for y := -30; y < 30; y++ {
			if luminance(color.RGBAModel.Convert(img.At(middle.X, middle.Y+y)).(color.RGBA)) < 0.25 {
				dark++
			}
		}
		assert.Less(t, dark, 20, "%+v: a seam", c)
	}
}
