package sheet

import (
	"image"
	"math"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
)

// roundLength is the longest length of 1, 2 or 5 times a power of ten that is
// not above a limit.
func roundLength(limit float64) float64 {
	ten := math.Pow(10, math.Floor(math.Log10(limit)))
	for _, k := range []float64{5, 2} {
		if k*ten <= limit {
			return k * ten
		}
	}
	return ten
}

const (
	barTall   = 7
	scaleTall = 62
)

// scaleBar draws feet above a line and metres below it, both from the same
// zero, no longer than a width, and returns where it ends. Metric readers get metres alone.
func (p *page) scaleBar(x, y, width int, metresPerPixel float64, units measure.Units) int {
	room := float64(width-90) * metresPerPixel // the figure at the end needs the rest
	feet, metres := roundLength(room/zoning.MetresPerFoot), roundLength(room)
	feetPx, metresPx := feet*zoning.MetresPerFoot/metresPerPixel, metres/metresPerPixel
	middle := y + scaleTall/2

	if units == measure.Metric {
		feetPx = 0
	} else {
		p.ruler(x, middle-barTall, feetPx)
	}
	p.ruler(x, middle+1, metresPx)
	p.bars = append(p.bars, bar{image.Rect(x, middle, x+int(math.Round(max(feetPx, metresPx))), middle+1), palette.Ink})

	if above := middle - barTall - 5; units == measure.US {
		p.put(x, above, width, smallStyle, palette.SoftInk, "0")
		p.put(x+int(feetPx)-8, above, width, smallStyle, palette.SoftInk, grouped(feet, 0)+" feet")
	}
	below := middle + barTall + 5 + smallStyle.ascent()
	p.put(x, below, width, smallStyle, palette.SoftInk, "0")
	p.put(x+int(metresPx)-8, below, width, smallStyle, palette.SoftInk, grouped(metres, 0)+" meters")
	return y + scaleTall
}

// ruler is a bar of four parts, every other one filled.
func (p *page) ruler(x, y int, length float64) {
	at := func(i int) int { return x + int(math.Round(length*float64(i)/4)) }
	p.bars = append(p.bars, bar{image.Rect(at(0), y, at(4), y+barTall), palette.Ink})
	for i := 1; i < 4; i += 2 {
		p.bars = append(p.bars, bar{image.Rect(at(i), y+1, at(i+1)-1, y+barTall-1), palette.Paper})
	}
}
