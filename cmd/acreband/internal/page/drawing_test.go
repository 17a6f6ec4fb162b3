package page

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// middle is where the middle of an element is, in dots of the window.
func (b *tab) middle(expression string) (x, y float64) {
	b.Helper()
	both := strings.Split(b.value(`(({left, top, width, height}) => [left + width / 2, top + height / 2].join())((`+expression+`).getBoundingClientRect())`), ",")
	x, err := strconv.ParseFloat(both[0], 64)
	require.NoError(b, err)
	y, err = strconv.ParseFloat(both[1], 64)
	require.NoError(b, err)
	return x, y
}

// drag moves the mouse, with its button down, from a place to another.
func (b *tab) drag(x, y, toX, toY float64) {
	b.Helper()
	b.do(chromedp.MouseEvent(input.MouseMoved, x, y), chromedp.MouseEvent(input.MousePressed, x, y, chromedp.ButtonLeft))
	for i := 1.0; i <= 5; i++ {
		b.do(chromedp.MouseEvent(input.MouseMoved, x+(toX-x)*i/5, y+(toY-y)*i/5, chromedp.ButtonLeft))
	}
	b.do(chromedp.MouseEvent(input.MouseReleased, toX, toY, chromedp.ButtonLeft))
}

// Nobody saw how much was drawn before it was mapped, and a corner could not be put right.
func TestBrowserDrawing(t *testing.T) {
	s := serve(t)
	b := open(t, s, 1280, 720)
	b.do(chromedp.Click("#draw", chromedp.ByQuery))
	x, y := b.middle(`document.getElementById("map")`)
	for _, d := range [][2]float64{{-80, -80}, {80, -80}, {80, 80}, {-80, 80}, {-80, 0}} {
		b.do(chromedp.MouseClickXY(x+d[0], y+d[1]))
	}
	b.until(`/5 corners so far/.test(document.getElementById("drawing-says").textContent)`)
	drawn := b.value(`/about ([0-9.]+) acres/.exec(document.getElementById("drawing-says").textContent)[1]`)
	b.shot("18-drawing")
	b.do(chromedp.Click("#corner-back", chromedp.ByQuery))
	assert.Contains(t, b.text("drawing-says"), fmt.Sprintf("4 corners so far, about %s acres", drawn), "that one lay on the line")
	b.accessible()
	// The first corner again closes it.
	b.do(chromedp.MouseClickXY(x-78, y-78))
	b.painted("0")
	assert.Contains(t, b.text("says"), "of "+drawn+" acres")

	// Afterwards a corner is dragged, and what was changed stays.
	b.set("set-track-loader-limit", "20%")
	b.painted("1")
	b.do(chromedp.Click("#tab-putting", chromedp.ByQuery), chromedp.Click("#move-corners", chromedp.ByQuery))
	b.until(`document.querySelector(".corner") !== null`)
	cx, cy := b.middle(`document.querySelector(".corner")`)
	b.drag(cx, cy, cx+40, cy+40)
	assert.NotContains(t, b.text("drawing-says"), "about "+drawn+" acres")
	moved := b.value(`/about ([0-9.]+) acres/.exec(document.getElementById("drawing-says").textContent)[1]`)
	b.shot("19-moving")
	first := b.mapID()
	b.do(chromedp.Click("#drawing-done", chromedp.ByQuery))
	b.until(`document.getElementById("map").dataset.painted.split("/")[3] !== "` + first + `"`)
	b.painted("1")
	assert.Contains(t, b.text("says"), "of "+moved+" acres")
	assert.Equal(t, "20%", b.value(`document.getElementById("set-track-loader-limit").value`))
	b.clean()
}
