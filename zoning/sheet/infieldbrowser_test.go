package sheet

import (
	"context"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/field"
)

// phone is a sheet in a real browser, as wide as a hand.
type phone struct {
	*testing.T
	ctx context.Context

	mu        sync.Mutex
	complaint []string // of the console
}

// onPhone starts Chromium. Without one the test is skipped.
func onPhone(t *testing.T, options ...chromedp.ExecAllocatorOption) *phone {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes seconds")
	}
	program := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			program = path
			break
		}
	}
	if program == "" {
		t.Skip("no chromium here; apt-get install chromium")
	}
	options = append(append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program), chromedp.Flag("disable-dev-shm-usage", true)), options...)
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	ctx, cancel := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, 90*time.Second)
	t.Cleanup(cancel)
	p := &phone{T: t, ctx: ctx}
	chromedp.ListenTarget(ctx, func(ev any) {
		p.mu.Lock()
		defer p.mu.Unlock()
		switch e := ev.(type) {
		case *runtime.EventExceptionThrown:
			p.complaint = append(p.complaint, e.ExceptionDetails.Error())
		case *log.EventEntryAdded:
			if e.Entry.Level != log.LevelInfo {
				p.complaint = append(p.complaint, e.Entry.Text)
			}
		}
	})
	p.do(log.Enable(), runtime.Enable(), emulation.SetDeviceMetricsOverride(390, 844, 1, true))
	return p
}

func (p *phone) do(actions ...chromedp.Action) {
	p.Helper()
	require.NoError(p, chromedp.Run(p.ctx, actions...))
}

// until asks again while a page is loading: what was asked of the page before ends with it.
func (p *phone) until(expression string) {
	p.Helper()
	var ok bool
	var err error
	for end := time.Now().Add(20 * time.Second); !ok && time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		err = chromedp.Run(p.ctx, chromedp.Evaluate("!!("+expression+")", &ok))
	}
	require.NoError(p, err, expression)
	require.True(p, ok, expression)
}

func (p *phone) text(selector string) (words string) {
	p.Helper()
	p.do(chromedp.Evaluate(`document.querySelector(`+quotedJS(selector)+`).textContent`, &words))
	return words
}

// says waits for words.
func (p *phone) says(selector, words string) {
	p.Helper()
	p.until(`document.querySelector(` + quotedJS(selector) + `).textContent.includes(` + quotedJS(words) + `)`)
}

// typed puts text into a field and leaves it.
func (p *phone) typed(selector, words string) {
	p.Helper()
	p.do(chromedp.Evaluate(`{
		const field = document.querySelector(`+quotedJS(selector)+`);
		field.value = `+quotedJS(words)+`;
		field.dispatchEvent(new Event("input", {bubbles: true}));
		field.dispatchEvent(new Event("change", {bubbles: true}));
	}`, nil))
}

func (p *phone) quiet() {
	p.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	assert.Empty(p, p.complaint, "the console is quiet")
}

// shot keeps a picture for people to look at, in the folder that PAGE_SHOTS names.
func (p *phone) shot(name string) {
	p.Helper()
	if folder := os.Getenv("PAGE_SHOTS"); folder != "" {
		var png []byte
		p.do(chromedp.CaptureScreenshot(&png))
		require.NoError(p, os.WriteFile(filepath.Join(folder, name+".png"), png, 0o666))
	}
}

func quotedJS(words string) string {
	b, _ := json.Marshal(words)
	return string(b)
}

// sheetFile is a sheet as it lies on a phone.
func sheetFile(t *testing.T, p *Page) string {
	file := filepath.Join(t.TempDir(), "sheet.html")
	require.NoError(t, os.WriteFile(file, written(t, p.WriteHTML), 0o666))
	return (&url.URL{Scheme: "file", Path: file}).String()
}

// standAt fakes the position of the phone. A latitude or longitude of 0 would be left out of
// what is sent.
func standAt(at orb.Point, accuracyM float64) chromedp.Action {
	return emulation.SetGeolocationOverride().WithLatitude(at[1]).WithLongitude(at[0]).WithAccuracy(accuracyM)
}

// From a local file the sheet tells the zone one stands in, what else may be meant by a
// poor position, and that nothing is known outside; a position refused takes the last one
// away.
func TestSheetTellsWhereOneStands(t *testing.T) {
	job := jobPage(t)
	p := onPhone(t)
	at := job.Checks.Spots[0].At
	location := &browser.PermissionDescriptor{Name: "geolocation"}
	p.do(browser.SetPermission(location, browser.PermissionSettingGranted), standAt(at, 0.1),
		chromedp.Navigate(sheetFile(t, job)), chromedp.Click("#place-on-map button", chromedp.ByQuery))
	p.says("#standing", "You stand in: ")
	words := p.text("#standing")
	zone := -1
	for i, z := range job.Map.Lots[0].Zones {
		if holdsPoint(z.Ground, at) {
			zone = i
		}
	}
	require.NotEqual(t, -1, zone)
	totals := totalsOf(job.Map)
	for _, line := range zoneNumbers(totals, job.Map, job.Map.Lots[0], job.Map.Lots[0].Zones[zone]) {
		assert.Contains(t, words, line)
	}
	assert.Contains(t, words, "The slope right where you stand is not in this sheet")
	assert.Contains(t, words, "Nearest check: S01, 0 ft")
	p.do(chromedp.Evaluate(`document.getElementById("place-on-map").scrollIntoView()`, nil))
	p.shot("standing")

	p.do(standAt(at, 400))
	p.says("#standing", "good to about 1,312 ft")
	words = p.text("#standing")
	for _, b := range []string{"Track loader", "Boom-mounted head", "Remote crawler", "ground outside the map, of which it says nothing"} {
		assert.Contains(t, words, b)
	}
	assert.Contains(t, words, "Go by the strictest.")

	p.do(standAt(degrees(-1000, 10), 5))
	p.says("#standing", "You stand outside the zones of this map. It says nothing of the ground here.")

	p.do(chromedp.Click("#place-on-map button", chromedp.ByQuery), browser.SetPermission(location, browser.PermissionSettingDenied),
		chromedp.Click("#place-on-map button", chromedp.ByQuery))
	p.says("#standing", "No position: the browser may not give it.")
	var radius string
	p.do(chromedp.Evaluate(`document.querySelector("#standing-mark .spot").getAttribute("r")`, &radius))
	assert.Equal(t, "0", radius, "a place that is no longer known is not shown")
	assert.Equal(t, "Show where I am", p.text("#place-on-map button"))
	p.quiet()
}

// holdsPoint reports whether polygons hold a place, by the crossings of a ray.
func holdsPoint(ground orb.MultiPolygon, at orb.Point) bool {
	inside := false
	for _, poly := range ground {
		for _, r := range poly {
			for i := range len(r) - 1 {
				a, b := r[i], r[i+1]
				if (a[1] > at[1]) != (b[1] > at[1]) && at[0] < a[0]+(b[0]-a[0])*(at[1]-a[1])/(b[1]-a[1]) {
					inside = !inside
				}
			}
		}
	}
	return inside
}

// A page that came without https gets no position, and is told so rather than left with a
// button that does nothing.
func TestSheetTellsThatPositionNeedsASecurePage(t *testing.T) {
	page := written(t, jobPage(t).WriteHTML)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		if r.URL.Path != "/" {
			w.WriteHeader(http.StatusNoContent) // the browser asks for an icon
			return
		}
		_, _ = w.Write(page)
	}))
	t.Cleanup(server.Close)
	_, port, _ := strings.Cut(strings.TrimPrefix(server.URL, "http://"), ":")
	p := onPhone(t, chromedp.Flag("host-resolver-rules", "MAP sheet.test 127.0.0.1"))
	p.do(chromedp.Navigate("http://sheet.test:" + port + "/"))
	p.says("#standing", "It gives one to a file saved on the phone, or to a page whose address begins with https.")
	var hidden bool
	p.do(chromedp.Evaluate(`document.querySelector("#place-on-map button").hidden`, &hidden))
	assert.True(t, hidden)
}

// Readings typed at checks outlast the page and are saved as the table that is read back;
// what cannot be read is named and not saved.
func TestSheetKeepsReadingsAndSavesTheirTable(t *testing.T) {
	p := onPhone(t)
	address := sheetFile(t, jobPage(t))
	folder, done := t.TempDir(), make(chan string, 1)
	chromedp.ListenTarget(p.ctx, func(ev any) {
		if e, ok := ev.(*browser.EventDownloadProgress); ok && e.State == browser.DownloadProgressStateCompleted {
			done <- e.GUID
		}
	})
	p.do(browser.SetDownloadBehavior(browser.SetDownloadBehaviorBehaviorAllowAndName).WithDownloadPath(folder).WithEventsEnabled(true),
		chromedp.Navigate(address), chromedp.Click("#readings summary", chromedp.ByQuery))
	p.says("#readings-state", "0 of 2 checks read.")
	p.do(chromedp.Click("#save-readings", chromedp.ByQuery))
	p.says("#readings-state", "no slope has been typed yet")

	p.typed("#slope-0", "32")
	assert.Equal(t, "“32” is no slope with its unit. Write it such as 32% or 18deg.", p.text("#told-0"))
	p.do(chromedp.Click("#save-readings", chromedp.ByQuery))
	p.says("#readings-state", "The table is not saved: the slope at S01 cannot be read.")
	p.typed("#slope-0", "90deg")
	assert.Contains(t, p.text("#told-0"), "is no slope")

	// A tie is over the limit, as in the verdict on readings.
	p.typed("#slope-0", "29.99%")
	assert.Equal(t, "30.0% is not below the limit here, 30%: keep the machine off.", p.text("#told-0"))
	p.typed("#slope-0", "16°")
	assert.Equal(t, "Read as 28.7%.", p.text("#told-0"))
	p.typed("#note-0", `=2+5, "wet" <b>`)
	p.typed("#slope-1", "118.5 %")
	assert.Equal(t, "Read as 118.5%.", p.text("#told-1"))
	p.says("#readings-state", "2 of 2 checks read. They are kept on this phone")
	p.shot("readings")

	p.do(chromedp.Navigate("about:blank"), chromedp.Navigate(address))
	p.says("#readings-state", "2 of 2 checks read.")
	p.do(chromedp.Click("#readings summary", chromedp.ByQuery), chromedp.Click("#save-readings", chromedp.ByQuery))
	var name string
	select {
	case name = <-done:
	case <-p.ctx.Done():
		require.NoError(t, p.ctx.Err(), "no table came")
	}
	table, err := os.ReadFile(filepath.Join(folder, name))
	require.NoError(t, err)
	assert.Equal(t, "id,slope,note\n\"S01\",\"16deg\",\"'=2+5, \"\"wet\"\" <b>\"\n\"S02\",\"118.5%\",\"\"\n", string(table))
	got, err := field.ReadReadings("readings.csv", table)
	require.NoError(t, err)
	require.Len(t, got, 2)
	assert.Equal(t, "S01", got[0].ID)
	assert.InDelta(t, 28.6745, got[0].SlopePct, 1e-4) // 100 tan 16°
	assert.Equal(t, `=2+5, "wet" <b>`, got[0].Note)
	assert.Equal(t, "S02", got[1].ID)
	assert.Equal(t, 118.5, got[1].SlopePct)

	// Paper has none of it.
	var shown string
	p.do(emulation.SetEmulatedMedia().WithMedia("print"), chromedp.Evaluate(
		`["place-on-map", "readings", "standing-mark"].map((id) => getComputedStyle(document.getElementById(id)).display).join()`, &shown))
	assert.Equal(t, "none,none,none", shown)
	p.quiet()
}
