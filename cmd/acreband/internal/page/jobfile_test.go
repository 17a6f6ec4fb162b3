package page

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A job was lost with the page; undo, a reload, and a saved file give it back.
func TestBrowserAJobIsAFile(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 1280, 720)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.set("set-track-loader-limit", "22%")
	b.painted("1")
	lower := b.text("says")
	b.do(chromedp.Click(`[name=cover][value=medium]`, chromedp.ByQuery))
	b.painted("2")
	dearer := b.text("says")
	assert.NotEqual(t, lower, dearer)
	assert.Contains(t, b.text("since"), "→")

	b.do(chromedp.Click("#undo", chromedp.ByQuery))
	b.painted("3")
	assert.Equal(t, lower, b.text("says"))
	assert.Equal(t, "light", b.value(`document.querySelector("[name=cover]:checked").value`))
	b.do(chromedp.Click("#redo", chromedp.ByQuery))
	b.painted("4")
	assert.Equal(t, dearer, b.text("says"))
	assert.Equal(t, "true", b.value(`document.getElementById("redo").disabled`))

	folder := t.TempDir()
	done := make(chan string, 1)
	chromedp.ListenTarget(b.ctx, func(ev any) {
		if e, ok := ev.(*browser.EventDownloadProgress); ok && e.State == browser.DownloadProgressStateCompleted {
			done <- e.GUID
		}
	})
	b.do(browser.SetDownloadBehavior(browser.SetDownloadBehaviorBehaviorAllowAndName).WithDownloadPath(folder).WithEventsEnabled(true),
		chromedp.Click("#save-job", chromedp.ByQuery))
	saved, err := os.ReadFile(filepath.Join(folder, <-done))
	require.NoError(t, err)
	var job struct {
		Version  int `json:"acreband_job"`
		Boundary struct {
			Drawn bool
			Files []struct {
				Name   string
				Base64 []byte
			}
		}
		Setting Setting
	}
	require.NoError(t, json.Unmarshal(saved, &job))
	assert.Equal(t, 1, job.Version)
	assert.Equal(t, "quarry.geojson", job.Boundary.Files[0].Name)
	assert.Equal(t, string(parcel(t)), string(job.Boundary.Files[0].Base64))
	assert.Equal(t, []Limit{{"track-loader", "limit", "22%"}}, job.Setting.Limits)
	assert.Equal(t, "medium", *job.Setting.Cover)

	// A reload keeps the state.
	b.until(`document.body.dataset.remembered === "4"`)
	b.do(chromedp.Reload())
	b.painted("1")
	assert.Equal(t, dearer, b.text("says"))
	assert.Equal(t, "22%", b.value(`document.getElementById("set-track-loader-limit").value`))

	// The file opens in a page that knows nothing of it, once who looks agrees.
	b.do(chromedp.Click("#start-over", chromedp.ByQuery))
	b.until(`document.getElementById("replacing").open`)
	_, err = chromedp.RunResponse(b.ctx, chromedp.Click("#replace", chromedp.ByQuery))
	require.NoError(t, err)
	b.until(`document.getElementById("map").dataset.painted === "/v1/relief.png"`)
	b.drop("job.acreband.json", saved)
	b.painted("1")
	assert.Equal(t, dearer, b.text("says"))
	b.drop("bad.acreband.json", []byte(`{"acreband_job": 7}`))
	b.until(`!document.getElementById("trouble").hidden`)
	assert.Contains(t, b.text("trouble"), "bad.acreband.json is a job of version 7")
	b.clean()
}

// A second boundary took the place of the first, and of all that was changed on it, unasked.
func TestBrowserASecondBoundaryAsks(t *testing.T) {
	s := serve(t)
	b := open(t, s, 1280, 720)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	first := b.mapID()
	b.drop("quarry.geojson", parcel(t))
	b.until(`document.getElementById("replacing").open`)
	assert.Contains(t, b.text("replacing-says"), "Replace Quarry Lot?")
	b.do(chromedp.Click("#keep", chromedp.ByQuery))
	assert.Equal(t, first, b.mapID())
	b.drop("quarry.geojson", parcel(t))
	b.until(`document.getElementById("replacing").open`)
	b.do(chromedp.Click("#replace", chromedp.ByQuery))
	b.until(`document.getElementById("map").dataset.painted.split("/")[3] !== "` + first + `"`)
	b.clean()
}

// A map that the server had forgotten after a while was lost with all that was changed on it.
func TestBrowserAForgottenMapIsMadeAnew(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 1280, 720)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.set("set-track-loader-limit", "22%")
	b.painted("1")
	first := b.mapID()
	s.shelf.remove(first)
	b.do(chromedp.Click(`[name=ground][value=wet]`, chromedp.ByQuery))
	b.until(`document.getElementById("map").dataset.painted.split("/")[3] !== "` + first + `"`)
	got := s.kept(b.mapID()).latest()
	assert.Equal(t, "wet", string(got.Map.Ground))
	assert.InDelta(t, 22, got.fleet[0].LimitPct, 1e-9)
	s.shelf.remove(b.mapID())
	b.do(chromedp.Click("#map", chromedp.ByQuery))
	b.until(`!document.getElementById("spot-note").hidden`)
	assert.Contains(t, b.text("spot"), "slope")
}
