package page

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io/fs"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// seen asserts that an element lies in the window, whole, and that nothing lies over its middle.
func (b *tab) seen(selector string) {
	b.Helper()
	assert.Equal(b, "seen", b.value(fmt.Sprintf(`(() => {
		const e = document.querySelector(%s), r = e.getBoundingClientRect();
		if (r.width < 1 || r.top < 0 || r.left < 0 || r.bottom > innerHeight + 0.5 || r.right > innerWidth + 0.5) return "lies at " + JSON.stringify(r);
		const top = document.elementFromPoint(r.left + r.width / 2, r.top + r.height / 2);
		return e === top || e.contains(top) || top?.closest("label")?.contains(e) || e.id === "map" ? "seen" : "is under " + top?.outerHTML;
	})()`, quoted(b, selector))), selector)
}

// Changing a limit or a crew meant scrolling away from the map, and the answer for a spot or
// an error stood below it.
func TestBrowserOneScreen(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 1280, 720)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.shot("11-one-screen")
	for _, e := range []string{"#map", "#says", "#set-track-loader-limit", "#set-remote-crawler-cross", "[name=cover][value=light]", "[name=ground][value=wet]",
		"[name=bring][value=boom-head]", "#steps .chosen", "#worth", "#undo", "#stops", "#cautious"} {
		b.seen(e)
	}
	assert.Equal(t, "0,0", b.value(`[document.documentElement.scrollHeight - innerHeight, document.documentElement.scrollWidth - innerWidth].map((v) => Math.max(v, 0)).join()`))
	assert.Equal(t, "true", b.value(`document.getElementById("map").getBoundingClientRect().height >= 250`), "the ground is large enough to read")
	b.do(chromedp.Click("#map", chromedp.ByQuery))
	b.until(`!document.getElementById("spot-note").hidden`)
	b.seen("#spot")
	b.shot("12-spot")
	b.set("set-track-loader-limit", "36%")
	b.until(`!document.getElementById("answerable").hidden`)
	for _, e := range []string{"#map", "#says", "#by", "#reason", "#set-track-loader-limit"} {
		b.seen(e)
	}
	b.drop("other.geojson", parcel(t))
	b.until(`document.getElementById("replacing").open`)
	b.accessible()
	b.shot("13-replace")
	b.do(chromedp.Click("#keep", chromedp.ByQuery))
	b.drop("other.vrt", []byte("<OGRVRTDataSource/>"))
	b.until(`!document.getElementById("trouble").hidden`)
	b.seen("#trouble")
	b.shot("14-error")
	for _, name := range []string{"putting", "checks", "curves", "prices", "taking"} {
		b.do(chromedp.Click("#tab-"+name, chromedp.ByQuery))
		b.seen("#map")
		b.accessible()
		b.shot("15-" + name)
	}
	b.clean()
}

// Notes on a machine's ground pushed its limit out of its card.
func TestBrowserALimitStaysInItsCard(t *testing.T) {
	s := serve(t)
	b := open(t, s, 1280, 720)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.do(chromedp.Evaluate(`document.querySelector("[data-band=remote-crawler] .notes").append(...Array.from({length: 20}, () => Object.assign(document.createElement("div"), {textContent: "one more note"})))`, nil))
	b.seen("#set-remote-crawler-cross")
	b.seen("#set-track-loader-limit")
	b.clean()
}

// On a phone the map scrolled out of sight before the first figure.
func TestBrowserPhoneKeepsTheMap(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 390, 844)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.shot("16-phone")
	for _, e := range []string{"[name=cover][value=light]", "#steps .chosen", "#set-track-loader-limit", "#set-remote-crawler-cross"} {
		b.do(chromedp.Evaluate(`document.querySelector(`+quoted(t, e)+`).scrollIntoView({block: "nearest"})`, nil))
		b.seen(e)
		b.seen("#map")
		b.seen("#says")
	}
	assert.Equal(t, "0", b.value(`document.documentElement.scrollWidth - document.documentElement.clientWidth`))
	b.accessible()
	b.clean()
}

// What the page loads is small enough for a slow line.
func TestPageFilesAreSmall(t *testing.T) {
	var all bytes.Buffer
	pack := gzip.NewWriter(&all)
	require.NoError(t, fs.WalkDir(static, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := static.ReadFile(path)
		require.NoError(t, err)
		_, err = pack.Write(text)
		return err
	}))
	require.NoError(t, pack.Close())
	t.Logf("%d bytes compressed", all.Len())
	assert.Less(t, all.Len(), 600_000)
}
