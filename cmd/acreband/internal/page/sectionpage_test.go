package page

import (
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
)

// What lies along a line was only to be had spot by spot.
func TestBrowserSideView(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 1280, 720)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.do(chromedp.Click("#side-open", chromedp.ByQuery))
	b.until(`!document.getElementById("side-note").hidden`)
	x, y := b.middle(`document.getElementById("map")`)
	b.drag(x-80, y-60, x+85, y+70)
	b.until(`!document.getElementById("side").hidden`)
	b.shot("24-side-view")
	for _, e := range []string{"#map", "#side-cut", "#side-close-up", "#side-spot", "#says", "#side-cursor", "[name=ground][value=wet]"} {
		b.seen(e)
	}
	assert.Equal(t, "true", b.value(`document.getElementById("spot-note").hidden`), "the drag asks about no spot")
	assert.Equal(t, "true", b.value(`document.getElementById("map").getBoundingClientRect().height >= 220`))
	assert.Contains(t, b.text("side-says"), "to scale")
	assert.Equal(t, "1", b.value(`(() => { // dots to a meter, along over up
		const line = document.querySelector("#side-cut .surface").getAttribute("d").match(/[\d.]+ [\d.]+/g).map((p) => p.split(" ").map(Number));
		const f = line.map((p) => p[1]);
		return Math.round((Math.max(...f) - Math.min(...f)) / (line.at(-1)[0] - line[0][0]) /
			(Number(/, ([\d,]+) ft/.exec(document.getElementById("side-says").textContent)[1]) / Number(/^([\d,]+) ft/.exec(document.getElementById("side-says").textContent)[1].replace(",", ""))) * 20) / 20;
	})()`), "heights and lengths alike")
	b.accessible()
	b.roomy()
	// The cursor, by the keyboard.
	before := b.text("side-spot")
	b.do(chromedp.Focus("#side-cursor", chromedp.ByQuery))
	b.press(kb.ArrowRight, kb.ArrowRight, kb.ArrowRight)
	assert.NotEqual(t, before, b.text("side-spot"))
	assert.Equal(t, b.text("side-spot"), b.value(`document.getElementById("side-cursor").getAttribute("aria-valuetext")`))
	assert.Regexp(t, `ft \(\d+ m\) from A: .* high; .* toward B, ground \d+%; .*on the map: `, b.text("side-spot"))
	// Too tall only when chosen, and said.
	b.do(chromedp.SetValue("#side-tall", "3", chromedp.ByQuery), chromedp.Evaluate(`document.getElementById("side-tall").dispatchEvent(new Event("change"))`, nil))
	assert.Contains(t, b.text("side-says"), "Heights drawn 3 times too tall")
	b.shot("25-too-tall")
	b.do(emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}}))
	b.accessible()
	b.shot("26-side-dark")
	b.do(emulation.SetEmulatedMedia().WithMedia("print"))
	b.shot("27-side-print")
	b.do(emulation.SetEmulatedMedia().WithMedia(""))
	// A changed limit changes what meets it; the line stays.
	b.do(chromedp.Click("[name=ground][value=wet]", chromedp.ByQuery))
	b.painted("1")
	assert.Equal(t, "false", b.value(`document.getElementById("side").hidden`))
	b.do(chromedp.Click("#side-shut", chromedp.ByQuery))
	assert.Equal(t, "true", b.value(`document.getElementById("side").hidden`))
	b.seen("#zones")
	b.clean()
}

// By the keyboard alone, and by two clicks; on a phone.
func TestBrowserSideViewByTwoSpots(t *testing.T) {
	s := serve(t)
	b := open(t, s, 390, 844)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.do(chromedp.Focus("#side-open", chromedp.ByQuery))
	b.press(kb.Enter)
	b.until(`document.activeElement.id === "map"`)
	assert.Equal(t, "none", b.value(`getComputedStyle(document.getElementById("map")).touchAction`), "a finger draws, and scrolls nothing")
	b.press(kb.Enter)
	b.until(`/other end/.test(document.getElementById("side-note").textContent)`)
	b.press(kb.ArrowRight)
	b.until(`!document.querySelector(".leaflet-pan-anim")`)
	b.press(kb.Enter)
	b.until(`!document.getElementById("side").hidden`)
	assert.Equal(t, "side-cursor", b.value(`document.activeElement.id`))
	b.accessible()
	b.roomy()
	b.do(chromedp.Evaluate(`document.getElementById("side").scrollIntoView({block: "nearest"})`, nil))
	b.shot("28-side-phone")
	assert.Equal(t, "0", b.value(`document.documentElement.scrollWidth - document.documentElement.clientWidth`))
	// Escape leaves an unfinished line; the one before stays.
	b.do(chromedp.Focus("#side-open", chromedp.ByQuery))
	b.press(kb.Enter)
	b.until(`document.activeElement.id === "map"`)
	b.press(kb.Escape)
	assert.Equal(t, "true", b.value(`document.getElementById("side-note").hidden`))
	assert.Equal(t, "2", b.value(`document.querySelectorAll(".section-end").length`))
	b.clean()
}
