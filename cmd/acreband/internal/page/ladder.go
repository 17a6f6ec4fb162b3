package page

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/text"
)

// crewOf is who comes, as the page tells it: the chosen rung of the ladder, and the others.
type crewOf struct {
	Ladder     []rungOf `json:"ladder"`
	Why        string   `json:"why"` // this rung
	NotCleared []string `json:"notCleared"`
	Waits      []string `json:"waits"` // for dry ground, by machine
}

// rungOf is a rung of the ladder, in words for its row and in figures for its picture.
type rungOf struct {
	Keys   []string   `json:"keys"` // of its machines
	Crew   string     `json:"crew"`
	Acres  string     `json:"acres"`
	Days   string     `json:"days"` // working and calendar days
	Price  string     `json:"price"`
	Range  string     `json:"range"` // of the price
	Extra  string     `json:"extra"` // price of each acre or hectare more; "" on the first
	Left   string     `json:"left"`
	Chosen bool       `json:"chosen"`
	At     [2]float64 `json:"at"`     // acres and price
	Spread [2]float64 `json:"spread"` // of the price
	Middle float64    `json:"middle"` // of the price: half of all cases are below
}

// machineOf is a machine that may be brought.
type machineOf struct {
	Key   string `json:"key"`
	Name  string `json:"name"`
	Comes bool   `json:"comes"` // as somebody fixed it
}

// termsOf are the terms of a plan as the page's fields show them.
type termsOf struct {
	Bring  []machineOf `json:"bring"`
	Days   string      `json:"days"`
	Budget string      `json:"budget"`
	Worth  string      `json:"worth"`     // of an acre or a hectare more
	File   string      `json:"worthFile"` // that, as the server was started
}

func termsOfJob(j, started *plan.Job, fleet zoning.Fleet, told measure.Units) *termsOf {
	t := &termsOf{Days: plainFigure(j.Days), Budget: plainFigure(j.BudgetUSD),
		Worth: plainFigure(toTheCent(told.PerArea(j.WorthPerAcre))), File: plainFigure(toTheCent(told.PerArea(started.WorthPerAcre)))}
	for _, m := range fleet {
		t.Bring = append(t.Bring, machineOf{m.Key, m.Name, slices.Contains(j.Bring, m.Key)})
	}
	return t
}

// plainFigure writes a number for a field; none is empty.
func plainFigure(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// chosenRung is the recommended rung of a plan, or that of the crew that is brought; nil
// where there is none.
func chosenRung(p *plan.Plan) *plan.Rung {
	if p == nil || p.Recommended < 0 || p.Recommended >= len(p.Ladder) {
		return nil
	}
	return &p.Ladder[p.Recommended]
}

// crew tells the ladder of a plan; nil where it has none.
func (t *tally) crew(p *plan.Plan) *crewOf {
	chosen := chosenRung(p)
	if chosen == nil {
		return nil
	}
	c := &crewOf{Why: p.Why, NotCleared: []string{}, Waits: []string{}}
	for i, r := range p.Ladder {
		row := rungOf{Keys: keysOf(r.Crew), Crew: crewWords(r.Crew), Acres: t.text(r.Acres), Days: fmt.Sprintf("%s working, %s calendar", text.Days(r.WorkingDays), text.Days(r.CalendarDays)),
			Price: usd(r.PriceUSD), Range: usd(r.Price.P10) + " to " + usd(r.Price.P90), Left: r.LeftText(p), Chosen: i == p.Recommended,
			At: [2]float64{r.Acres, r.PriceUSD}, Spread: [2]float64{r.Price.P10, r.Price.P90}, Middle: r.Price.P50}
		if !math.IsNaN(r.ExtraPerAcreUSD) {
			row.Extra = usd(t.units.PerArea(r.ExtraPerAcreUSD)) + " each extra " + t.units.OneArea()
		}
		c.Ladder = append(c.Ladder, row)
	}
	for _, l := range chosen.Left {
		c.NotCleared = append(c.NotCleared, fmt.Sprintf("%s: %s", t.areaText(l.Acres), l.Words()))
	}
	for _, w := range chosen.Waits {
		c.Waits = append(c.Waits, fmt.Sprintf("%s wait for dry ground: %s works them then", t.areaText(w.Acres), w.Name))
	}
	return c
}

// answers is what a plan answers: its crew in a sentence, or that none can come. Where what
// grows is not known there is no crew, and the map's own sentence stays.
func (t *tally) answers(p *plan.Plan, ofMap string) string {
	r := chosenRung(p)
	switch {
	case r == nil && len(p.ByCover) > 0:
		return ofMap
	case r == nil:
		return strings.TrimSpace(fmt.Sprintf("No machine: all of %s stay standing. %s", t.areaText(p.NetAcres), p.Why))
	}
	return fmt.Sprintf("Bring %s: %s of %s in %s, %s (%s to %s in 8 of 10 cases).",
		crewWords(r.Crew), t.text(r.Acres), t.areaText(t.acres), text.WorkingDays(r.WorkingDays), usd(r.PriceUSD), usd(r.Price.P10), usd(r.Price.P90))
}

// keysOf are the keys of a crew's machines.
func keysOf(crew []plan.Brought) []string {
	keys := []string{}
	for _, b := range crew {
		keys = append(keys, b.Key)
	}
	return keys
}

// crewWords name a crew.
func crewWords(crew []plan.Brought) string {
	var names []string
	for _, b := range crew {
		name := text.OneLine(b.Name)
		if b.Count > 1 {
			name = fmt.Sprintf("%d × %s", b.Count, name)
		}
		names = append(names, name)
	}
	if names == nil {
		return "no machine"
	}
	return strings.Join(names, ", ")
}

func usd(v float64) string { return "$" + text.Grouped(v, 0) }

// unloadOf is a place proposed to unload at.
type unloadOf struct {
	Words string     `json:"words"`
	At    [2]float64 `json:"at"`
}

// unloads are the places that the map proposes, for the crew that comes.
func (t *tally) unloads(zm *zoning.ZoneMap) []unloadOf {
	out := []unloadOf{}
	for _, p := range zm.Access.Proposed {
		words := fmt.Sprintf("%s: opens %s", text.Degrees(p.At), t.areaText(p.Acres))
		if p.SavedM > 0 {
			words += fmt.Sprintf(", saves %s of way", t.units.Length(p.SavedM))
		}
		if p.RoadM != nil {
			words += fmt.Sprintf(", %s from a road", t.units.Length(*p.RoadM))
		}
		out = append(out, unloadOf{words, [2]float64{round7(p.At[0]), round7(p.At[1])}})
	}
	return out
}
