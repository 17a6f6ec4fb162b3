package page

import (
	"encoding/base64"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// dropAll drags files over the page and lets them go there at once, as name and content.
func (b *tab) dropAll(files ...string) {
	b.Helper()
	script := "{const dataTransfer = new DataTransfer();"
	for i := 0; i < len(files); i += 2 {
		script += `dataTransfer.items.add(new File([Uint8Array.from(atob("` + base64.StdEncoding.EncodeToString([]byte(files[i+1])) + `"), (c) => c.charCodeAt(0))], ` + quoted(b, files[i]) + `));`
	}
	b.do(chromedp.Evaluate(script+`for (const kind of ["dragenter", "dragover", "drop"])
		document.body.dispatchEvent(new DragEvent(kind, {dataTransfer, bubbles: true, cancelable: true}));}`, nil))
}

// choose sets a select as a person does.
func (b *tab) choose(selector, value string) {
	b.Helper()
	b.do(chromedp.SetValue(selector, value, chromedp.ByQuery))
}

func (b *tab) click(selector string) { b.Helper(); b.do(chromedp.Click(selector, chromedp.ByQuery)) }

// Elevation and site files could be given where the page was started, and nowhere else.
func TestBrowserDropAnything(t *testing.T) {
	s := serve(t)
	b := open(t, s, 1280, 720)
	assert.Contains(t, b.text("formats"), "Files stay on this machine")
	own := contentOf(t, madeRaster(t, "x.tif", 32616, gentle))

	// Elevation first: the page says what is wanted next.
	b.dropAll("ridge.tif", own)
	b.until(`document.getElementById("sorting").open`)
	assert.Contains(t, b.text("sorting"), "ridge.tif 620 × 620 heights in meters (assumed), 1.0 m apart")
	b.accessible()
	b.roomy()
	b.shot("40-sorting")
	b.choose("#sort-0", "ground")
	b.click(`#sorting [value=use]`)
	b.until(`document.getElementById("says").textContent.startsWith("Taken in: ridge.tif")`)
	b.until(`/files\/\w+\/relief.png$/.test(document.getElementById("map").dataset.painted)`)
	b.accessible()
	b.shot("41-waiting")

	// What it does not say may be said.
	b.choose("#loaded-files select:last-child", "us-ft")
	b.until(`document.getElementById("loaded-files").textContent.includes("heights in US survey feet")`)
	b.until(`document.querySelectorAll("#loaded-files select").length === 2`)
	b.choose("#loaded-files select:last-child", "m")
	b.until(`document.getElementById("loaded-files").textContent.includes("heights in meters,")`)

	// All at once: what says itself what it is is not asked about.
	b.dropAll("quarry.geojson", string(parcel(t)), "marks.geojson", features(t, `{"kind":"no-go","name":"Well"}`, square(t, 300, 300, 40)),
		"county_dsm.tif", contentOf(t, madeRaster(t, "x.tif", 32616, func(x, y float64) float64 { return gentle(x, y) + 3 + x/300 })))
	b.painted("0")
	assert.Equal(t, "Quarry Lot", b.text("name"))
	got := s.kept(b.mapID()).latest()
	assert.Equal(t, "ridge.tif", got.Map.Sources[0].Path)
	assert.Equal(t, "county_dsm.tif", got.Map.Growth.Sources[0].Path)
	require.Len(t, got.Ground.Features, 1)
	assert.Equal(t, "Well", got.Ground.Features[0].Name)
	assert.Contains(t, b.text("zones"), "No-go")
	b.click("#tab-taking")
	assert.Contains(t, b.text("loaded-files"), "marks.geojson")
	b.accessible()
	b.roomy()
	b.shot("42-loaded")

	// One is removed, and gone from the server; undo does not bring it back.
	says := b.text("says")
	b.click(`[aria-label="Remove marks.geojson"]`)
	b.painted("1")
	assert.NotContains(t, b.text("loaded-files"), "marks.geojson")
	assert.NotContains(t, b.text("zones"), "No-go")
	assert.NotEqual(t, says, b.text("says"))
	b.until(`!document.querySelector("[aria-label='Remove marks.geojson']")`)
	b.click("#undo")
	b.until(`document.getElementById("undo").disabled`)
	assert.NotContains(t, b.text("zones"), "No-go")

	// What does not go with the map is left out, and the map stays.
	says = b.text("says")
	b.dropAll("far_site.geojson", features(t, `{"kind":"no-go"}`, orb.Point{-80, 36}))
	b.until(`!document.getElementById("trouble").hidden`)
	assert.Contains(t, b.text("trouble"), "far_site.geojson: nothing in it lies within 2 miles")
	assert.Equal(t, says, b.text("says"))
	assert.Equal(t, "", b.value(`[...document.querySelectorAll("#loaded-files li")].find((l) => l.textContent.includes("far_site")).querySelector("select").value`))
	b.shot("43-far")
	b.clean()
}

// What a raster leaves open is asked for on the page.
func TestBrowserARasterInFeetIsAskedAbout(t *testing.T) {
	s := serve(t)
	b := open(t, s, 1280, 720)
	b.dropAll("bare_dem.tif", contentOf(t, madeRaster(t, "x.tif", 0, gentle)))
	b.until(`document.getElementById("saying").open`)
	assert.Contains(t, b.text("saying"), "it declares no CRS")
	b.accessible()
	b.roomy()
	b.shot("44-crs")
	b.do(chromedp.SendKeys("#file-crs", "32616", chromedp.ByQuery))
	b.click(`#saying [value=again]`)
	b.until(`document.getElementById("says").textContent.startsWith("Taken in: bare_dem.tif")`)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	assert.Equal(t, "bare_dem.tif", s.kept(b.mapID()).latest().Map.Sources[0].Path)

	b.dropAll("feet_dem.tif", contentOf(t, madeRaster(t, "x.tif", 2274, gentle)))
	b.until(`document.getElementById("saying").open`)
	assert.Contains(t, b.text("saying"), "heights may be in feet")
	b.accessible()
	b.click(`#saying button[value=""]`)
	b.until(`!document.getElementById("saying").open && !document.body.hasAttribute("aria-busy")`)
	assert.NotContains(t, b.text("loaded-files"), "feet_dem")
	b.dropAll("ridge_slope.tif", contentOf(t, madeRaster(t, "x.tif", 32616, gentle)))
	b.until(`!document.getElementById("trouble").hidden`)
	assert.Contains(t, b.text("trouble"), "ridge_slope.tif: it holds no heights of ground: by its name it is a slope")
	b.clean()
}

// Of two rasters that do not say what they are, the one above is proposed as the surface.
func TestBrowserGroundAndSurfaceAreToldApart(t *testing.T) {
	s := serve(t)
	b := open(t, s, 1280, 720)
	trees := contentOf(t, madeRaster(t, "x.tif", 32616, func(x, y float64) float64 {
		if int(x/40)%3 == 0 {
			return gentle(x, y) + 9
		}
		return gentle(x, y)
	}))
	b.dropAll("a.tif", trees, "b.tif", contentOf(t, madeRaster(t, "x.tif", 32616, gentle)))
	b.until(`document.getElementById("sorting").open`)
	assert.Equal(t, "surface,ground", b.value(`[...document.querySelectorAll("#sorting select")].map((e) => e.value).join()`))
	assert.Contains(t, b.text("sorting-files"), "above the other")
	b.click(`#sorting [value=use]`)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	got := s.kept(b.mapID()).latest().Map
	assert.Equal(t, "b.tif", got.Sources[0].Path)
	assert.Equal(t, "a.tif", got.Growth.Sources[0].Path)
	b.clean()
}

// Two boundaries at once were refused.
func TestBrowserTwoBoundariesAtOnce(t *testing.T) {
	s := serve(t)
	b := open(t, s, 1280, 720)
	north, south := string(collection(t, "North", square(t, 96, 96, 150))), string(collection(t, "South", square(t, 96, 300, 150)))
	b.dropAll("north.geojson", north, "south.geojson", south)
	b.until(`document.getElementById("sorting").open`)
	b.shot("45-two")
	b.accessible()
	b.click(`#sorting [value=use]`)
	b.painted("0")
	assert.Equal(t, "2 lots", b.text("name"))

	b.drop("east.geojson", collection(t, "East", square(t, 300, 96, 150)))
	b.until(`document.getElementById("replacing").open`)
	b.click("#join")
	b.until(`document.getElementById("name").textContent === "3 lots"`)
	b.dropAll("north.geojson", north, "south.geojson", south)
	b.until(`document.getElementById("sorting").open`)
	b.choose("#sort-0", "")
	b.click(`#sorting [value=use]`)
	b.until(`document.getElementById("replacing").open`)
	b.click("#replace")
	b.until(`document.getElementById("name").textContent === "South"`)
	b.clean()
}

// A job names the files that were dropped beside its boundary, and asks for them again.
func TestBrowserAJobAsksForItsFiles(t *testing.T) {
	s := serve(t)
	b := open(t, s, 1280, 720)
	own := contentOf(t, madeRaster(t, "x.tif", 32616, gentle))
	b.dropAll("own_dem.tif", own, "quarry.geojson", string(parcel(t)))
	b.painted("0")
	says := b.text("says")
	folder := t.TempDir()
	done := make(chan string, 1)
	chromedp.ListenTarget(b.ctx, func(ev any) {
		if e, ok := ev.(*browser.EventDownloadProgress); ok && e.State == browser.DownloadProgressStateCompleted {
			done <- e.GUID
		}
	})
	b.do(browser.SetDownloadBehavior(browser.SetDownloadBehaviorBehaviorAllowAndName).WithDownloadPath(folder).WithEventsEnabled(true))
	b.click("#save-job")
	saved, err := os.ReadFile(filepath.Join(folder, <-done))
	require.NoError(t, err)
	var held struct {
		Version int `json:"acreband_job"`
		Dropped []struct{ Name, SHA256, Role, ID string }
		Setting Setting
	}
	require.NoError(t, json.Unmarshal(saved, &held))
	assert.Equal(t, 2, held.Version)
	require.Len(t, held.Dropped, 1)
	assert.Equal(t, "own_dem.tif ground", held.Dropped[0].Name+" "+held.Dropped[0].Role)
	assert.Len(t, held.Dropped[0].SHA256, 64)
	assert.Empty(t, held.Dropped[0].ID)
	assert.Empty(t, held.Setting.Files)

	// A reload finds the files where they are still kept.
	b.until(`document.body.dataset.remembered === "0"`)
	b.do(chromedp.Reload())
	b.until(`document.getElementById("name").textContent === "Quarry Lot"`)
	assert.Equal(t, says, b.text("says"))
	assert.Contains(t, b.text("loaded-files"), "own_dem.tif")

	// Elsewhere they are asked for: another file is not taken for one of them.
	b.click("#start-over")
	b.until(`document.getElementById("replacing").open`)
	_, err = chromedp.RunResponse(b.ctx, chromedp.Click("#replace", chromedp.ByQuery))
	require.NoError(t, err)
	b.until(`document.getElementById("map").dataset.painted === "/v1/relief.png"`)
	assert.Empty(t, s.tray.byID, "started over, the files are gone")
	b.dropAll("own.acreband.json", string(saved))
	b.until(`document.getElementById("missing").open`)
	assert.Contains(t, b.text("missing-files"), "own_dem.tif: elevation of the ground")
	b.accessible()
	b.roomy()
	b.shot("46-missing")
	b.dropAll("own_dem.tif", contentOf(t, elevation(t)))
	b.until(`!document.getElementById("missing-trouble").hidden`)
	assert.Contains(t, b.text("missing-trouble"), "own_dem.tif is not a file that the job was saved with, or was changed since")
	b.dropAll("renamed.tif", own)
	b.until(`document.getElementById("name").textContent === "Quarry Lot"`)
	assert.Equal(t, says, b.text("says"))

	// A file that the server forgot is sent again by the page that has it.
	for id := range s.tray.byID {
		s.tray.remove(id, false)
	}
	b.click(`[name=ground][value=wet]`)
	b.until(`!document.body.hasAttribute("aria-busy") && document.querySelector("[name=ground]:checked").value === "wet"`)
	assert.Equal(t, "true", b.value(`document.getElementById("trouble").hidden`))
	assert.Equal(t, "wet", string(s.kept(b.mapID()).latest().Map.Ground))

	b.clean()

	// So is one of a map that was forgotten too.
	first := b.mapID()
	s.shelf.remove(first)
	for id := range s.tray.byID {
		s.tray.remove(id, false)
	}
	b.click(`[name=ground][value=dry]`)
	b.until(`document.getElementById("map").dataset.painted.split("/")[3] !== "` + first + `"`)
	assert.Equal(t, says, b.text("says"))
	assert.Equal(t, "renamed.tif", s.kept(b.mapID()).latest().Map.Sources[0].Path)
}

func focus(selector string) chromedp.Action { return chromedp.Focus(selector, chromedp.ByQuery) }

// Every role that the server knows has words on the page; one without would read "leave it out".
func TestEveryRoleHasWords(t *testing.T) {
	text, err := static.ReadFile("static/files.js")
	require.NoError(t, err)
	for _, role := range []string{asGround, asSurface, asBoundary, asSite, asStaging, asTravel} {
		assert.Regexp(t, `\b`+role+`: "`, string(text))
	}
	for _, kind := range plainKinds {
		assert.Contains(t, string(text), `"`+asKind+string(kind)+`": "`)
	}
}
