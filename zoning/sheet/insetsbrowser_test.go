package sheet

import (
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where the map is in insets, the position stands on the inset that shows it, and zones of
// another inset, which lie beside it on the screen only, are not taken for near.
func TestSheetTellsWhereOneStandsOnInsets(t *testing.T) {
	job := farParts(t)
	p := onPhone(t)
	at := job.Checks.Spots[1].At
	location := &browser.PermissionDescriptor{Name: "geolocation"}
	p.do(browser.SetPermission(location, browser.PermissionSettingGranted), standAt(at, 150),
		chromedp.Navigate(sheetFile(t, job)), chromedp.Click("#place-on-map button", chromedp.ByQuery))
	p.says("#standing", "You stand in: ")
	words := p.text("#standing")
	assert.Contains(t, words, "Nearest check: S02, 0 ft")
	q, totals, err := job.ready(false)
	require.NoError(t, err)
	front, err := q.front(totals, q.contents(totals))
	require.NoError(t, err)
	j, err := newJobMap(q, totals, front.width, front.tall)
	require.NoError(t, err)
	pane := j.panes[1]
	drawn := pane.groundMap.at(at)
	var mark struct{ X, Y float64 }
	p.do(chromedp.Evaluate(`(() => { const c = document.querySelector("#standing-mark circle"); return {X: Number(c.getAttribute("cx")), Y: Number(c.getAttribute("cy"))}; })()`, &mark))
	assert.InDelta(t, pane.at.X+drawn.X, mark.X, 0.01)
	assert.InDelta(t, pane.at.Y+drawn.Y, mark.Y, 0.01)
	var zones int
	p.do(chromedp.Evaluate(`document.querySelectorAll(".zone").length`, &zones))
	assert.Equal(t, len(pane.zones)+len(j.panes[0].zones), zones)
	p.do(standAt(degrees(1, 1), 5))
	p.says("#standing", "You stand outside the zones of this map")
	p.quiet()
}
