package page

import (
	"context"
	"encoding/json"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
)

// tab is the page in a real browser.
type tab struct {
	*testing.T
	ctx   context.Context
	shots string // folder for pictures; "" takes none

	mu        sync.Mutex
	complaint []string // of the console
	elsewhere []string // requests that leave the server
}

// open shows the page of a server in Chromium. Without one the test is skipped.
// PAGE_SHOTS names a folder for pictures of what was seen.
func open(t *testing.T, s *visit, width, height int64) *tab {
	t.Helper()
	b := browse(t, s.http.URL, width, height)
	b.until(`document.getElementById("map").dataset.painted === "/v1/relief.png"`)
	return b
}

// browse shows what is at an address.
func browse(t *testing.T, address string, width, height int64) *tab {
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
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program), chromedp.Flag("disable-dev-shm-usage", true),
		chromedp.Flag("force-prefers-reduced-motion", true))
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	ctx, cancel := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, 90*time.Second)
	t.Cleanup(cancel)
	b := &tab{T: t, ctx: ctx, shots: os.Getenv("PAGE_SHOTS")}
	home, err := url.Parse(address)
	require.NoError(t, err)
	chromedp.ListenTarget(ctx, func(ev any) { b.hear(ev, home.Host) })
	b.do(network.Enable(), log.Enable(), runtime.Enable(), emulation.SetDeviceMetricsOverride(width, height, 1, width < 600), chromedp.Navigate(address))
	return b
}

// hear keeps what a page must not do.
func (b *tab) hear(ev any, home string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := ev.(type) {
	case *runtime.EventExceptionThrown:
		b.complaint = append(b.complaint, e.ExceptionDetails.Error())
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.APITypeError || e.Type == runtime.APITypeWarning {
			b.complaint = append(b.complaint, "console: "+string(e.Args[0].Value))
		}
	case *log.EventEntryAdded:
		// A refusal of the server's is told on the page; browsers log it too.
		if e.Entry.Level != log.LevelInfo && !strings.Contains(e.Entry.Text, "status of 422") {
			b.complaint = append(b.complaint, e.Entry.Text+" "+e.Entry.URL)
		}
	case *network.EventRequestWillBeSent:
		if u, err := url.Parse(e.Request.URL); err != nil || u.Host != home && u.Scheme != "blob" && u.Scheme != "data" {
			b.elsewhere = append(b.elsewhere, e.Request.URL)
		}
	}
}

// clean asserts that the page did none of it.
func (b *tab) clean() {
	b.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	assert.Empty(b, b.complaint, "the console is quiet")
	assert.Empty(b, b.elsewhere, "nothing leaves this machine")
}

func (b *tab) do(actions ...chromedp.Action) {
	b.Helper()
	require.NoError(b, chromedp.Run(b.ctx, actions...))
}

// until waits for an expression to be true. It asks again while a page is loading: what was
// asked of the page before ends with it.
func (b *tab) until(expression string) {
	b.Helper()
	var ok bool
	var err error
	for end := time.Now().Add(20 * time.Second); !ok && time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		err = chromedp.Run(b.ctx, chromedp.Evaluate("!!("+expression+")", &ok))
	}
	if !ok {
		b.shot("failed")
	}
	require.NoError(b, err, expression)
	require.True(b, ok, expression)
}

// value evaluates an expression that gives text.
func (b *tab) value(expression string) (text string) {
	b.Helper()
	b.do(chromedp.Evaluate("String("+expression+")", &text))
	return text
}

func (b *tab) text(id string) string {
	b.Helper()
	return b.value(`document.getElementById("` + id + `").innerText`)
}

func (b *tab) press(keys ...string) {
	b.Helper()
	for _, k := range keys {
		b.do(chromedp.KeyEvent(k))
	}
}

// shot keeps a picture of the whole page, for people to look at.
func (b *tab) shot(name string) {
	b.Helper()
	if b.shots == "" {
		return
	}
	var png []byte
	b.do(chromedp.Sleep(200*time.Millisecond), chromedp.FullScreenshot(&png, 100))
	require.NoError(b, os.WriteFile(filepath.Join(b.shots, name+".png"), png, 0o666))
}

// painted waits until the ground of the map as it stands is on show.
func (b *tab) painted(revision string) {
	b.Helper()
	b.until(`/ground\.png\?rev=` + revision + `(&walk=1)?$/.test(document.getElementById("map").dataset.painted) && !document.body.hasAttribute("aria-busy")`)
}

// set types a value into a field and leaves it.
func (b *tab) set(id, value string) {
	b.Helper()
	b.do(chromedp.Evaluate(`{
		const field = document.getElementById(`+quoted(b, id)+`);
		field.value = `+quoted(b, value)+`;
		field.dispatchEvent(new Event("change", {bubbles: true}));
	}`, nil))
}

// drop drags a file over the page and lets it go there.
func (b *tab) drop(name string, content []byte) {
	b.Helper()
	b.do(chromedp.Evaluate(`{
		const dataTransfer = new DataTransfer();
		dataTransfer.items.add(new File([`+quoted(b, string(content))+`], `+quoted(b, name)+`));
		for (const kind of ["dragenter", "dragover", "drop"])
			document.body.dispatchEvent(new DragEvent(kind, {dataTransfer, bubbles: true, cancelable: true}));
	}`, nil))
}

// accessible asserts that axe-core (testdata/axe) finds no violation of WCAG 2.2 A and
// AA, nor of its good practices.
func (b *tab) accessible() {
	b.Helper()
	axe, err := os.ReadFile("testdata/axe/axe.min.js")
	require.NoError(b, err)
	var found string
	b.do(chromedp.Evaluate(string(axe)+"; null", nil), chromedp.Evaluate(
		`axe.run(document, {runOnly: ["wcag2a","wcag2aa","wcag21a","wcag21aa","wcag22aa","best-practice"]})
			.then((r) => JSON.stringify(r.violations.map((v) => [v.id, v.help, v.nodes.map((n) => n.html + " " + n.failureSummary)]), null, 1))`,
		&found, func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }))
	assert.Equal(b, "[]", found)
}

func written(t *testing.T, name string, content []byte) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(file, content, 0o666))
	return file
}

func TestBrowserDropChangeTakeAway(t *testing.T) {
	s := serve(t)
	b := open(t, s, 1280, 900)
	b.accessible()
	b.shot("1-start")

	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	assert.Equal(t, "Quarry Lot", b.text("name"))
	assert.Contains(t, b.text("says"), "of 45.0 acres can be worked")
	assert.NotContains(t, b.text("stops"), "RAISED")
	assert.Contains(t, b.text("stops"), "access is not checked")
	b.accessible()
	b.shot("2-mapped")
	before := b.text("zones")

	// A lower limit follows by itself.
	b.set("set-track-loader-limit", "20%")
	b.painted("1")
	assert.NotEqual(t, before, b.text("zones"))
	assert.Contains(t, b.text("assumed"), "Track loader, limit up and down: 20%, where the fleet file says 30%")

	// A higher one asks who and why.
	b.set("set-track-loader-limit", "36%")
	b.until(`!document.getElementById("answerable").hidden`)
	b.accessible()
	b.do(chromedp.SendKeys("#by", "A. Planner", chromedp.ByQuery), chromedp.SendKeys("#reason", "manual, page 12"+kb.Enter, chromedp.ByQuery))
	b.painted("2")
	assert.Contains(t, b.text("stops"), "RAISED by A. Planner: Track loader, limit up and down: 36%, where the fleet file says 30%. Reason given: manual, page 12")
	b.shot("3-raised")

	// What keeps machines off a spot.
	b.do(chromedp.Click("#map", chromedp.ByQuery))
	b.until(`!document.getElementById("spot-note").hidden`)
	assert.Contains(t, b.text("spot"), "slope")

	b.do(chromedp.Click(`[data-band="track-loader"] .key`, chromedp.ByQuery))
	b.until(`/only=track-loader/.test(document.getElementById("map").dataset.painted)`)
	b.shot("4-only")

	// Taken away, it is what the server has.
	folder := t.TempDir()
	done := make(chan string, 1)
	chromedp.ListenTarget(b.ctx, func(ev any) {
		if e, ok := ev.(*browser.EventDownloadProgress); ok && e.State == browser.DownloadProgressStateCompleted {
			done <- e.GUID
		}
	})
	b.do(browser.SetDownloadBehavior(browser.SetDownloadBehaviorBehaviorAllowAndName).WithDownloadPath(folder).WithEventsEnabled(true),
		chromedp.Click("#tab-taking", chromedp.ByQuery), chromedp.Click(`a[download="zones.geojson"]`, chromedp.ByQuery))
	got, err := os.ReadFile(filepath.Join(folder, <-done))
	require.NoError(t, err)
	var zones struct{ Summary struct{ Warnings []string } }
	require.NoError(t, json.Unmarshal(got, &zones))
	assert.Contains(t, zones.Summary.Warnings[0], "RAISED by A. Planner")
	b.clean()
}

func TestBrowserShowsAnError(t *testing.T) {
	s := serve(t)
	b := open(t, s, 1000, 800)
	b.do(chromedp.SetUploadFiles("#choose", []string{written(t, "map.vrt", []byte("<OGRVRTDataSource/>"))}, chromedp.ByQuery))
	b.until(`!document.getElementById("trouble").hidden`)
	assert.Contains(t, b.text("trouble"), "is in no format known here")
	assert.Equal(t, "true", b.value(`document.getElementById("conditions").hidden`))
	b.accessible()
	b.shot("5-error")

	// A limit without a unit is told beside its field.
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.set("set-track-loader-limit", "20")
	b.until(`!document.getElementById("change-trouble").hidden`)
	assert.Contains(t, b.text("change-trouble"), `"20" has no unit`)
	assert.Equal(t, "set-track-loader-limit", b.value(`document.activeElement.id`))
	b.accessible()
	b.clean()
}

// By the keyboard alone: a boundary drawn, staging and no-go put down, one taken away.
func TestBrowserKeyboardOnly(t *testing.T) {
	s := serve(t)
	b := open(t, s, 1100, 850)
	to := func(id string) {
		t.Helper()
		for range 80 {
			if b.value(`document.activeElement.id || document.activeElement.dataset.put`) == id {
				return
			}
			b.press(kb.Tab)
		}
		t.Fatalf("%s cannot be reached with Tab", id)
	}
	to("draw")
	b.press(kb.Enter)
	assert.Equal(t, "map", b.value(`document.activeElement.id`))
	for _, way := range []string{kb.ArrowRight, kb.ArrowDown, kb.ArrowLeft} {
		b.press(kb.Enter)
		for range 3 {
			b.press(way)
			b.do(chromedp.Sleep(350 * time.Millisecond)) // the map glides
		}
	}
	b.press(kb.Enter)
	assert.Contains(t, b.text("drawing-says"), "4 corners so far")
	b.press(kb.Backspace, kb.Enter)
	b.shot("6-drawing")
	b.press(kb.Tab) // to what comes after the map, and back to the line
	b.do(chromedp.Focus("#draw", chromedp.ByQuery))
	to("drawing-done")
	b.press(kb.Enter)
	b.painted("0")
	assert.Equal(t, "Drawn parcel", b.text("name"))
	assert.Contains(t, b.text("facts"), "sketched boundary")

	to("tab-machines")
	b.press(kb.ArrowDown)
	to("staging")
	b.press(kb.Enter, kb.Enter)
	b.painted("1")
	assert.Contains(t, b.text("put"), "Staging 1")
	assert.NotContains(t, b.text("check"), "nobody asked whether a machine gets")
	to("no-go")
	b.press(kb.Enter, kb.ArrowLeft)
	b.do(chromedp.Sleep(400 * time.Millisecond))
	b.press(kb.Enter)
	b.painted("2")
	assert.Contains(t, b.text("put"), "No-go 1")
	assert.Contains(t, b.text("zones"), "No-go: closed to machines")
	b.shot("7-placed")
	b.accessible()
	b.clean()
}

func TestBrowserPlan(t *testing.T) {
	s := serve(t, costed)
	b := open(t, s, 1100, 850)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	before := b.text("plan-says")
	assert.Contains(t, before, "An estimate, not a quote")
	assert.Contains(t, b.text("says"), "Bring ")
	assert.Contains(t, b.text("zones-title"), "as planned")
	assert.NotEqual(t, "0", b.value(`document.querySelectorAll("#steps .chosen").length`))
	b.do(chromedp.Click("#tab-prices", chromedp.ByQuery))
	b.set("set-track-loader-operator", "$500/h")
	b.painted("1")
	assert.NotEqual(t, before, b.text("plan-says"))
	b.do(chromedp.Click(`[name=cover][value=medium]`, chromedp.ByQuery))
	b.painted("2")
	b.do(chromedp.Click(`[name=cover][value=light]`, chromedp.ByQuery))
	b.painted("3")

	// A crew that is brought, and the map by limits.
	b.do(chromedp.Click("#tab-machines", chromedp.ByQuery))
	b.do(chromedp.Click(`[name=bring][value=remote-crawler]`, chromedp.ByQuery))
	b.painted("4")
	assert.Equal(t, "1", b.value(`document.querySelectorAll("#ladder tr").length`))
	assert.Contains(t, b.text("says"), "Bring Remote crawler: ")
	b.do(chromedp.Click(`[name=view][value=limits]`, chromedp.ByQuery))
	b.painted("5")
	assert.Contains(t, b.text("zones-title"), "by limits")
	b.do(chromedp.Click(`[name=bring][value=remote-crawler]`, chromedp.ByQuery))
	b.painted("6")
	b.set("worth", "much")
	b.until(`!document.getElementById("change-trouble").hidden`)
	assert.Equal(t, "worth", b.value(`document.activeElement.id`))
	b.set("worth", "9000")
	b.painted("7")
	assert.Equal(t, "9000", b.value(`document.getElementById("worth").value`))
	b.accessible()
	b.shot("9-plan")
	b.clean()
}

// Work that takes long is seen, and can be cancelled; the map stays as it was.
func TestBrowserCancel(t *testing.T) {
	let := make(chan struct{})
	var slow atomic.Bool
	s := serve(t, costed)
	s.plan = func(g *mapping.Ground, zm *zoning.ZoneMap, book *plan.Book, cover plan.Cover) (*plan.Plan, error) {
		if slow.Load() {
			<-let
		}
		return plan.ForMap(g, zm, book, cover)
	}
	defer close(let)
	b := open(t, s, 1100, 850)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	before := b.text("zones")
	slow.Store(true)
	b.set("set-track-loader-limit", "20%")
	b.until(`!document.getElementById("busy").hidden`)
	b.accessible()
	b.shot("10-busy")
	b.do(chromedp.Click("#cancel", chromedp.ByQuery))
	b.until(`document.getElementById("busy").hidden && !document.body.hasAttribute("aria-busy")`)
	assert.Equal(t, before, b.text("zones"))
	assert.Equal(t, "30%", b.value(`document.getElementById("set-track-loader-limit").value`), "the form says what the map shows")
	assert.Equal(t, "true", b.value(`document.getElementById("trouble").hidden`))
	b.clean()
}

// WCAG 2.2, 1.4.10: at 320 CSS pixels nothing is cut off or scrolls sideways.
func TestBrowserPhone(t *testing.T) {
	s := serve(t)
	b := open(t, s, 320, 700)
	b.do(chromedp.SetUploadFiles("#choose", []string{written(t, "quarry.geojson", parcel(t))}, chromedp.ByQuery))
	b.painted("0")
	assert.Equal(t, "0", b.value(`document.documentElement.scrollWidth - document.documentElement.clientWidth`))
	b.accessible()
	b.shot("8-phone")
	b.clean()
}
