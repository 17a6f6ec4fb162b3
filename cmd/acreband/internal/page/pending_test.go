package page

import (
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
)

// changes counts the settings that a page sends from now on.
func (b *tab) changes() (count func() int) {
	n := 0
	chromedp.ListenTarget(b.ctx, func(ev any) {
		if e, ok := ev.(*network.EventRequestWillBeSent); ok && e.Request.Method == "POST" {
			b.mu.Lock()
			n++
			b.mu.Unlock()
		}
	})
	return func() int {
		b.mu.Lock()
		defer b.mu.Unlock()
		return n
	}
}

// While a raised limit waited for who and why, wet ground and cover were ignored in silence.
func TestBrowserARaisedLimitHoldsNothingUp(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 1280, 720)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.set("set-track-loader-limit", "20°")
	b.until(`!document.getElementById("answerable").hidden`)
	assert.Equal(t, "waits for who and why; the map has 30%", b.text("set-track-loader-limit-waits"))
	b.seen("#set-track-loader-limit")
	b.do(chromedp.Click(`[name=cover][value=medium]`, chromedp.ByQuery))
	b.painted("1")
	assert.Equal(t, "medium", s.kept(b.mapID()).latest().cover.String())
	b.do(chromedp.Click(`[name=ground][value=wet]`, chromedp.ByQuery))
	b.painted("2")
	assert.Equal(t, "wet", string(s.kept(b.mapID()).latest().Map.Ground))
	assert.Equal(t, "20°", b.value(`document.getElementById("set-track-loader-limit").value`), "it still waits beside its field")
	assert.NotContains(t, b.text("stops"), "RAISED")
	b.seen("#set-track-loader-limit-waits")
	b.accessible()
	b.shot("17-pending")

	// One request for Enter, which ends the field and sends the form.
	b.do(chromedp.SendKeys("#by", "A. Planner", chromedp.ByQuery))
	count := b.changes()
	b.do(chromedp.SendKeys("#reason", "manual, page 12"+kb.Enter, chromedp.ByQuery))
	b.painted("3")
	assert.Contains(t, b.text("stops"), "RAISED by A. Planner: Track loader, limit up and down: 36.397%")
	assert.Equal(t, 1, count())

	// Who raised it is taken back: the map keeps what it has, and other changes go through.
	b.set("by", "")
	b.do(chromedp.Click(`[name=ground][value=dry]`, chromedp.ByQuery))
	b.painted("4")
	assert.Contains(t, b.text("stops"), "RAISED by A. Planner")

	// Back to the fleet file, all of it.
	b.do(chromedp.Click("#tab-prices", chromedp.ByQuery))
	b.set("set-track-loader-operator", "$99/h")
	b.painted("5")
	b.do(chromedp.Click("#restore", chromedp.ByQuery))
	b.painted("6")
	assert.NotContains(t, b.text("stops"), "RAISED")
	assert.Equal(t, "30%", b.value(`document.getElementById("set-track-loader-limit").value`))
	assert.NotEqual(t, "$99/h", b.value(`document.getElementById("set-track-loader-operator").value`))
	assert.Equal(t, "true", b.value(`document.getElementById("answerable").hidden`))
	b.clean()
}

// A value that was refused kept every later change from the map.
func TestBrowserARefusedValueHoldsNothingUp(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 1280, 720)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.set("set-track-loader-limit", "4:1")
	b.until(`!document.getElementById("change-trouble").hidden`)
	assert.Contains(t, b.text("change-trouble"), "write the rise first")
	assert.Contains(t, b.text("change-trouble"), "The map keeps 30%")
	b.seen("#change-trouble")
	b.do(chromedp.Click(`[name=ground][value=wet]`, chromedp.ByQuery))
	b.painted("1")
	assert.Equal(t, "wet", string(s.kept(b.mapID()).latest().Map.Ground))
	assert.Equal(t, "true", b.value(`document.getElementById("set-track-loader-limit").getAttribute("aria-invalid")`), "it is still told")
	b.set("set-track-loader-limit", "1:4")
	b.painted("2")
	assert.Contains(t, b.text("assumed"), "Track loader, limit up and down: 25%")
	assert.Equal(t, "null", b.value(`document.getElementById("set-track-loader-limit").getAttribute("aria-invalid")`))
	b.clean()
}

// mapID is that of the map on show.
func (b *tab) mapID() string {
	b.Helper()
	return b.value(`document.getElementById("map").dataset.painted.split("/")[3]`)
}
