package sheet

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// bankPage is a job on ground that falls by 10% to the south, with a bank of 5 m in it, told as
// a drop-off.
func bankPage(t *testing.T, height func(x, y float64) float64) *Page {
	t.Helper()
	p := jobPageOn(t, scene{cols: 240, rows: 240, cell: 1, height: height}.grid(t))
	p.Map.Hazards = []zoning.Hazard{{Kind: zoning.DropOff, Words: "drop-off, up to 16 ft", Geometry: orb.LineString{degrees(-40, 0), degrees(0, 0), degrees(40, 0)}}}
	q, _, err := p.ready(false)
	require.NoError(t, err)
	return q
}

func bank(_, y float64) float64 {
	if y > 0 {
		return 300 + 0.1*y
	}
	return 295 + 0.1*y
}

// The worst danger was a sentence: how high the bank is beside the machine was left to guess.
func TestDangerFromTheSide(t *testing.T) {
	p := bankPage(t, bank)
	s := p.dangerSide()
	require.NotNil(t, s)
	assert.Equal(t, 1, s.number)
	assert.InDelta(t, sideLongM, s.LengthM(), 1e-6)
	assert.InDelta(t, 302, s.HeightsM[0], 0.06, "the upper end is first: the fall line runs north and south")
	assert.InDelta(t, 293, s.HeightsM[len(s.HeightsM)-1], 0.06)
	require.Equal(t, 0, s.machine, "the track loader works beside it")
	assert.InDelta(t, s.atM, s.standM, 5, "as near as its zone lets it")
	assert.Contains(t, s.tells(p.Map.Fleet)[0], "131 ft of ground straight down the fall through it, a drop of 30 ft; true to scale")
	assert.Contains(t, s.tells(p.Map.Fleet)[1], "Drawn: Track loader, 10 ft long")

	f := sideFrame{0, 100, 293, 6}
	shapes := s.standing(f, p.Map.Fleet)
	tracks := shapes[1].(drawing.Path).Lines[0]
	a, b := tracks[2], tracks[5] // its two ends
	assert.InDelta(t, 3*6, math.Hypot(a.X-b.X, a.Y-b.Y), 1e-6, "3 m at 6 points a meter")
	for _, st := range s.stretches(func(int) int { return 0 }) {
		line := s.surface(f, st, 0)
		assert.InDelta(t, sideLongM*6, line[len(line)-1].X-line[0].X, 1e-6)
		assert.InDelta(t, (302-293)*6, line[len(line)-1].Y-line[0].Y, 0.7, "heights and lengths alike")
	}
	assert.Equal(t, []int{0, 2, p.Map.Fleet.NoMachineBand()}, s.limitsMet(), "slope of cells runs over the edge of the bank")
}

// Nothing leads over ground that nobody measured, and where a fall cannot be told there is no
// picture.
func TestDangerFromTheSideUnknown(t *testing.T) {
	p := bankPage(t, func(x, y float64) float64 {
		if y < -5 && y > -12 {
			return math.NaN()
		}
		return bank(x, y)
	})
	s := p.dangerSide()
	require.NotNil(t, s)
	assert.Len(t, s.stretches(func(int) int { return 0 }), 2)
	assert.Contains(t, s.tells(p.Map.Fleet), "Dots: no elevation there.")
	assert.NotEmpty(t, s.unknown(sideFrame{0, 100, 293, 6}))
	assert.Nil(t, bankPage(t, func(x, y float64) float64 { return 300 }).dangerSide(), "level ground falls nowhere")
	p = bankPage(t, bank)
	p.dangers = []danger{{words: "somewhere"}}
	assert.Nil(t, p.dangerSide(), "no place")
	p = bankPage(t, bank)
	p.Map.Cells = nil
	assert.Nil(t, p.dangerSide())
}

// The picture is on paper where there is room: it adds no page, and cuts no list short.
func TestDangerFromTheSideOnPaper(t *testing.T) {
	for _, c := range []struct {
		assumed, planned int // lines more
		pages, page      int // how many, and the one that has it, from 1; 0 for none
	}{{0, 0, 2, 2}, {26, 0, 2, 0}, {40, 0, 3, 2}, {0, 50, 3, 3}, {300, 300, 3, 0}} {
		p := jobPage(t)
		for i := range c.assumed {
			p.Map.Assumed = append(p.Map.Assumed, fmt.Sprintf("assumption number %d, which goes on for a line or so before it comes to its end", i))
		}
		for i := range c.planned {
			p.Plan.Notes = append(p.Plan.Notes, fmt.Sprintf("line number %d of the plan", i))
		}
		l, err := p.layOut(true)
		require.NoError(t, err)
		pages := l.printed()
		found := 0
		for n, page := range pages {
			for _, s := range page.Shapes {
				if x, is := s.(drawing.Text); is && x.Words == "Danger 1 from the side" {
					found = n + 1
				}
			}
		}
		assert.Equal(t, []int{c.pages, c.page}, []int{len(pages), found}, "%d assumed, %d planned", c.assumed, c.planned)
	}
}
