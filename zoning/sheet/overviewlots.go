package sheet

import (
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/sheet/internal/scripts"
	"github.com/acreband/acreband/zoning/text"
)

type lotTableHTML struct {
	Words  string
	Head   []string
	Groups []lotGroupHTML
}

type lotGroupHTML struct {
	Swatch      template.HTML
	Words, More string
	Rows        []lotRowHTML
	Rest        string // how many more there are; "" for none
}

type lotRowHTML struct {
	Name, Acres string
	Bar         template.HTML
	Cells       []string
	Notes       string
}

// lotTable lists lots, those that need most first: they ask for thought, and a list
// that is cut short loses those that ask for least.
func (o *Overview) lotTable() *lotTableHTML {
	if o.mapped == 0 {
		return nil
	}
	shown := o.bandsListed()
	t := &lotTableHTML{Head: []string{"lot", o.units.Areas(), "its ground"}}
	for _, b := range shown {
		t.Head = append(t.Head, bandName(o.fleet, b))
	}
	if o.sure {
		t.Head = append(t.Head, checkHead)
	}
	if o.hazards {
		t.Head = append(t.Head, "hazards near")
	}
	t.Words = fmt.Sprintf("%s of each lot by zone, lots that need most first. A lot stands under the last machine of the fleet, in its order, whose ground counts: "+
		"%.0f%% of the lot, or %s. In brackets: too little to count. The bar shows the shares in the order of the columns.", o.units.Either("Acres", "Hectares"), 100*needShare, needAreaText(o.units))
	if o.walk > 0 {
		t.Words += fmt.Sprintf(" Walk first: more than %.0f%% of the lot is to be verified on foot.", 100*walkShare)
	}
	if o.hazards {
		t.Words += " Hazards are in zones.geojson."
	}
	for k := len(o.groups) - 1; k >= 0; k-- {
		g, n := o.groups[k], need(k)
		if g.lots == 0 {
			continue
		}
		group := lotGroupHTML{Swatch: n.swatch(len(o.fleet)), Words: n.words(o.fleet), More: o.groupWords(&g)}
		for _, l := range g.listed {
			group.Rows = append(group.Rows, o.lotRow(l, shown))
		}
		if rest := g.lots - len(g.listed); rest > 0 {
			group.Rest = fmt.Sprintf("and %s that need less of it: the rest is in lots.csv", lotsText(rest))
		}
		t.Groups = append(t.Groups, group)
	}
	return t
}

// bandsListed are the bands of which a listed lot has ground.
func (o *Overview) bandsListed() (bands []int) {
	any := make([]bool, len(o.fleet)+palette.Rest)
	for _, g := range o.groups {
		for _, l := range g.listed {
			for _, z := range l.Zones {
				any[z.Band] = any[z.Band] || z.Acres > 0
			}
		}
	}
	for b, is := range any {
		if is {
			bands = append(bands, b)
		}
	}
	return bands
}

func (o *Overview) lotRow(l listedLot, shown []int) lotRowHTML {
	acres := l.BandAcres(len(o.fleet) + palette.Rest)
	row := lotRowHTML{Name: scripts.InOrder(l.name()), Acres: o.acresText(l.Acres), Bar: o.bar(acres, l.Acres)}
	if row.Name == "" {
		row.Name = "at place " + strconv.Itoa(l.Place)
	} else if number, numbered := legibleName(l.Lot, l.Place); numbered { // as on the map
		row.Name += " (" + number + ")"
	}
	for _, b := range shown {
		row.Cells = append(row.Cells, o.countedText(acres[b], l.Acres))
	}
	if o.sure {
		row.Cells = append(row.Cells, o.verifyText(&l))
	}
	if o.hazards {
		row.Cells = append(row.Cells, countText(l.Hazards))
	}
	row.Notes = strings.Join(fewLotNotes(l.Notes), "; ")
	return row
}

// verifyText tells how much of a lot is to be verified on foot, and marks a lot that
// is to be walked first.
func (o *Overview) verifyText(l *listedLot) string {
	verify := verifyAcres(l.LotMap)
	switch {
	case verify == 0:
		return ""
	case l.walk:
		return "walk " + o.acresText(verify) + " first"
	}
	return o.acresText(verify)
}

// countedText writes acres, in brackets where they are too few to count.
func (o *Overview) countedText(acres, lotAcres float64) string {
	switch {
	case !(acres > 0):
		return ""
	case !Counts(acres, lotAcres):
		return "(" + o.acresText(acres) + ")"
	}
	return o.acresText(acres)
}

func countText(n int) string {
	if n == 0 {
		return ""
	}
	return grouped(float64(n), 0)
}

// mostLotNotes is how many notes on a lot's boundary stand with it.
const mostLotNotes = 2

func fewLotNotes(notes []string) []string {
	var out []string
	for i, n := range notes {
		if i == mostLotNotes {
			return append(out, fmt.Sprintf("%d more notes in lots.csv", len(notes)-i))
		}
		out = append(out, text.OneLine(n))
	}
	return out
}

// Size of the bar of a lot's ground.
const barLong, barHigh = 90.0, 12.0

// bar draws a lot's acres by band, stacked.
func (o *Overview) bar(acres []float64, all float64) template.HTML {
	var shapes []drawing.Shape
	sum := 0.0
	for b, a := range acres {
		if !(a > 0) || !(all > 0) {
			continue
		}
		box := drawing.Box{Left: 1 + (barLong-2)*sum/all, Top: 1, Right: 1 + (barLong-2)*(sum+a)/all, Bottom: barHigh - 1}
		sum += a
		shapes = append(shapes, drawing.Path{Lines: [][]drawing.Point{box.Ring()}, Closed: true,
			Fill: drawing.Solid(flatTint(palette.GroundOf(b, len(o.fleet)))), Stroke: drawing.Solid(palette.Ink), Width: 0.7})
	}
	return template.HTML(drawing.SVG(shapes))
}

// failureTable lists lots that failed; nil where none did.
func (o *Overview) failureTable() *section {
	if o.failed == 0 {
		return nil
	}
	rows := [][]string{{"lot", "place", "why it has no map"}}
	for _, l := range o.failures {
		rows = append(rows, []string{l.name(), strconv.Itoa(l.Place), text.OneLine(l.Failure)})
	}
	s := &section{ID: "failed", Heading: "Lots without a map", Tables: []table{{Rows: rows, Words: 3}}}
	if rest := o.failed - len(o.failures); rest > 0 {
		s.Items = []string{fmt.Sprintf("and %s: the rest is in failed.csv", lotsText(rest))}
	}
	return s
}
