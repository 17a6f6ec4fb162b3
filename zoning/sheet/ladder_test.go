package sheet

import (
	"context"
	"image/color"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// plannedPage is a job as planned: the loader works its own ground, the ground of the boom
// head waits, and that of the crawler needs it.
func plannedPage(t testing.TB) *Page {
	p := jobPage(t)
	limits := p.Map
	c, r := limits.Cells.Cols/2, limits.Cells.Rows/2
	limits.Cells.Masks[r*limits.Cells.Cols+c] = zoning.Unknown
	limits.Cells.Masks[(r-20)*limits.Cells.Cols+c] = zoning.NoGo
	planned, err := limits.AsPlanned(context.Background(), func(_, cell int) zoning.Mask {
		switch mask := limits.Cells.Masks[cell]; {
		case mask&1 != 0:
			return 1
		case mask&2 != 0:
			return zoning.WaitsDry
		case mask&4 != 0:
			return zoning.NeedsMachine
		}
		return 0
	})
	require.NoError(t, err)
	p.Map = planned
	option := p.Plan.Options[0]
	option.Crew = option.Crew[:1]
	whole := plan.Option{Crew: p.Plan.Options[0].Crew, WorkingDays: 9, PriceUSD: 30000, Price: plan.Spread{P10: 25000, P90: 40000}}
	p.Plan.Ladder = []plan.Rung{
		{Option: option, Acres: 7, ExtraPerAcreUSD: math.NaN(), Left: []plan.Left{{Why: zoning.NeedsMachineKey, Acres: 6.25}, {Why: zoning.NoMachineKey, Acres: 3.75}}},
		{Option: whole, Acres: 13, ExtraPerAcreUSD: 2943, Left: []plan.Left{{Why: zoning.NoMachineKey, Acres: 4}}},
	}
	p.Plan.Why = "The least price per acre."
	return p
}

// The headline is the recommended rung; a crew's has no price.
func TestHeadlineCountsWhatTheCrewClears(t *testing.T) {
	p := plannedPage(t)
	tt := totalsOf(p.Map)
	of := tt.acresText(tt.acres)
	assert.Equal(t, "Track loader: clears 7.0 of "+of+" acres in 4.5 working days, $12,345 ($11,000 to $15,750 in 8 of 10 cases).", p.headline(tt))
	under := p.underHeadline(tt)
	require.Len(t, under, 1)
	assert.Contains(t, under[0], "Walk "+tt.acresText(tt.walkFirst())+" of these acres first. Not cleared: 10.0 acres: ")
	assert.Contains(t, under[0], "6.2, ")
	assert.Contains(t, under[0], "The least price per acre.")
	assert.Equal(t, tt.name+", as planned", p.title(tt))

	p.Crew = true
	assert.Equal(t, "Track loader: clears 7.0 of "+of+" acres in 4.5 working days.", p.headline(tt))
	assert.NotContains(t, p.underHeadline(tt)[0], "price")
	assert.Equal(t, tt.name+", as planned: for the crew", p.title(tt))
	assert.Empty(t, p.plan(tt).Figures, "the choice is the office's")
}

// What makes the answer void stands first, and on paper none of it is cut.
func TestStopsStandOverTheMap(t *testing.T) {
	p := plannedPage(t)
	assert.Equal(t, []string{"Warning: the elevation: 0.2 acres look like tree tops"}, p.alerts(totalsOf(p.Map)))
	p.Map.Access.Checked = false
	p.Map.Warnings = append(p.Map.Warnings, "RAISED"+" of the loader")
	alerts := p.alerts(totalsOf(p.Map))
	require.Len(t, alerts, 3)
	assert.Contains(t, alerts[0], "STOP: access is not checked")
	assert.Equal(t, "STOP: "+"RAISED"+" of the loader", alerts[1])
	assert.Equal(t, alerts, p.outlookOf(totalsOf(p.Map)).onPaper())
}

// Two more bands than by limits once ended the drawing where some ground was closed or
// unknown: hatching counted three bands beside the machines.
func TestEveryBandOfAPlannedMapIsHatched(t *testing.T) {
	m := painted(t, plannedPage(t), 500, 400)
	n := len(m.page.Map.Fleet)
	seen := map[uint8]bool{}
	for _, b := range m.bands {
		seen[b] = true
	}
	for _, b := range []int{0, n + palette.NeedsMachine, n + palette.WaitsDry, n + palette.NoGo} {
		assert.True(t, seen[uint8(b+1)], "band %d", b)
	}
	drawnInk := 0
	for _, s := range m.base {
		if path, is := s.(drawing.Path); is && path.Stroke == drawing.Solid(palette.Ink) && len(path.Lines) > 0 {
			drawnInk++
		}
	}
	assert.GreaterOrEqual(t, drawnInk, 3, "not brought, waits, no-go")
}

// The table and the picture of the ladder are the plan's rungs.
func TestLadderIsTheRungs(t *testing.T) {
	p := plannedPage(t)
	tt := totalsOf(p.Map)
	assert.Equal(t, [][]string{
		{"crew", "acres", "working days", "price", "10 to 90%", "each extra acre", "left"},
		{"1. Track loader (recommended)", "7.0", "4.5", "$12,345", "$11,000 to $15,750", "", "10.0"},
		{"2. Track loader, 2 × Remote crawler", "13.0", "9", "$30,000", "$25,000 to $40,000", "$2,943", "4.0"},
	}, p.ladderTable(tt).Rows)
	assert.Equal(t, [][]string{{"not cleared", "acres"}, {"needs a machine not brought", "6.2"}, {"no machine may work", "3.8"}}, p.leftTable(tt, p.rung()).Rows)

	f := p.ladderFigure(tt)
	var steps []drawing.Path
	for _, s := range f.shapes {
		if path, is := s.(drawing.Path); is {
			steps = append(steps, path)
		}
	}
	require.Len(t, steps, 2)
	size := func(i int) (wide, tall float64) {
		r := steps[i].Lines[0]
		return math.Abs(r[2].X - r[0].X), math.Abs(r[2].Y - r[0].Y)
	}
	w0, h0 := size(0)
	w1, h1 := size(1)
	assert.InDelta(t, 7.0/6, w0/w1, 1e-9, "acres of each step")
	assert.InDelta(t, 12345.0/30000, h0/h1, 1e-9, "prices from 0")
	assert.Equal(t, drawing.Solid(ladderColour), steps[0].Fill)
	assert.Equal(t, drawing.Solid(palette.Paper), steps[1].Fill)

	p.Plan.Ladder = p.Plan.Ladder[:1]
	assert.Nil(t, p.ladderFigure(tt), "nothing to compare")
}

// Success criterion 1.4.11 of WCAG 2.2 asks 3:1 of graphics, 1.4.3 asks 4.5:1 of text.
func TestLadderContrast(t *testing.T) {
	assert.GreaterOrEqual(t, contrast(ladderColour, palette.Paper), 3.0)
	assert.GreaterOrEqual(t, contrast(palette.Ink, ladderColour), 3.0, "its line")
	for _, c := range []color.RGBA{palette.Ink} {
		assert.GreaterOrEqual(t, contrast(c, palette.Paper), 4.5)
	}
}

// As planned, the acres on the other ground were once those of the whole fleet beside those
// of the crew.
func TestGroundConditionIsTheCrews(t *testing.T) {
	p := plannedPage(t)
	tt := totalsOf(p.Map)
	for _, line := range p.groundState(tt).Lines {
		assert.NotContains(t, line, "for machines")
	}
	rows := p.acresTables(tt).Tables[0].Rows
	assert.NotContains(t, rows[0], "if wet")
	for _, row := range rows {
		assert.Len(t, row, len(rows[0]))
	}
	for _, d := range p.worst(tt) {
		assert.NotContains(t, d.words, "Rain takes")
	}
	p.Map = p.Map.ByLimits()
	assert.Contains(t, p.acresTables(totalsOf(p.Map)).Tables[0].Rows[0], "if wet")
}

// The office sees beside the plan what other machines could work; a crew sees one map.
func TestLimitsAreASecondMapForTheOffice(t *testing.T) {
	p, tt, err := plannedPage(t).ready(true)
	require.NoError(t, err)
	all := p.contents(tt)
	require.NoError(t, p.addLimits(all))
	figures := all.of(planSection).Figures
	require.Len(t, figures, 2)
	assert.Contains(t, figures[1].Words, "by limits")
	var words []string
	for _, s := range figures[1].shapes {
		if text, is := s.(drawing.Text); is {
			words = append(words, text.Words)
		}
	}
	limits := totalsOf(p.Map.ByLimits())
	for _, b := range limits.bands[:3] {
		assert.Contains(t, strings.Join(words, " "), b.Name)
		assert.Contains(t, words, limits.acresText(b.acres)+" ac")
	}
	assert.NotContains(t, words, "Not brought")
	assert.NotEmpty(t, p.Map.Hazards, "those of the first map stay")

	p.Crew = true
	all = p.contents(tt)
	require.NoError(t, p.addLimits(all))
	assert.Empty(t, all.of(planSection).Figures)
}
