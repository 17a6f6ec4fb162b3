package sheet

import (
	"fmt"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/text"
)

// brief is what a terminal is told of the same job: paper and screen say it in the same words.
func (p *Page) brief() *Brief { return &Brief{Map: p.Map, Plan: p.Plan} }

// rung is the recommended crew; nil where none is.
func (p *Page) rung() *plan.Rung { return p.brief().rung() }

// headline counts what the crew clears; without one, what the machines loaded may work.
func (p *Page) headline(t totals) string {
	r := p.rung()
	if r == nil {
		return p.outlook().sentence(t)
	}
	if len(r.Crew) == 0 && r.Acres == 0 {
		return fmt.Sprintf("No machine: all of %s stay standing.", t.areaText(t.acres))
	}
	words := fmt.Sprintf("%s: clears %s of %s in %s", crewWords(r.Crew), t.acresText(r.Acres), t.areaText(t.acres), text.WorkingDays(r.WorkingDays))
	if !p.Crew {
		words += fmt.Sprintf(", %s (%s to %s in 8 of 10 cases)", dollars(r.PriceUSD), dollars(r.Price.P10), dollars(r.Price.P90))
	}
	return words + "."
}

// underHeadline are the acres to walk first, those not cleared by why, and why this crew.
func (p *Page) underHeadline(t totals) []string {
	r := p.rung()
	if r == nil {
		_, names, planned := p.loaded()
		from := "the whole fleet, since no plan chose a crew"
		if planned {
			from = "the crew of the " + string(p.Plan.Options[0].Goal) + " plan"
		}
		loaded := strings.Join(names, ", ")
		if loaded == "" {
			loaded = "no machine"
		}
		return []string{"Loaded: " + loaded + " (" + from + ")."}
	}
	var words []string
	if walk := t.walkFirst(); walk > 0 && p.Map.View == zoning.AsPlanned {
		words = append(words, "Walk "+t.acresText(walk)+" of these "+t.units.Areas()+" first.")
	}
	words = append(words, "Not cleared: "+p.brief().notCleared(t)[0]+".")
	if why := p.forReader(text.OneLine(p.Plan.Why)); why != "" {
		words = append(words, why)
	}
	return []string{strings.Join(words, " ")}
}

// walkFirst is the acres of machines that lie too near a limit to be sure of.
func (t totals) walkFirst() float64 {
	sum := 0.0
	for _, b := range t.bands {
		if b.Machine >= 0 && b.acres > b.sureAcres {
			sum += b.acres - b.sureAcres
		}
	}
	return sum
}

// alerts are what makes the answer void, and after it the warnings that change it.
func (p *Page) alerts(t totals) []string {
	var all []string
	for _, s := range p.brief().stops(t) {
		all = append(all, "STOP: "+s)
	}
	for _, w := range p.brief().warnings() {
		all = append(all, "Warning: "+w)
	}
	return all
}

// view is the map's view as it ends a title.
func (p *Page) view() string {
	words := ", " + p.Map.View.Words()
	if p.Crew {
		words += ": for the crew"
	}
	return words
}
