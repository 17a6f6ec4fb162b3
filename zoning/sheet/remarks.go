package sheet

import (
	"fmt"
	"image"
	"image/color"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
)

// maxWarnings is how many warnings a picture writes out.
const maxWarnings = 8

// remarks are what every reader of a map must know beside its figures.
type remarks struct{ warnings, cautions []string }

func remarksOf(t totals, zm *zoning.ZoneMap) remarks {
	warnings := append(zm.Warnings[:len(zm.Warnings):len(zm.Warnings)], notesOf(zm.Lots)...)
	if left := len(warnings) - maxWarnings; left > 0 {
		warnings = append(warnings[:maxWarnings:maxWarnings], fmt.Sprintf("%d more: see zones.geojson", left))
	}
	return remarks{warnings, cautionsOf(t, zm)}
}

// notesOf gathers what was said about the boundaries of lots.
func notesOf(lots []zoning.LotMap) []string {
	var notes []string
	for _, lot := range lots {
		for _, n := range lot.Notes {
			notes = append(notes, lot.Lot+": "+n)
		}
	}
	return notes
}

// cautionsOf are a map's cautions and those of machines that have ground in it.
func cautionsOf(t totals, zm *zoning.ZoneMap) []string {
	cautions := zm.Cautions[:len(zm.Cautions):len(zm.Cautions)]
	for i, m := range zm.Fleet {
		if m.Caution != "" && t.bands[i].acres > 0 {
			cautions = append(cautions, m.Name+": "+m.Caution)
		}
	}
	return cautions
}

// paragraphGap is the space below a paragraph of small type.
const paragraphGap = 4

// leastColumn is the width of the narrowest column of remarks where there are
// two.
const leastColumn = 380

// remarks writes warnings, and below them cautions, and returns where they end.
func (p *page) remarks(x, y, width int, r remarks) int {
	y = p.remarksOn(x, y, width, "warnings", smallBoldStyle, palette.Ink, r.warnings)
	if len(r.warnings) > 0 && len(r.cautions) > 0 {
		y += rowGap
	}
	return p.remarksOn(x, y, width, "cautions", smallStyle, palette.SoftInk, r.cautions)
}

// remarksBeside writes remarks beside the ground, from y down, as far as they fit
// there: all of them, or the warnings. The others go under the ground, as wide as
// the page. It returns where all ends.
func (p *page) remarksBeside(y int, r remarks) int {
	x, end := p.ground.Max.X+gap, p.ground.Max.Y
	for _, part := range []remarks{r, {warnings: r.warnings}} {
		if y+p.remarksTall(panelWidth, part) > end {
			continue
		}
		p.remarks(x, y, panelWidth, part)
		r.warnings = nil
		if part.cautions != nil {
			r.cautions = nil
		}
		break
	}
	if r.warnings == nil && r.cautions == nil {
		return end
	}
	return p.remarks(margin, end+gap, x+panelWidth-margin, r) + gap/2
}

// remarksTall is how tall remarks are at a width.
func (p *page) remarksTall(width int, r remarks) int {
	return (&page{}).remarks(0, 0, width, r)
}

// remarksOn writes remarks of one kind under their heading, in two columns of
// about the same height where the width allows it.
func (p *page) remarksOn(x, y, width int, heading string, s style, c color.RGBA, all []string) int {
	if len(all) == 0 {
		return y
	}
	base := y + smallStyle.ascent()
	p.put(x, base, width, smallStyle, palette.SoftInk, heading)
	y = base + smallStyle.descent() + 5
	p.bars = append(p.bars, bar{image.Rect(x, y, x+width, y+1), palette.Ink})
	y += rowGap - paragraphGap

	if width < 2*leastColumn+gap {
		return p.paragraphs(x, y, width, s, c, p.set(s, width, all))
	}
	column := (width - gap) / 2
	set := p.set(s, column, all)
	first, best := 0, tall(set)
	for i := range set {
		if h := max(tall(set[:i+1]), tall(set[i+1:])); h < best {
			first, best = i+1, h
		}
	}
	if first == 0 { // one alone
		return p.paragraphs(x, y, width, s, c, p.set(s, width, all))
	}
	return max(p.paragraphs(x, y, column, s, c, set[:first]),
		p.paragraphs(x+column+gap, y, column, s, c, set[first:]))
}

// set folds each text into the lines of a paragraph.
func (p *page) set(s style, width int, texts []string) [][]string {
	set := make([][]string, len(texts))
	for i, t := range texts {
		set[i] = s.folded(t, width)
	}
	return set
}

// tall is how many pixels paragraphs take.
func tall(set [][]string) int {
	h := 0
	for _, lines := range set {
		h += len(lines)*lineTall + paragraphGap
	}
	return h
}

// paragraphs writes paragraphs and returns where they end.
func (p *page) paragraphs(x, y, width int, s style, c color.RGBA, set [][]string) int {
	for _, lines := range set {
		for _, line := range lines {
			p.put(x, y+s.ascent(), width, s, c, line)
			y += lineTall
		}
		y += paragraphGap
	}
	return y
}
