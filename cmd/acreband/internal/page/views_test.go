package page

import (
	"bytes"
	"image/png"
	"os"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/sheet"
)

// The page dots walk-first ground where it is asked to, and the picture to download is as it was.
func TestWalkFirstGroundIsDrawnWhereAsked(t *testing.T) {
	s := serve(t, costed)
	a := s.mapped("quarry.geojson", parcel(t))
	const view = "/ground.png?x=0&y=0&m=2&w=300&h=300"
	status, plain := s.get("/v1/maps/" + a.ID + view)
	require.Equal(t, 200, status)
	status, dotted := s.get("/v1/maps/" + a.ID + view + "&walk=1")
	require.Equal(t, 200, status)
	assert.NotEqual(t, plain, dotted)
	_, again := s.get("/v1/maps/" + a.ID + view + "&walk=1")
	assert.Equal(t, dotted, again)
}

// The other view of a planned map is shown without mapping it again.
func TestAPlannedMapIsShownByLimitsToo(t *testing.T) {
	s := serve(t, costed)
	a := s.mapped("quarry.geojson", parcel(t))
	const view = "/ground.png?x=0&y=0&m=2&w=300&h=300"
	_, planned := s.get("/v1/maps/" + a.ID + view)
	_, limits := s.get("/v1/maps/" + a.ID + view + "&view=limits")
	assert.NotEqual(t, planned, limits)
	status, _ := s.set(a.ID, `{"view":"limits"}`)
	require.Equal(t, 200, status)
	_, mapped := s.get("/v1/maps/" + a.ID + view)
	assert.Equal(t, mapped, limits)
}

// Which ground a crew leaves that others could work is seen by wiping one view over the other.
func TestBrowserWipe(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 1280, 720)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.pick("wiping", "limits")
	b.until(`document.querySelectorAll(".wiped").length === 1 && document.querySelector(".wiped").complete`)
	left := b.value(`document.querySelector(".wiped").style.clipPath`)
	b.shot("24-wipe")
	b.do(chromedp.Focus("#wipe", chromedp.ByQuery))
	b.press(kb.ArrowLeft, kb.ArrowLeft)
	assert.NotEqual(t, left, b.value(`document.querySelector(".wiped").style.clipPath`))
	b.seen("#wipe")
	b.accessible()
	b.roomy()
	// Wet ground is wiped over either view.
	b.pick("wiping", "other")
	b.until(`document.querySelectorAll(".wiped").length === 1 && /view=other/.test(document.querySelector(".wiped").src) && document.querySelector(".wiped").complete`)
	assert.Contains(t, b.value(`document.getElementById("wipe").getAttribute("aria-label")`), "as planned if the ground is wet")
	b.shot("24-wipe-wet")
	b.accessible()
	b.pick("wiping", "limits")
	b.do(chromedp.Click("[name=view][value=limits]", chromedp.ByQuery))
	b.painted("1")
	assert.Equal(t, "0", b.value(`document.querySelectorAll(".wiped").length`), "there is one view to see")
	assert.Equal(t, "wipe: wet", b.value(`[...document.getElementById("wiping").options].filter((o) => !o.disabled)[1].textContent`))
	b.clean()
}

// pick chooses from a list.
func (b *tab) pick(id, value string) {
	b.Helper()
	b.do(chromedp.SetValue("#"+id, value, chromedp.ByQuery), chromedp.Evaluate(`document.getElementById("`+id+`").dispatchEvent(new Event("change", {bubbles: true}))`, nil))
}

// The view in the other state of the ground is the map that state has, and counts in what is kept.
func TestViewInOtherState(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	const view = "/ground.png?x=0&y=0&m=2&w=300&h=300"
	status, dry := s.get("/v1/maps/" + a.ID + view)
	require.Equal(t, 200, status)
	before := s.kept(a.ID).bytes
	status, other := s.get("/v1/maps/" + a.ID + view + "&view=other&walk=1")
	require.Equal(t, 200, status, "%s", other)
	assert.Greater(t, s.kept(a.ID).bytes, before)
	assert.NotEqual(t, dry, other)
	status, again := s.get("/v1/maps/" + a.ID + view + "&view=other")
	require.Equal(t, 200, status)
	assert.Equal(t, other, again)
	status, body := s.set(a.ID, `{"ground":"wet"}`)
	require.Equal(t, 200, status, "%s", body)
	_, wet := s.get("/v1/maps/" + a.ID + view)
	assert.LessOrEqual(t, dotsApart(t, wet, other), 5, "of 90 000: lots are cut anew at their own outline, so a corner may lie a hair off")
	_, back := s.get("/v1/maps/" + a.ID + view + "&view=other")
	assert.LessOrEqual(t, dotsApart(t, dry, back), 5)
}

// dotsApart counts the dots in which two pictures differ.
func dotsApart(t *testing.T, a, b []byte) (n int) {
	t.Helper()
	p, err := png.Decode(bytes.NewReader(a))
	require.NoError(t, err)
	q, err := png.Decode(bytes.NewReader(b))
	require.NoError(t, err)
	require.Equal(t, p.Bounds(), q.Bounds())
	for y := range p.Bounds().Dy() {
		for x := range p.Bounds().Dx() {
			if p.At(x, y) != q.At(x, y) {
				n++
			}
		}
	}
	return n
}

// A map is shown though its elevation has gone since: what is around it is not.
func TestViewWithoutTheGroundAround(t *testing.T) {
	whole, err := os.ReadFile(elevation(t))
	require.NoError(t, err)
	file := written(t, "ridge.tif", whole)
	s := serve(t, func(c *Config) { c.Elevation = []string{file} })
	a := s.mapped("quarry.geojson", parcel(t))
	require.NoError(t, os.Truncate(file, 200_000))
	status, got := s.get("/v1/maps/" + a.ID + "/ground.png?x=0&y=0&m=3&w=300&h=300")
	require.Equal(t, 200, status, "%s", got)
	var alone bytes.Buffer
	r := s.kept(a.ID).latest()
	require.NoError(t, r.painter.Paint(&alone, r.Map, sheet.View{Plane: r.plane, MetresPerDot: 3, Width: 300, Height: 300}, sheet.AllBands))
	assert.Equal(t, alone.Bytes(), got)
	assert.Contains(t, s.log.String(), "the ground around a map is not shown")
}
