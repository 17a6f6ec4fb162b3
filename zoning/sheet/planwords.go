package sheet

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/text"
)

// plan tells what to bring, how long it takes and, but to a crew, what it costs.
func (p *Page) plan(t totals) section {
	s := section{ID: planSection, Heading: "Plan: an estimate"}
	if p.Plan == nil {
		s.Heading = "Plan"
		s.Lines = []string{"None was made: what to bring and how long it takes is not on this sheet."}
		return s
	}
	switch r := p.rung(); {
	case r != nil && p.Crew: // the choice is the office's
		s.Tables = append(s.Tables, crewTable(t, r.Option), p.leftTable(t, r))
	case r != nil:
		s.Tables = append(s.Tables, p.ladderTable(t), crewTable(t, r.Option), p.leftTable(t, r))
		if f := p.ladderFigure(t); f != nil {
			s.Figures = append(s.Figures, f)
		}
	case len(p.Plan.Options) > 0:
		s.Tables = append(s.Tables, p.optionTable(t), crewTable(t, p.Plan.Options[0]))
	}
	if len(p.Plan.ByCover) > 0 {
		s.Tables = append(s.Tables, coverTable(t, p.Plan.ByCover))
	}
	s.Items = p.planRemarks(t)
	return s
}

func (p *Page) optionTable(t totals) table {
	head := []string{"plan", "bring", t.units.Areas(), "left", "hours", "days", "10 to 90%"}
	if !p.Crew {
		head = append(head, "price", "10 to 90%")
	}
	rows := [][]string{head}
	for _, o := range p.Plan.Options {
		worked := o.HandAcres
		for _, m := range o.Crew {
			worked += m.NetAcres
		}
		row := []string{o.Goals(), crewWords(o.Crew), t.acresText(worked), t.acresText(o.LeftAcres), grouped(o.ScheduledH, 1),
			text.Days(o.WorkingDays), text.Days(o.Days.P10) + " to " + text.Days(o.Days.P90)}
		if !p.Crew {
			row = append(row, dollars(o.PriceUSD), dollars(o.Price.P10)+" to "+dollars(o.Price.P90))
		}
		rows = append(rows, row)
	}
	return table{Rows: rows, Words: 2}
}

// crewTable tells what each machine of the recommended crew does.
func crewTable(t totals, o plan.Option) table {
	head := "machine"
	if o.Goal != "" {
		head += ", in the " + string(o.Goal) + " plan"
	}
	rows := [][]string{{head, "number", t.units.Areas(), "machine hours", "scheduled hours", "hours to move"}}
	for _, m := range o.Crew {
		rows = append(rows, []string{text.OneLine(m.Name), strconv.Itoa(m.Count), t.acresText(m.NetAcres), grouped(m.ProductiveH, 1),
			grouped(m.ScheduledH, 1), grouped(m.MovingH, 1)})
	}
	return table{Rows: rows, Words: 1}
}

func coverTable(t totals, by []plan.ByCover) table {
	rows := [][]string{{"if cover is", "bring", "left", "hours", "days"}}
	for _, c := range by {
		rows = append(rows, []string{c.Cover.String(), crewWords(c.Crew), t.acresText(c.LeftAcres), grouped(c.ScheduledH, 1), text.Days(c.WorkingDays)})
	}
	return table{Rows: rows, Words: 2}
}

// planRemarks are what goes with the tables of a plan.
func (p *Page) planRemarks(t totals) []string {
	var all []string
	add := func(format string, args ...any) {
		if words := p.forReader(text.OneLine(fmt.Sprintf(format, args...))); words != "" {
			all = append(all, words)
		}
	}
	if p.Plan.NetAcres < p.Plan.GrossAcres {
		add("%s net %s of %s.", t.acresText(p.Plan.NetAcres), t.units.Areas(), t.acresText(p.Plan.GrossAcres))
	}
	for _, permit := range p.Plan.Permits {
		switch {
		case p.comes(permit.Key):
			add("On the road: %s.", permit.Words)
		case p.mayCome(permit.Key):
			add("On the road, if it is brought: %s.", permit.Words)
		}
	}
	if p.Plan.Why != "" {
		add("%s", p.Plan.Why)
	}
	for _, r := range p.Plan.RuledOut {
		add("Stays home: %s: %s.", r.Key, r.Reason)
	}
	for _, n := range p.Plan.Notes {
		add("%s", n)
	}
	return all
}

// comes reports whether a machine is of the crew that the sheet is made for; where none is
// chosen, of any that the sheet tells of.
func (p *Page) comes(key string) bool {
	if r := p.rung(); r != nil {
		return brings(r.Crew, key)
	}
	return slices.ContainsFunc(p.Plan.Options, func(o plan.Option) bool { return brings(o.Crew, key) }) ||
		slices.ContainsFunc(p.Plan.ByCover, func(c plan.ByCover) bool { return brings(c.Crew, key) })
}

// mayCome reports whether a machine is of another crew that the office may choose.
func (p *Page) mayCome(key string) bool {
	return !p.Crew && slices.ContainsFunc(p.Plan.Ladder, func(r plan.Rung) bool { return brings(r.Crew, key) })
}

func brings(crew []plan.Brought, key string) bool {
	return slices.ContainsFunc(crew, func(b plan.Brought) bool { return b.Key == key })
}

// ofMoney tells whether words speak of it.
var ofMoney = regexp.MustCompile(`(?i)\$|\b(price|cost|quote|margin|overhead|contingency|budget|charge|dollars?)`)

// forReader leaves out of what is written what its reader is not to see: a list's
// items, or all of it, where they speak of money and the reader is the crew.
func (p *Page) forReader(words string) string {
	if !p.Crew || !ofMoney.MatchString(words) {
		return words
	}
	label, list, isList := strings.Cut(words, ": ")
	if !isList || !strings.Contains(list, "; ") {
		return ""
	}
	var items []string
	for _, item := range strings.Split(list, "; ") {
		if !ofMoney.MatchString(item) {
			items = append(items, item)
		}
	}
	if len(items) == 0 || ofMoney.MatchString(label) {
		return ""
	}
	return label + ": " + strings.Join(items, "; ")
}

func crewWords(crew []plan.Brought) string {
	var names []string
	for _, b := range crew {
		name := text.OneLine(b.Name)
		if b.Count > 1 {
			name = fmt.Sprintf("%d × %s", b.Count, name)
		}
		names = append(names, name)
	}
	if len(names) == 0 {
		return "no machine"
	}
	return strings.Join(names, ", ")
}

func dollars(usd float64) string { return "$" + grouped(usd, 0) }
