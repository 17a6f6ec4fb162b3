package page

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/sheet"
)

// allWords is whatever can be seen of a page or is said by a screen reader.
const allWords = `(() => {
	const shown = [...document.querySelectorAll("body *")].filter((e) => e.checkVisibility());
	const said = shown.flatMap((e) => [..."title aria-label aria-valuetext alt placeholder".split(" ").map((a) => e.getAttribute(a)), e.matches("input:not([type=checkbox], [type=radio], [type=file])") ? e.value : ""]);
	const drawn = shown.filter((e) => e.tagName === "text").map((e) => e.textContent);
	return [document.title, document.body.innerText, ...said, ...drawn].filter(Boolean).join("\n");
})()`

// metric asserts that what is on show has no word of the US system, but on the switch itself.
func (b *tab) metric(where string) {
	b.Helper()
	speaksMetric(b, where, strings.Replace(b.value(allWords), "acres, feet and miles", "", 1))
}

// switchTo presses a side of the switch, and waits until the page is told so.
func (b *tab) switchTo(key string) {
	b.Helper()
	b.click(`[name=units][value=` + key + `]`)
	unit := map[string]string{"us": "acre", "metric": "hectare"}[key]
	b.until(`document.querySelector("[data-unit=area]").textContent === "` + unit + `" && !document.body.hasAttribute("aria-busy")`)
}

// The page was told in acres and feet alone: one switch has all of it in hectares and meters, and
// nothing that was typed or drawn is lost.
func TestBrowserUnitsAreOneSwitch(t *testing.T) {
	s := serve(t, costed, asPDF)
	b := open(t, s, 1280, 720)
	b.switchTo("metric")
	b.metric("start")
	assert.Regexp(t, `^[\d,.]+ (m|km)$`, b.text("scale"))
	b.switchTo("us")
	assert.Contains(t, b.value(allWords), "how many acres")

	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.seen("[name=units][value=metric]")
	acres := b.text("says")
	b.set("worth", "900")
	b.painted("1")
	b.click("#tab-putting")
	b.set("around", "60ft")
	b.click("[data-put=no-go]")
	b.click("#map")
	b.painted("2")
	assert.Contains(t, b.text("put"), "keep-clear distance 60 ft")
	b.click("#map")
	b.until(`!document.getElementById("spot-note").hidden`)
	b.click("#tab-machines")
	b.set("set-track-loader-limit", "36%") // waits for who and why
	b.until(`!document.getElementById("answerable").hidden`)
	b.click("#tab-prices")
	b.set("set-track-loader-operator", "cheap") // is refused
	b.until(`!document.getElementById("change-trouble").hidden`)
	before := s.kept(b.mapID()).latest()

	b.switchTo("metric")
	b.painted("3")
	r := s.kept(b.mapID()).latest()
	assert.Equal(t, measure.Metric, r.Map.Units)
	assert.Equal(t, before.book, r.book, "the job is the same, to the bit")
	assert.Equal(t, "36%", b.value(`document.getElementById("set-track-loader-limit").value`), "what waits still waits")
	assert.Equal(t, "cheap", b.value(`document.getElementById("set-track-loader-operator").value`), "what was refused stands")
	assert.Equal(t, "2223.95", b.value(`document.getElementById("worth").value`)) // 900 over 0.40468564224
	assert.Equal(t, "metric", b.value(`document.querySelector("[name=units]:checked").value`))

	// The figures are those that the command prints for the map in metric.
	var said strings.Builder
	brief := sheet.Brief{Map: r.Map, Plan: r.Plan}
	require.NoError(t, brief.Write(&said))
	assert.Contains(t, said.String(), clearedOf.FindStringSubmatch(b.text("says"))[0])
	assert.Contains(t, b.text("says"), "of 18.22 hectares in") // 427 m a side, and 0.3 per mille that UTM shrinks there

	b.set("set-track-loader-operator", "$50/h")
	b.painted("4")
	b.until(`/\bm\b|hectare|slope/.test(document.getElementById("spot").textContent)`)
	b.panels(func(name string) {
		if name == "curves" {
			b.click("[data-curve=track-loader]")
			b.until(`!document.getElementById("curve-frame").hidden && !document.body.hasAttribute("aria-busy")`)
			assert.Contains(t, b.text("curve-ends"), " ha")
		}
		if name == "prices" {
			b.click("#ask-covers")
			b.until(`document.querySelectorAll("#covers li").length === 4`)
			assert.Regexp(t, `^\$[\d.]+/ha, \$[\d.]+/ha, \$[\d.]+/ha$`, b.value(`document.getElementById("set-hand-work").value`))
		}
		if name == "putting" {
			assert.Contains(t, b.text("put"), "keep-clear distance 18.3 m")
		}
		b.metric(name)
		b.accessible()
		b.roomy()
		b.shot("60-metric-" + name)
	})
	b.click("#side-open")
	b.do(chromedp.Focus("#map", chromedp.ByQuery))
	b.press(kb.Enter, kb.ArrowRight)
	b.until(`/other end/.test(document.getElementById("side-note").textContent)`)
	b.press(kb.ArrowRight, kb.ArrowRight)
	b.until(`document.getElementById("map").dataset.lines !== undefined`)
	b.do(chromedp.Sleep(500e6)) // the map glides
	b.press(kb.Enter)
	b.until(`!document.getElementById("side").hidden`)
	b.metric("side view")
	assert.Regexp(t, `^[\d,.]+ m from A: `, b.text("side-spot"))
	b.accessible()
	b.shot("61-metric-side")
	b.click("#side-shut")
	b.do(emulation.SetEmulatedMedia().WithMedia("print"))
	b.metric("on paper")
	b.shot("62-metric-print")
	b.do(emulation.SetEmulatedMedia())

	// Drawing tells hectares as it goes.
	b.click("#draw")
	b.press(kb.Enter, kb.ArrowRight)
	b.do(chromedp.Sleep(400e6))
	b.press(kb.Enter, kb.ArrowDown)
	b.do(chromedp.Sleep(400e6))
	b.press(kb.Enter)
	assert.Regexp(t, `about \d+\.\d\d hectares\.`, b.text("drawing-says"))
	b.metric("drawing")
	b.click("#drawing-stop")

	// The switch is a change like others: undone, and all is as it was.
	b.click("#undo")
	b.until(`!document.body.hasAttribute("aria-busy")`)
	b.click("#undo")
	b.until(`document.querySelector("[data-unit=area]").textContent === "acre" && !document.body.hasAttribute("aria-busy")`)
	assert.Equal(t, "900", b.value(`document.getElementById("worth").value`))
	assert.Contains(t, b.text("says"), "of 45.0 acres")
	assert.Contains(t, acres, "of 45.0 acres")
	assert.Equal(t, "us", b.value(`document.querySelector("[name=units]:checked").value`))
	b.clean()
}

// Units are kept by the browser and in the job file; a file that does not name them is in acres.
func TestBrowserUnitsAreKept(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 1280, 720)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.set("worth", "900")
	b.painted("1")
	save := b.saving()
	old := save()
	assert.NotContains(t, string(old), `"units"`, "a page from before there was a switch opens it")
	var job struct {
		Version int `json:"acreband_job"`
		Setting Setting
	}
	require.NoError(t, json.Unmarshal(old, &job))
	assert.Equal(t, 1, job.Version)
	b.switchTo("metric")
	b.painted("2")
	hectares := b.text("says")
	b.until(`document.body.dataset.remembered === "2"`)
	b.do(chromedp.Reload())
	b.painted("1")
	assert.Equal(t, hectares, b.text("says"))
	saved := save()
	require.NoError(t, json.Unmarshal(saved, &job))
	assert.Equal(t, 3, job.Version, "pages from before there was a switch say that it is of another version")
	assert.Equal(t, "metric", job.Setting.Units)
	assert.Equal(t, "900/ac", *job.Setting.Worth, "as it was typed")

	over := func() {
		t.Helper()
		b.click("#start-over")
		b.until(`document.getElementById("replacing").open`)
		_, err := chromedp.RunResponse(b.ctx, chromedp.Click("#replace", chromedp.ByQuery))
		require.NoError(t, err)
		b.until(`document.getElementById("map").dataset.painted === "/v1/relief.png"`)
	}
	over()
	assert.Equal(t, "metric", b.value(`document.querySelector("[name=units]:checked").value`), "the next job begins in the units chosen last")
	// An old file has its worth for each acre, and no word of units.
	b.drop("old.acreband.json", []byte(strings.Replace(string(old), `"900/ac"`, `"900"`, 1)))
	b.painted("1")
	assert.Contains(t, b.text("says"), "of 45.0 acres")
	assert.Equal(t, "900", b.value(`document.getElementById("worth").value`))
	assert.InDelta(t, 900, s.kept(b.mapID()).latest().book.Job.WorthPerAcre, 0)
	over()
	b.drop("new.acreband.json", saved)
	b.painted("1")
	assert.Equal(t, hectares, b.text("says"))
	assert.InDelta(t, 900, s.kept(b.mapID()).latest().book.Job.WorthPerAcre, 0)
	b.clean()
}

// saving gives what saves the job, and gives the file.
func (b *tab) saving() func() []byte {
	b.Helper()
	folder := b.TempDir()
	done := make(chan string, 1)
	chromedp.ListenTarget(b.ctx, func(ev any) {
		if e, ok := ev.(*browser.EventDownloadProgress); ok && e.State == browser.DownloadProgressStateCompleted {
			done <- e.GUID
		}
	})
	b.do(browser.SetDownloadBehavior(browser.SetDownloadBehaviorBehaviorAllowAndName).WithDownloadPath(folder).WithEventsEnabled(true))
	return func() []byte {
		b.Helper()
		b.click("#save-job")
		text, err := os.ReadFile(filepath.Join(folder, <-done))
		require.NoError(b, err)
		return text
	}
}

// On a phone, by the keyboard, and said to who does not see it; several lots, which are told in a table.
func TestBrowserUnitsOnAPhone(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 390, 844)
	b.drop("lots.geojson", []byte(threeLots(t)))
	b.painted("0")
	b.tabTo("[name=units]")
	assert.Equal(t, "Units", b.value(`document.getElementById(document.getElementById("units").getAttribute("aria-labelledby")).textContent`))
	b.press(kb.ArrowRight)
	b.painted("1")
	b.click("#tab-lots")
	assert.Contains(t, b.text("lots-head"), "Hectares")
	for i := range 3 {
		assert.InDelta(t, 5.6*0.40468564224, figure(t, b.value(fmt.Sprintf(`document.querySelectorAll("#lots-rows tr")[%d].cells[1].textContent`, i))), 0.03)
	}
	for _, name := range []string{"machines", "lots", "prices"} {
		b.click("#tab-" + name)
		b.metric(name)
		b.accessible()
		b.roomy()
		assert.Equal(t, "0", b.value(`document.documentElement.scrollWidth - document.documentElement.clientWidth`))
		b.shot("63-metric-phone-" + name)
	}
	b.clean()
}

// A server may begin in metric, and what is refused then is told so.
func TestBrowserBeginsInMetric(t *testing.T) {
	s := serve(t, costed, func(c *Config) { c.Judge.Units = measure.Metric })
	b := open(t, s, 1000, 800)
	b.metric("start")
	b.drop("far.geojson", parcel(t))
	b.painted("0")
	assert.Contains(t, b.text("says"), "of 18.22 hectares")
	b.click("#tab-prices")
	b.set("set-hand-work", "9000")
	b.until(`!document.getElementById("change-trouble").hidden`)
	assert.Contains(t, b.text("change-trouble"), "such as $8500/ha")
	b.set("set-hand-work", "$9000/ha")
	b.painted("1")
	assert.InDelta(t, 9000*0.40468564224, s.kept(b.mapID()).latest().book.Job.HandPerAcre.Likely, 1e-9)
	b.switchTo("us")
	b.painted("2")
	assert.Equal(t, "$3642.17/ac", b.value(`document.getElementById("set-hand-work").value`))
	b.clean()
}
