package page

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
)

// What another limit or other growth would change was found by trying each.
func TestBrowserCurves(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 1280, 720)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.do(chromedp.Click("#tab-curves", chromedp.ByQuery), chromedp.Click("[data-curve=track-loader]", chromedp.ByQuery))
	b.until(`!document.getElementById("curve-frame").hidden`)
	assert.Contains(t, b.text("curve-says"), "At 30%: Track loader: ")
	b.seen("#curve")
	b.seen("#map")
	b.accessible()
	b.roomy()
	b.shot("22-curve")
	// The handle is dragged, by the keyboard here: the field and the map follow.
	b.do(chromedp.Focus("#curve-limit", chromedp.ByQuery))
	b.press(kb.ArrowLeft)
	b.painted("1")
	assert.Equal(t, "29%", b.value(`document.getElementById("set-track-loader-limit").value`))
	assert.Contains(t, b.text("assumed"), "Track loader, limit up and down: 29%")
	b.until(`/^At 29%/.test(document.getElementById("curve-says").textContent) && !document.body.hasAttribute("aria-busy")`)

	b.do(chromedp.Click("#tab-prices", chromedp.ByQuery), chromedp.Click("#ask-covers", chromedp.ByQuery))
	b.until(`document.querySelectorAll("#covers li").length === 4`)
	assert.Contains(t, b.text("covers"), "closed stands: $")
	assert.NotEqual(t, "0", b.value(`document.querySelectorAll("#covers .range rect").length`))
	b.accessible()
	b.shot("23-covers")
	b.clean()
}
