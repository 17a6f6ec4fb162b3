package sheet

import (
	"bytes"
	"encoding/base64"
	"image"
	"image/color"
	"image/png"
	"regexp"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pictureIn is the map of a page.
func pictureIn(t testing.TB, page string) image.Image {
	t.Helper()
	found := regexp.MustCompile(`data:image/png;base64,([^"]+)`).FindStringSubmatch(page)
	require.NotNil(t, found)
	text, err := base64.StdEncoding.DecodeString(found[1])
	require.NoError(t, err)
	img, err := png.Decode(bytes.NewReader(text))
	require.NoError(t, err)
	return img
}

// Each lot is drawn whole in the colour of its need, where it lies and to scale.
func TestOverviewMapIsTrue(t *testing.T) {
	lots := inARow([]float64{1}, []float64{0, 1}, []float64{0.5, 0, 0.5}, []float64{0, 0, 0, 1}, []float64{0, 0, 0, 0, 1})
	o, _ := summed(lots)
	m, ok := newOverviewMap(o)
	require.True(t, ok)
	// 0.0018 degrees of longitude on WGS84 at 36 N; see TestMetresPerDegree. The row
	// fills the width.
	const metres = 90_162 * side
	west, _ := m.pixel(orb.Point{-84 - side/2, 36})
	east, _ := m.pixel(orb.Point{-84 + side/2, 36})
	assert.InDelta(t, metres, (east-west)*m.metres, 0.1)
	assert.InDelta(t, reliefPx*overviewMargin, west, 0.01)
	last, _ := m.pixel(lots[4].Outline[0][0][1])
	assert.InDelta(t, reliefPx*(overviewWide-overviewMargin), last, 0.01)

	img := pictureIn(t, overviewPageOf(t, lots))
	for i, l := range lots {
		x, y := m.pixel(l.Outline.Bound().Center())
		for k, other := range lots {
			g, _, _ := lotNeed(other.LotMap, 3).ground(3)
			share := shareOf(img, image.Pt(int(x), int(y)), flatTint(g))
			if k == i {
				assert.Greater(t, share, 0.2, "lot %d between its hatching", i+1)
			} else {
				assert.Less(t, share, 0.02, "lot %d in the colour of lot %d", i+1, k+1)
			}
		}
	}
}

// shareOf is the part of the pixels around a spot that have about a colour.
func shareOf(img image.Image, at image.Point, c color.RGBA) float64 {
	const reach = 40
	found := 0
	for y := at.Y - reach; y < at.Y+reach; y++ {
		for x := at.X - reach; x < at.X+reach; x++ {
			if apartBy(c, color.RGBAModel.Convert(img.At(x, y)).(color.RGBA)) < 6 {
				found++
			}
		}
	}
	return float64(found) / (4 * reach * reach)
}

// Where lots lie over each other the one that asks most is seen, in any order.
func TestOverviewShowsTheHardestOfLotsOverEachOther(t *testing.T) {
	lots := inARow([]float64{1}, []float64{0, 0, 1})
	lots[1].Outline = lots[0].Outline
	hard, _, _ := needOf(2, nothingElse).ground(3)
	for range 2 {
		img := pictureIn(t, overviewPageOf(t, lots))
		at := img.Bounds().Size().Div(2)
		assert.Greater(t, shareOf(img, at, flatTint(hard)), 0.5)
		slices.Reverse(lots)
	}
}

func TestOverviewNamesWhatFits(t *testing.T) {
	page := overviewPageOf(t, inARow(slices.Repeat([][]float64{{1}}, 8)...))
	texts := regexp.MustCompile(`<text[^>]*>(R\d+)</text>`).FindAllString(page, -1)
	assert.Len(t, texts, 16, "each wide and narrow")
	page = overviewPageOf(t, inARow(slices.Repeat([][]float64{{1}}, 200)...))
	assert.NotRegexp(t, `<text[^>]*>R\d`, page)
	assert.NotContains(t, page, "drawn larger")
	page = overviewPageOf(t, inARow(slices.Repeat([][]float64{{1}}, 2000)...))
	assert.Contains(t, page, "2,000 lots are less than")
}

func TestOverviewLeavesOutFarStrips(t *testing.T) {
	lots := inARow([]float64{1}, []float64{1}, []float64{1})
	lots[2].Outline = squareAt(-83, 36, side/2)
	page := overviewPageOf(t, lots)
	// 1 degree less a lot's side and what parts the first two, of 90.16 km.
	assert.Contains(t, page, ">56 miles left out<")
	assert.Contains(t, page, "Lots lie far apart")
	assert.Regexp(t, `<text[^>]*>R3<`, page)
}

// Lots on both sides of the antimeridian are drawn side by side.
func TestOverviewAcrossTheAntimeridian(t *testing.T) {
	lots := inARow([]float64{1}, []float64{0, 1})
	lots[0].Outline, lots[1].Outline = squareAt(179.999, -16.5, side/2), squareAt(-179.999, -16.5, side/2)
	o, _ := summed(lots)
	m, ok := newOverviewMap(o)
	require.True(t, ok)
	assert.Empty(t, m.x.cuts)
	west, _ := m.pixel(orb.Point{179.999, -16.5})
	east, _ := m.pixel(orb.Point{-179.999, -16.5})
	perLon, _ := metresPerDegree(-16.5)
	assert.InDelta(t, 0.002*perLon, (east-west)*m.metres, 0.01)
	page := overviewPageOf(t, lots)
	assert.Regexp(t, `<text[^>]*>R1<`, page)
	assert.Regexp(t, `<text[^>]*>R2<`, page)
}
