package page

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/sheet"
)

// asPDF offers the sheet, as the command does.
func asPDF(c *Config) {
	c.Outputs = append(Outputs(), Output{Name: "sheet.pdf", Type: "application/pdf", Words: "the sheet to print", Write: func(w io.Writer, r *Result) error {
		return (&sheet.Page{Map: r.Map, Grid: r.Ground.Elevation.Grid, Plan: r.Plan, Features: r.Ground.Features}).WritePDF(w)
	}})
}

// tabTo presses Tab until an element has the focus, and no further than once around the page.
func (b *tab) tabTo(selector string) {
	b.Helper()
	for range 120 {
		if b.value(`document.activeElement.matches(`+quoted(b, selector)+`)`) == "true" {
			return
		}
		b.press(kb.Tab)
	}
	b.shot("lost")
	b.Fatalf("%s cannot be reached with Tab; the focus is on %s", selector, b.value(`document.activeElement.outerHTML.slice(0, 200)`))
}

// By the keyboard alone, from a file to the PDF: opened, mapped, a limit changed, a spot asked for,
// the sheet saved.
func TestBrowserKeyboardFromFileToPDF(t *testing.T) {
	s := serve(t, costed, asPDF)
	b := open(t, s, 1280, 720)
	lot := written(t, "ridge lots.geojson", parcel(t))
	opened := make(chan *page.EventFileChooserOpened, 1)
	folder := t.TempDir()
	saved := make(chan string, 1)
	chromedp.ListenTarget(b.ctx, func(ev any) {
		switch e := ev.(type) {
		case *page.EventFileChooserOpened:
			opened <- e
		case *browser.EventDownloadProgress:
			if e.State == browser.DownloadProgressStateCompleted {
				saved <- e.GUID
			}
		}
	})
	// The system's dialog opens, and is answered as by a person.
	b.do(page.SetInterceptFileChooserDialog(true), browser.SetDownloadBehavior(browser.SetDownloadBehaviorBehaviorAllowAndName).WithDownloadPath(folder).WithEventsEnabled(true))

	b.tabTo("#choose")
	b.press(kb.Enter)
	b.chose(<-opened, lot)
	b.painted("0")
	assert.Equal(t, "answer", b.value(`document.activeElement.id`), "what was mapped is read first")

	b.tabTo("#set-track-loader-limit")
	b.do(chromedp.KeyEvent("a", chromedp.KeyModifiers(2))) // Ctrl: all of it
	b.press("2", "2", "%", kb.Enter)
	b.painted("1")
	assert.InDelta(t, 22, s.kept(b.mapID()).latest().fleet[0].LimitPct, 1e-9)

	b.do(chromedp.Evaluate(`document.activeElement.blur()`, nil)) // from the top of the page
	b.tabTo("#map")
	b.press(kb.Enter)
	b.until(`!document.getElementById("spot-note").hidden`)
	assert.Contains(t, b.text("spot"), "slope")
	b.tabTo("#spot-close")
	b.press(kb.Enter)
	assert.Equal(t, "map", b.value(`document.activeElement.id`))

	b.tabTo("#tab-machines")
	b.press(kb.End)
	assert.Equal(t, "tab-taking", b.value(`document.activeElement.id`))
	b.tabTo(`a[download="sheet.pdf"]`)
	b.press(kb.Enter)
	pdf, err := os.ReadFile(filepath.Join(folder, <-saved))
	require.NoError(t, err)
	assert.Equal(t, "%PDF-", string(pdf[:5]))
	b.clean()
}

// chose answers the system's file dialog, which no page sees.
func (b *tab) chose(e *page.EventFileChooserOpened, files ...string) {
	b.Helper()
	b.do(dom.SetFileInputFiles(files).WithBackendNodeID(e.BackendNodeID))
}
