package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/text"
)

func (b *Brief) parts(t totals) briefParts {
	p := briefParts{
		title:     b.title(t),
		elevation: briefPart{items: []string{briefElevation(b.Map)}, each: 2, most: 2, label: "elevation"},
		credit:    creditPart(b.Map),
		read:      briefPart{items: b.Read, each: 1, most: 2, label: "read"},
		bring:     briefPart{items: []string{b.bring(t)}, each: 6, most: 6, label: "BRING", style: green},
		stop:      briefPart{items: b.stops(t), each: 2, most: 7, label: "STOP", style: red},
		warned:    briefPart{items: b.warnings(), each: 2, most: 3, label: "WARNING", style: yellow},
		rungs:     rungTable{most: 7},
		wet:       briefPart{items: b.wet(t), each: 2, most: 2, label: "WET", style: bold},
		left:      briefPart{items: b.notCleared(t), each: 2, most: 3, label: "NOT CLEARED", style: bold},
		dangers:   briefPart{items: b.dangers(), each: 2, most: 6, label: "DANGERS", style: yellow},
		wrote:     briefPart{items: b.wrote(), each: 2, most: 2, label: "wrote"},
		next:      briefPart{each: 2, most: 2, label: "NEXT", style: bold},
	}
	if 2*len(p.stop.items) > p.stop.most {
		p.stop.each = 1 // that none is left out
	}
	p.rungs.rows, p.rungs.chosen = b.rungs(t)
	if b.Next != "" {
		p.next.items = []string{b.Next}
	}
	return p
}

// title is what the map is of, on what ground.
func (b *Brief) title(t totals) string {
	view := fmt.Sprintf(", %s, %s, %s ground", t.areaText(t.acres), b.Map.View.Words(), groundOf(b.Map))
	return text.Cut(t.name, BriefWidth-len(view)) + view
}

func groundOf(zm *zoning.ZoneMap) zoning.Moisture {
	if zm.Ground == "" {
		return zoning.Dry
	}
	return zm.Ground
}

// briefElevation is what heights a map rests on, and what there is to worry about in them.
func briefElevation(zm *zoning.ZoneMap) string {
	surveyed := "surveyed " + text.OneLine(zm.Surveyed)
	if zm.Surveyed == "" {
		surveyed = "survey date not known: the ground may have changed since"
	}
	if len(zm.Sources) == 0 {
		return surveyed
	}
	finest, coarsest := math.Inf(1), 0.0
	var units []string
	for _, s := range zm.Sources {
		finest, coarsest = min(finest, s.CellM[0], s.CellM[1]), max(coarsest, s.CellM[0], s.CellM[1])
		unit := "heights in " + zoning.UnitWords(s.Unit)
		if s.UnitFrom != "" {
			unit += " (" + s.UnitFrom + ")"
		}
		if !slices.Contains(units, unit) {
			units = append(units, unit)
		}
	}
	cells := lengthText(finest)
	if other := lengthText(coarsest); other != cells && len(zm.Sources) == 1 {
		cells += " × " + other
	} else if other != cells {
		cells += " to " + other
	}
	names := strings.TrimSuffix(rastersText(zm.Sources), ": ")
	return fmt.Sprintf("%s: %s m cells, %s; %s", text.Cut(names, 30), cells, strings.Join(units, ", "), surveyed)
}

// rung is the recommended crew; nil where none is.
func (b *Brief) rung() *plan.Rung {
	if b.Plan == nil || b.Plan.Recommended < 0 || b.Plan.Recommended >= len(b.Plan.Ladder) {
		return nil
	}
	return &b.Plan.Ladder[b.Plan.Recommended]
}

// mostCrew is how many characters a crew takes in a sentence: days and price follow it.
const mostCrew = 90

// bring is the recommended crew in a sentence.
func (b *Brief) bring(t totals) string {
	p, r := b.Plan, b.rung()
	switch {
	case p == nil:
		return "not planned"
	case r == nil && len(p.ByCover) > 0:
		return fmt.Sprintf("depends on the cover, which is not given for all of %s: hours for each class, and no price. Give %s for one.", t.areaText(p.NetAcres), setting.Name("cover"))
	case r == nil || len(r.Crew) == 0 && r.Acres == 0:
		return strings.TrimSpace(fmt.Sprintf("no machine: all of %s stay standing. %s", t.areaText(p.NetAcres), p.Why))
	}
	return strings.TrimSpace(fmt.Sprintf("%s: %s of %s in %s, %s (%s to %s in 8 of 10 cases). %s",
		text.Cut(crewWords(r.Crew), mostCrew), t.acresText(r.Acres), t.areaText(t.acres), text.WorkingDays(r.WorkingDays),
		dollars(r.PriceUSD), dollars(r.Price.P10), dollars(r.Price.P90), p.Why))
}

// rungs are the crews to choose from, and which of them is recommended; without a price
// they are those by what grows.
func (b *Brief) rungs(t totals) (rows [][]string, chosen int) {
	switch p := b.Plan; {
	case p == nil:
		return nil, 0
	case len(p.Ladder) > 0:
		return rungRows(t, p.Ladder), p.Recommended + 1
	case len(p.ByCover) > 0:
		return coverRows(t, p.ByCover), 0
	}
	return nil, 0
}

func rungRows(t totals, ladder []plan.Rung) [][]string {
	rows := [][]string{{"crew", t.units.Areas(), "days", "price", "10 to 90%", "extra " + t.units.OneArea()}}
	for _, r := range ladder {
		extra := ""
		if r.ExtraPerAcreUSD == r.ExtraPerAcreUSD {
			extra = t.perAreaText(r.ExtraPerAcreUSD)
		}
		rows = append(rows, []string{crewWords(r.Crew), t.acresText(r.Acres), text.Days(r.WorkingDays), dollars(r.PriceUSD),
			dollars(r.Price.P10) + "-" + grouped(r.Price.P90, 0), extra})
	}
	return rows
}

func coverRows(t totals, by []plan.ByCover) [][]string {
	rows := [][]string{{"if cover is", "left", "hours", "days"}}
	for _, c := range by {
		rows = append(rows, []string{c.Cover.String() + ": " + crewWords(c.Crew), t.acresText(c.LeftAcres), grouped(c.ScheduledH, 1), text.Days(c.WorkingDays)})
	}
	return rows
}

// stops are what makes the answer void.
func (b *Brief) stops(t totals) []string {
	var stops []string
	if b.Failed > 0 {
		stops = append(stops, fmt.Sprintf("%d of %d lots could not be mapped", b.Failed, b.Failed+t.lots))
	}
	return append(stops, oneLines(b.Map.Stops())...)
}

// oneLines are texts, each on one line.
func oneLines(texts []string) []string {
	out := make([]string, len(texts))
	for i, s := range texts {
		out[i] = text.OneLine(s)
	}
	return out
}

// warnings are the others that a map tells.
func (b *Brief) warnings() []string {
	stops := oneLines(b.Map.Stops())
	var others []string
	for _, w := range append(b.Map.Warnings[:len(b.Map.Warnings):len(b.Map.Warnings)], notesOf(b.Map.Lots)...) {
		if w = text.OneLine(w); !slices.Contains(stops, w) {
			others = append(others, w)
		}
	}
	return others
}

// wet tells what rain takes off the crew.
func (b *Brief) wet(t totals) []string {
	w, known := wetAcresOf(b.Map, crewMask(b.Map.Fleet, b.keys()))
	if !known {
		return nil
	}
	if r := b.rung(); r != nil && w.now > 0 { // the acres told above; of cells it may be half a one more
		w.now, w.loss = r.Acres, r.Acres*w.loss/w.now
	}
	if groundOf(b.Map) == zoning.Wet {
		words := fmt.Sprintf("drawn wet: %s for these machines, and %s more once it is dry", t.areaText(w.now), t.acresText(w.gain))
		if r := b.rung(); r != nil && len(r.Waits) > 0 {
			var by []string
			for _, wait := range r.Waits {
				by = append(by, text.OneLine(wait.Name)+" "+t.acresText(wait.Acres))
			}
			words += " (" + strings.Join(by, ", ") + ")"
		}
		return []string{words}
	}
	return []string{fmt.Sprintf("%s of these %s when it is wet; %s wait for dry ground", t.acresText(w.now-w.loss), t.areaText(w.now), t.acresText(w.loss))}
}

// notCleared are the acres that nobody works, by why.
func (b *Brief) notCleared(t totals) []string {
	sum := 0.0
	var why []string
	add := func(words string, acres float64) {
		if acres >= leastTold {
			sum += acres
			words, _, _ = strings.Cut(text.OneLine(words), ":")
			why = append(why, inText(words)+" "+t.acresText(acres))
		}
	}
	if r := b.rung(); r != nil {
		for _, left := range r.Left {
			words := nameOfBand(t, left.Why) // as the table of zones has it
			if words == "" {
				words = left.Words()
			}
			add(words, left.Acres)
		}
	} else {
		for _, band := range t.bands {
			if band.Machine < 0 {
				add(band.Name, band.acres)
			}
		}
	}
	if why == nil {
		return []string{"nothing"}
	}
	return []string{fmt.Sprintf("%s: %s", t.areaText(sum), strings.Join(why, ", "))}
}

// leastTold is ground too small to speak of, in acres.
const leastTold = 0.005

// nameOfBand is the name of the band with a key; "" for none.
func nameOfBand(t totals, key string) string {
	for _, band := range t.bands {
		if band.Key == key {
			return band.Name
		}
	}
	return ""
}

// mostDangers is how many dangers a brief names.
const mostDangers = 3

// keys are those of the machines of the crew; nil where none is chosen.
func (b *Brief) keys() (keys []string) {
	if r := b.rung(); r != nil {
		keys = []string{}
		for _, m := range r.Crew {
			keys = append(keys, m.Key)
		}
	}
	return keys
}

// dangers are the worst ones on or beside ground of the crew.
func (b *Brief) dangers() []string {
	var items []string
	for _, d := range CrewDangers(b.Map, b.keys(), mostDangers) {
		items = append(items, d.words())
	}
	switch {
	case items != nil:
	case slices.Contains(b.Map.Cautions, zoning.BySlopeAlone):
		return []string{"not looked for: slope alone was asked"}
	case slices.Contains(b.Map.Cautions, zoning.NoWaysAsked):
		return []string{"drop-offs were not looked for: the cells are too coarse"}
	default:
		return []string{"none in the data, which does not see a hole, a stump or a wire: walk it"}
	}
	return items
}

// wrote names the files that were written.
func (b *Brief) wrote() []string {
	if len(b.Files) == 0 {
		return nil
	}
	return []string{strings.TrimRight(b.Dir, `/\`) + ": " + strings.Join(b.Files, ", ")}
}

// creditPart names whose map the answer rests on; it is no part of one that rests on none.
func creditPart(zm *zoning.ZoneMap) briefPart {
	part := briefPart{label: "map", each: 1, most: 1}
	if credit := zm.Credit(); credit != "" {
		part.items = []string{credit + "; what it lacks may be there"}
	}
	return part
}
