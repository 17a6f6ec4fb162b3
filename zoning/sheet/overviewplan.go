package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning/sheet/internal/scripts"
	"github.com/acreband/acreband/zoning/text"
)

// Round is what one machine does of a run's lots: it moves in once, and goes from lot
// to lot. Each zone is the work of its band's machine.
type Round struct {
	Machine  string // its name
	Lots     int
	Scraps   int // of Lots, those whose ground for it is too little to count, see [Counts]
	Acres    float64
	Days     float64 // of one machine of the kind; 0 where they are not known
	RoundM   float64 // through the middles of all its lots and back, straight, in metres
	AtLeastM float64 // no such round is shorter
	Stops    []Stop  // the first [MostStops], in order
}

// Stop is a lot on a machine's round.
type Stop struct {
	Lot   string
	Acres float64
	Days  float64 // 0 where they are not known
	Scrap bool    // whether it is too little to count in what the lot needs
}

// MostStops is how many stops of a round a sheet lists.
const MostStops = 60

// OverLeastPct is how far the round may be over the shortest there is, at most, in
// percent.
func (r Round) OverLeastPct() float64 {
	if !(r.AtLeastM > 0) {
		return 0
	}
	return 100 * (r.RoundM/r.AtLeastM - 1)
}

type roundHTML struct {
	Machine, Words string
	Stops          []stopHTML
	Rest           string
}

type stopHTML struct{ Name, Words string }

// plan tells what each machine does, having moved in once.
func (o *Overview) plan(r Run) section {
	s := section{ID: "plan", Heading: "Shared plan: machines move in once"}
	if len(r.Rounds) == 0 {
		s.Lines = []string{"No machine of the fleet has work."}
		return s
	}
	head := []string{"machine", "lots", o.units.Areas(), "round, " + o.units.LongLengths(), "over the least, at most"}
	if r.Cover != "" {
		head = append(head, "days")
	}
	rows := [][]string{head}
	scraps := 0
	for _, m := range r.Rounds {
		row := []string{text.OneLine(m.Machine), grouped(float64(m.Lots), 0), o.acresText(m.Acres), strconv.FormatFloat(o.units.Miles(m.RoundM), 'f', 1, 64),
			fmt.Sprintf("%.0f%%", m.OverLeastPct())}
		if r.Cover != "" {
			row = append(row, grouped(m.Days, 1))
		}
		rows = append(rows, row)
		scraps += m.Scraps
	}
	s.Tables = []table{{Rows: rows, Words: 1}}
	s.Items = []string{"A round goes straight from middle to middle of a machine's lots and back to the first: roads are longer."}
	if r.Cover != "" {
		s.Items = append(s.Items, "Days are of one machine under "+r.Cover+" cover, by the figures of the fleet file, without walking; weather, moves and machines that keep apart are not in them. An estimate.")
	} else {
		s.Items = append(s.Items, "Days are not figured: nobody said what grows there. Say it with "+setting.Name("cover")+" open, light, medium or heavy.")
	}
	if scraps > 0 {
		s.Items = append(s.Items, "A machine's round goes to every lot with ground of its zone. Where that is too little to count in what the lot needs it is in brackets: it may pay to leave it, or to take it by hand.")
	}
	return s
}

// roundLists are the orders of lots, for each machine.
func (o *Overview) roundLists(r Run) []roundHTML {
	var out []roundHTML
	for _, m := range r.Rounds {
		h := roundHTML{Machine: text.OneLine(m.Machine), Words: "Order of its " + lotsText(m.Lots)}
		if m.Scraps > 0 {
			h.Words += fmt.Sprintf(", of %d of which it has too little ground to count", m.Scraps)
		}
		h.Words += ":"
		for _, s := range m.Stops {
			h.Stops = append(h.Stops, stopHTML{scripts.InOrder(text.OneLine(s.Lot)), o.stopWords(s)})
		}
		if rest := m.Lots - len(m.Stops); rest > 0 {
			h.Rest = "and " + lotsText(rest) + ": the whole order is in plan.csv (" + setting.Name("write") + " plan.csv)"
		}
		out = append(out, h)
	}
	return out
}

func (o *Overview) stopWords(s Stop) string {
	parts := []string{o.areaText(s.Acres)}
	if s.Days > 0 {
		parts = append(parts, daysText(s.Days))
	}
	words := strings.Join(parts, ", ")
	if s.Scrap {
		return "(" + words + ")"
	}
	return words
}

// daysText writes days to the tenth.
func daysText(days float64) string {
	if days < 0.05 {
		return "<0.1 days"
	}
	return grouped(days, 1) + " days"
}
