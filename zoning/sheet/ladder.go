package sheet

import (
	"fmt"
	"html/template"

	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/text"
)

// figure is a small picture of a section, and what it says to who does not see it.
type figure struct {
	Width, Height float64 // points
	Words         string
	shapes        []drawing.Shape
}

// SVG is the figure's shapes.
func (f *figure) SVG() template.HTML { return template.HTML(drawing.SVG(f.shapes)) }

// ladderTable are the crews to choose from, the recommended one marked.
func (p *Page) ladderTable(t totals) table {
	rows := [][]string{{"crew", t.units.Areas(), "working days", "price", "10 to 90%", "each extra " + t.units.OneArea(), "left"}}
	for i, r := range p.Plan.Ladder {
		extra := ""
		if r.ExtraPerAcreUSD == r.ExtraPerAcreUSD {
			extra = t.perAreaText(r.ExtraPerAcreUSD)
		}
		name := fmt.Sprintf("%d. %s", i+1, crewWords(r.Crew))
		if i == p.Plan.Recommended {
			name += " (recommended)"
		}
		left := 0.0
		for _, l := range r.Left {
			left += l.Acres
		}
		rows = append(rows, []string{name, t.acresText(r.Acres), text.Days(r.WorkingDays), dollars(r.PriceUSD),
			dollars(r.Price.P10) + " to " + dollars(r.Price.P90), extra, t.acresText(left)})
	}
	return table{Rows: rows, Words: 1}
}

// leftTable are the acres that the recommended crew does not clear, by why.
func (p *Page) leftTable(t totals, r *plan.Rung) table {
	rows := [][]string{{"not cleared", t.units.Areas()}}
	for _, l := range r.Left {
		if l.Acres >= leastTold {
			rows = append(rows, []string{l.Words(), t.acresText(l.Acres)})
		}
	}
	return table{Rows: rows, Words: 1}
}

// Measures of the picture of a ladder, in points.
const (
	ladderWide   = 256.0
	ladderTall   = 112.0
	ladderLeft   = 46.0 // of the axis of prices
	ladderBottom = 24.0 // under the axis of acres
	ladderTop    = 14.0
	ladderRight  = 12.0
	ladderText   = 7.0
)

// ladderColour fills the recommended rung.
var ladderColour = palette.Blue

// ladderFigure draws price over acres, each rung a step from the acres of the one below to
// its own; both axes begin at 0. nil where there is nothing to compare.
func (p *Page) ladderFigure(t totals) *figure {
	if len(p.Plan.Ladder) < 2 {
		return nil
	}
	most, acres := 0.0, 0.0
	for _, r := range p.Plan.Ladder {
		most, acres = max(most, r.PriceUSD), max(acres, r.Acres)
	}
	if !(most > 0) || !(acres > 0) {
		return nil
	}
	base := ladderTall - ladderBottom
	x := func(a float64) float64 { return ladderLeft + a/acres*(ladderWide-ladderLeft-ladderRight) }
	y := func(usd float64) float64 { return base - usd/most*(base-ladderTop) }
	f := &figure{Width: ladderWide, Height: ladderTall, Words: "Price over " + t.units.Areas() + ", a step for each crew of the table."}
	words := func(at drawing.Point, anchor drawing.Anchor, bold bool, words string) {
		f.shapes = append(f.shapes, drawing.Text{At: at, Anchor: anchor, Size: ladderText, Bold: bold, Colour: palette.Ink, Words: words})
	}
	from, written := 0.0, ladderLeft
	for i, r := range p.Plan.Ladder {
		step := drawing.Box{Left: x(from), Right: x(r.Acres), Top: y(r.PriceUSD), Bottom: base}
		fill := palette.Paper
		if i == p.Plan.Recommended {
			fill = ladderColour
		}
		f.shapes = append(f.shapes, drawing.Path{Lines: [][]drawing.Point{step.Ring()}, Closed: true,
			Fill: drawing.Solid(fill), Stroke: drawing.Solid(palette.Ink), Width: 0.8})
		words(drawing.Point{X: (step.Left + step.Right) / 2, Y: step.Top - 3}, drawing.Middle, i == p.Plan.Recommended, fmt.Sprint(i+1))
		if label := t.acresText(r.Acres); step.Right-drawing.Measure(label, ladderText, false) > written+3 {
			words(drawing.Point{X: step.Right, Y: base + 9}, drawing.Right, false, label)
			written = step.Right
		}
		from = r.Acres
	}
	words(drawing.Point{X: ladderLeft - 4, Y: y(most) + 3}, drawing.Right, false, dollars(most))
	words(drawing.Point{X: ladderLeft - 4, Y: base + 2}, drawing.Right, false, dollars(0))
	words(drawing.Point{X: ladderLeft, Y: base + 19}, drawing.Left, false, "Price over "+t.units.Areas()+" cleared; numbered as above. Filled: recommended.")
	return f
}
