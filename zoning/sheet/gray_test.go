package sheet

import (
	"image"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/site"
)

// lightness is L* of CIELAB (CIE 15), 0 to 100: all that a printer without color leaves.
func lightness(y float64) float64 {
	if y > 216.0/24389 {
		return 116*math.Cbrt(y) - 16
	}
	return 24389.0 / 27 * y
}

// tintLightness is that of a band on level ground, without its hatching.
func tintLightness(band, machines int) float64 {
	return lightness(luminance(flatTint(palette.GroundOf(band, machines))))
}

// Any two zones of a map, those that no machine works among them, stay apart without
// color: by their hatching wherever they are larger than it, and fleets of up to seven
// machines by lightness too where hatchings are most alike. The eye sees 2.3 of lightness
// (Mahy and others 1994). A boom head's lines once lay on the grid of ground
// whose machine is not brought: the test looked at every third row and missed the other lines.
func TestEveryPairOfZonesStaysApartInGray(t *testing.T) {
	for _, machines := range []int{1, 3, 4, 5, 7, mostMachines} {
		least := map[bool]float64{true: 0.105, false: 0.09}[machines <= 7]
		for b := range machines + palette.Rest {
			for a := range b {
				inks := difference(patternOf(a, machines).tile(), patternOf(b, machines).tile())
				light := math.Abs(tintLightness(a, machines) - tintLightness(b, machines))
				assert.GreaterOrEqual(t, inks, least, "hatching of bands %d and %d of %d machines", a, b, machines)
				if machines <= 7 && inks < 0.14 {
					assert.GreaterOrEqual(t, light, 2.3, "lightness of bands %d and %d of %d machines", a, b, machines)
				}
			}
		}
	}
}

// The four machines of the usual fleet differ in lightness too, so that a zone smaller than
// its hatching is told in gray. The third and the fourth, pink and green, once printed alike.
func TestMachinesOfTheUsualFleetDifferInLightness(t *testing.T) {
	for b := range 4 {
		for a := range b {
			assert.GreaterOrEqual(t, math.Abs(tintLightness(a, 4)-tintLightness(b, 4)), 3.0, "machines %d and %d", a, b)
		}
	}
	assert.GreaterOrEqual(t, math.Abs(tintLightness(2, 4)-tintLightness(3, 4)), 10.0, "pink and green")
}

// Walk-first dots stand out on every machine's ground without color, and are not those of
// ground without elevation: they have a rim of paper.
func TestWalkDotsStandOutInGray(t *testing.T) {
	for _, machines := range []int{4, mostMachines} {
		for b := range machines {
			g := palette.GroundOf(b, machines)
			assert.GreaterOrEqual(t, contrast(palette.Ink, flatTint(g)), 3.0, "band %d of %d: WCAG 2.2, 1.4.11", b, machines)
			assert.GreaterOrEqual(t, contrast(palette.Paper, g.Hatch), 3.0, "the rim on hatching of band %d of %d", b, machines)
		}
	}
}

// grayOf is a line's look along 96 points, darkness 0 to 1 by row and column, 2 pixels a point.
func grayOf(look []drawing.Path, ticked bool) (rows [][]float64) {
	line := []drawing.Point{{X: 0, Y: 6}, {X: 96, Y: 6}}
	page := drawing.Page{Width: 96, Height: 12}
	page.Add(filled(drawing.Box{Right: 96, Bottom: 12}, drawing.Solid(palette.NoMachine)))
	for i, p := range look {
		p.Lines, p.Fill = [][]drawing.Point{line}, drawing.Paint{}
		if ticked && i == len(look)-1 {
			p.Lines = ticks(line, 6, 3)
		}
		page.Add(p)
	}
	var img image.Image = drawing.Pixels(page, 2)
	for y := range img.Bounds().Dy() {
		var row []float64
		for x := range img.Bounds().Dx() {
			r, g, b, _ := img.At(x, y).RGBA()
			row = append(row, 1-(0.299*float64(r)+0.587*float64(g)+0.114*float64(b))/0xFFFF)
		}
		rows = append(rows, row)
	}
	return rows
}

// unlike is how much two lines differ in darkness where they agree best, in parts of the band
// two points wide on either side of them.
func unlike(a, b [][]float64) float64 {
	least := math.Inf(1)
	const middle, half = 12, 4
	for shift := range 48 {
		sum, n := 0.0, 0
		for y := middle - half; y < middle+half; y++ {
			for x := 10; x < 140; x++ {
				sum += math.Abs(a[y][x] - b[y][(x+shift)])
				n++
			}
		}
		least = min(least, sum/float64(n))
	}
	return least
}

// No two kinds of lines print alike without color: a power line once looked like a drop-off, a
// strip along drainage like a path, soft ground like a leave tree. A
// drop-off found and a cliff drawn are the same thing to a driver; a tower is a ring, not a line.
func TestLinesStayApartInGray(t *testing.T) {
	looks := map[string][][]float64{}
	for kind, l := range featureLooks {
		if kind != site.Edge && kind != site.Tower && kind != site.Building {
			looks[l.words] = grayOf(l.look, false)
		}
	}
	for _, l := range hazardLooks {
		looks[l.words] = grayOf(l.look, l.ticked)
	}
	require.Len(t, looks, 18)
	for a := range looks {
		for b := range looks {
			if a < b {
				assert.GreaterOrEqual(t, unlike(looks[a], looks[b]), 0.06, "%s, %s", a, b)
			}
		}
	}
}
