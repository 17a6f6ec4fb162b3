package page

import (
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/stretchr/testify/assert"
)

// Every state of the page that other tests do not look at with axe: with several lots and files that
// were dropped, each on a screen in the light and in the dark, on a phone, and on paper.
func TestBrowserAxeInEveryState(t *testing.T) {
	own := contentOf(t, madeRaster(t, "x.tif", 32616, gentle))
	for _, look := range []struct {
		name          string
		width, height int64
		media         *emulation.SetEmulatedMediaParams
	}{
		{"light", 1280, 720, emulation.SetEmulatedMedia()},
		{"dark", 1280, 720, emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}})},
		{"phone", 390, 844, emulation.SetEmulatedMedia()},
	} {
		t.Run(look.name, func(t *testing.T) {
			s := serve(t, costed)
			b := open(t, s, look.width, look.height)
			b.do(look.media)
			see := func(name string) {
				b.accessible()
				b.roomy()
				assert.Equal(t, "0", b.value(`Math.max(0, document.documentElement.scrollWidth - innerWidth)`), name)
				b.shot("50-" + look.name + "-" + name)
			}
			see("start")
			b.dropAll("ridge.tif", own)
			b.until(`document.getElementById("sorting").open`)
			see("sorting")
			b.click(`#sorting [value=use]`)
			b.until(`!document.getElementById("loaded").hidden`)
			see("waiting")
			b.dropAll("lots.geojson", threeLots(t))
			b.painted("0")
			b.click("#tab-lots")
			b.click("#lots-rows tr:first-child button")
			see("lots")
			b.click("#tab-taking")
			see("loaded")
			b.dropAll("bare.tif", contentOf(t, madeRaster(t, "x.tif", 0, gentle)))
			b.until(`document.getElementById("saying").open`)
			see("saying")
			b.click(`#saying button[value=""]`)
			b.dropAll("x.png", "\x89PNG\r\n\x1a\n")
			b.until(`!document.getElementById("trouble").hidden`)
			see("error")
			if look.name == "light" {
				b.do(emulation.SetEmulatedMedia().WithMedia("print"))
				b.accessible()
				assert.Equal(t, "true", b.value(`document.getElementById("lots-rows").checkVisibility()`), "the table of lots is on paper")
				b.shot("50-print")
			}
			b.clean()
		})
	}
}
