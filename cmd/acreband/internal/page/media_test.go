package page

import (
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
)

// roomy asserts that whatever is pressed in view is as large as a finger: 44 CSS pixels, as
// WCAG 2.2 has it (2.5.5). Links within a sentence are excepted there.
func (b *tab) roomy() {
	b.Helper()
	assert.Equal(b, "", b.value(`[...document.querySelectorAll("button, input, select, [role=tab], .files a, .button")].filter((e) => e.checkVisibility()).map((e) => {
		const r = (e.closest("label") ?? e).getBoundingClientRect();
		return r.width < 43.5 || r.height < 43.5 ? e.outerHTML.slice(0, 90) + " " + r.width + " x " + r.height : "";
	}).filter(Boolean).join("; ")`))
}

// panels visits every tab of a page.
func (b *tab) panels(see func(name string)) {
	b.Helper()
	for _, name := range []string{"machines", "putting", "checks", "curves", "prices", "taking"} {
		b.do(chromedp.Click("#tab-"+name, chromedp.ByQuery))
		see(name)
	}
}

// Small targets were missed in a truck, and a white page blinds at night.
func TestBrowserDarkAndRoomy(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 1280, 720)
	b.do(emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}}))
	b.accessible()
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	assert.Equal(t, "rgb(27, 28, 26)", b.value(`getComputedStyle(document.body).backgroundColor`))
	b.do(chromedp.Click("#map", chromedp.ByQuery))
	b.until(`!document.getElementById("spot-note").hidden`)
	b.set("set-track-loader-limit", "36%")
	b.until(`!document.getElementById("answerable").hidden`)
	b.panels(func(name string) {
		b.accessible()
		b.roomy()
		b.shot("20-dark-" + name)
	})
	b.do(chromedp.Click("#tab-putting", chromedp.ByQuery), chromedp.Click("[data-put=staging]", chromedp.ByQuery))
	b.accessible()
	b.clean()
}

// Printed, the page was one screen with what scrolls cut off.
func TestBrowserPrint(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 1000, 800)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.do(emulation.SetEmulatedMedia().WithMedia("print"))
	for _, e := range []string{"#says", "#ladder", "#check", "#cautions", "#facts", "#zones", "#why"} {
		assert.Equal(t, "true", b.value(`document.querySelector("`+e+`").checkVisibility()`), e)
	}
	for _, e := range []string{"#undo", "#tab-machines", "#restore", "#closer", "#costs"} {
		assert.Equal(t, "false", b.value(`document.querySelector("`+e+`").checkVisibility()`), e)
	}
	assert.Equal(t, "true", b.value(`[...document.querySelectorAll(".panel")].concat(document.getElementById("zones")).every((p) => p.scrollHeight <= p.clientHeight + 1 && p.scrollWidth <= p.clientWidth + 1)`), "nothing is cut off")
	b.shot("21-print")
	b.clean()
}
