package sheet

import (
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// How many spots are shown on a map, and how many are named: more would hide the
// ground.
const (
	mostChecks     = 120
	mostCheckNames = 40
)

// checks are the spots to measure, where a person stands for them.
func (k *marker) checks() {
	c := k.page.Checks
	if c == nil {
		return
	}
	if n := len(c.Spots); n > mostChecks {
		k.explain(keyEntry{words: "Field checks", more: grouped(float64(n), 0) + " spots, too many to draw: see their list"})
		return
	}
	for _, s := range c.Spots {
		at, spot := k.at(s.Stand()), k.at(s.At)
		if !k.frame.Has(at) {
			continue
		}
		k.explain(checkEntry())
		if !k.take(drawing.Around(at, 4.4*k.text, 4.4*k.text)) {
			k.thin[checkWords]++
			continue
		}
		k.standing = append(k.standing, name{at, s.ID})
		if s.Sight != nil {
			for _, piece := range drawing.ClipLine([]drawing.Point{at, spot}, k.frame) {
				k.out = append(k.out, drawing.Path{Lines: [][]drawing.Point{piece}, Stroke: drawing.Solid(palette.Ink), Width: 0.7, Dash: []float64{1.6, 1.4}})
			}
		}
		k.out = append(k.out, disc(at, 2.1*k.text, drawing.Solid(palette.Paper), drawing.Solid(palette.Ink)))
	}
}

const checkWords = "Field check"

func checkEntry() keyEntry {
	return keyEntry{words: checkWords, more: "stand here; a broken line leads to what is sighted", swatch: []drawing.Shape{
		drawing.Path{Lines: [][]drawing.Point{{swatchMiddle, {X: keyWide - 3, Y: 3}}}, Stroke: drawing.Solid(palette.Ink), Width: 0.7, Dash: []float64{1.6, 1.4}},
		disc(swatchMiddle, 2.6, drawing.Solid(palette.Paper), drawing.Solid(palette.Ink))}}
}

// checkNames writes the names of spots that are drawn beside them where there is room.
func (k *marker) checkNames() {
	if len(k.standing) > mostCheckNames {
		return
	}
	size := checkSize * k.text
	for _, s := range k.standing {
		w, h := plateSize(size, 1, []string{s.words})
		if b, ok := k.room.beside(s.at, 2.2*k.text, w, h); ok {
			k.plate(b, size, 1, []string{s.words})
		}
	}
}
