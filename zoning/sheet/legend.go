package sheet

import (
	"image"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/text"
)

// legendRow is a band in the legend.
type legendRow struct {
	band         int
	name         string
	lines        []string
	acres, share string
}

func legendRows(t totals, fleet zoning.Fleet, view zoning.View) []legendRow {
	rows := make([]legendRow, 0, len(t.bands))
	for i, b := range t.bands {
		r := legendRow{band: i, name: text.OneLine(b.Name), acres: t.acresText(b.acres), share: t.shareText(b.acres)}
		switch {
		case !view.Has(fleet, i), b.acres == 0 && (view == zoning.AsPlanned || b.Key == zoning.NoGoKey):
			continue
		case b.Key == zoning.NeedsMachineKey:
			r.name, r.lines = "Machine not brought", []string{"not cleared by this crew"}
		case b.Key == zoning.WaitsDryKey:
			r.name, r.lines = "Waits for dry ground", []string{"not cleared while it is wet"}
		case b.Key == zoning.NoGoKey:
			r.name, r.lines = "No-go", []string{"closed to machines"}
		case b.Machine >= 0:
			r.lines = machineLines(t, b, fleet[b.Machine])
		case b.Key == zoning.NoMachineKey:
			r.name, r.lines = "No machine", []string{"hand work or leave"}
		default:
			r.lines = []string{"slope unknown: walk it first"}
		}
		rows = append(rows, r)
	}
	return rows
}

func machineLines(t totals, b bandTotal, m zoning.Machine) []string {
	lines := []string{"up to " + limitText(m.SteepestPct()) + " slope"}
	if walk := b.walkAcres(); walk > 0 { // not where it is not known
		lines[0] += "; walk " + t.areaText(walk) + " first"
	}
	if b.sightAcres > 0 {
		lines = append(lines, t.areaText(b.sightAcres)+" to sight from toe or crest")
	}
	procedure, tether := b.procedureAcres > 0, b.tetherAcres > 0
	if procedure && tether && m.ProcedureAbovePct == m.TetherAbovePct {
		return append(lines, t.over(b.procedureAcres, m.ProcedureAbovePct, "procedure and tether"))
	}
	if procedure {
		lines = append(lines, t.over(b.procedureAcres, m.ProcedureAbovePct, "written procedure"))
	}
	if tether {
		lines = append(lines, t.over(b.tetherAcres, m.TetherAbovePct, "tether"))
	}
	return lines
}

func (t totals) over(acres, pct float64, asks string) string {
	return asks + " above " + limitText(pct) + ": " + t.areaText(acres)
}

// Columns of the legend, from its right end.
const (
	shareWidth  = 58
	acresWidth  = 92
	swatchWidth = 52
	swatchTall  = 34
	lineTall    = 17
	rowGap      = 10
)

// legendHead writes what the columns of a legend are and returns where the
// first row begins.
func (p *page) legendHead(x, y, width int, units measure.Units) int {
	base := y + smallStyle.ascent()
	p.put(x, base, width, smallStyle, palette.SoftInk, "zone: machine and its limit")
	p.putRight(x+width-shareWidth, base, smallStyle, palette.SoftInk, units.Areas())
	p.putRight(x+width, base, smallStyle, palette.SoftInk, "share")
	y = base + smallStyle.descent() + 5
	p.bars = append(p.bars, bar{image.Rect(x, y, x+width, y+1), palette.Ink})
	return y + rowGap
}

func (p *page) legendRow(x, y, width int, r legendRow) int {
	p.swatches = append(p.swatches, swatch{image.Rect(x, y+1, x+swatchWidth, y+1+swatchTall), r.band})
	left, right := x+swatchWidth+12, x+width
	base := y + boldStyle.ascent() - 1
	numbers := right - shareWidth - acresWidth
	p.put(left, base, numbers-left, boldStyle, palette.Ink, r.name)
	p.putRight(right-shareWidth, base, boldStyle, palette.Ink, r.acres)
	p.putRight(right, base, bodyStyle, palette.Ink, r.share)
	for _, line := range r.lines {
		base += lineTall
		p.put(left, base, right-left, smallStyle, palette.SoftInk, line)
	}
	return max(y+1+swatchTall, base+smallStyle.descent()) + rowGap
}

func (p *page) legendTotal(x, y, width int, t totals) int {
	p.bars = append(p.bars, bar{image.Rect(x, y, x+width, y+1), palette.Ink})
	base := y + 7 + boldStyle.ascent()
	label := "Parcel"
	if t.lots > 1 {
		label = "All lots"
	}
	p.put(x, base, width-shareWidth-acresWidth, boldStyle, palette.Ink, label)
	p.putRight(x+width-shareWidth, base, boldStyle, palette.Ink, t.acresText(t.acres))
	p.putRight(x+width, base, bodyStyle, palette.Ink, t.shareText(t.acres))
	return base + boldStyle.descent()
}
