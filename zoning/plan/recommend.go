package plan

import (
	"fmt"
	"strings"

	"github.com/acreband/acreband/zoning/text"
)

// planOptions finds the ladder of a plan, the rung to recommend and the crews beside it.
func (p *planner) planOptions(plan *Plan) error {
	drawn, err := p.draw()
	if err != nil {
		return err
	}
	b := p.bidder()
	ladder, at, err := b.choose()
	if err != nil {
		return err
	}
	plan.Recommended = at
	var below *step
	for i := range ladder {
		plan.Ladder = append(plan.Ladder, b.rung(ladder[i], below, drawn))
		below = &ladder[i]
	}
	if at < 0 {
		plan.Options = []Option{b.option(Cheapest, b.start(make(crew, len(b.kinds))), drawn)}
		plan.Why = b.whyNothing()
		return nil
	}
	best := ladder[at]
	plan.workers = b.workers(best.assignment)
	plan.BreakEven = p.breakEven(best.crew)
	plan.Why = b.whyThis(plan, ladder)
	if len(p.job.Bring) > 0 {
		plan.Ladder[at].Goal = AsAsked
		plan.Options = []Option{plan.Ladder[at].Option}
		return nil
	}
	rows := []clearing{}
	for _, g := range b.goals(best.clearing) {
		if i := indexOfCrew(rows, g.clearing); i >= 0 {
			plan.Options[i].Also = append(plan.Options[i].Also, g.goal)
			continue
		}
		rows = append(rows, g.clearing)
		if len(rows) == 1 {
			plan.Options = append(plan.Options, plan.Ladder[at].Option)
			continue
		}
		plan.Options = append(plan.Options, b.option(g.goal, g.assignment, drawn))
	}
	return nil
}

// indexOfCrew finds the row that a clearing is no different from.
func indexOfCrew(rows []clearing, c clearing) int {
	for i, r := range rows {
		if r.assignment == c.assignment {
			return i
		}
	}
	return -1
}

// choose finds the ladder and the step to recommend: with a crew that is brought whatever
// else there is, that crew alone.
func (b *bidder) choose() ([]step, int, error) {
	if len(b.job.Bring) == 0 {
		ladder := b.job.steps(b.clearings())
		return ladder, b.worth(ladder, b.job.worth()), nil
	}
	k, err := b.brought()
	if err != nil {
		return nil, -1, err
	}
	ladder := b.job.steps([]clearing{b.clearing(b.assign(k, b.v.truck))})
	return ladder, len(ladder) - 1, nil
}

// brought is the crew that the owner brings.
func (p *planner) brought() (crew, error) {
	k := make(crew, len(p.kinds))
	for _, key := range p.job.Bring {
		at := -1
		for i, kind := range p.kinds {
			if kind.machine.Key == key {
				at = i
			}
		}
		if at < 0 {
			return nil, p.cannotBring(key)
		}
		if k[at]++; k[at] > p.kinds[at].owned {
			return nil, &Error{fmt.Sprintf("bring names %s %d times, and %d may come", key, k[at], p.kinds[at].owned),
				"raise owned: under plan: " + key + ", or bring fewer"}
		}
	}
	return k, nil
}

// cannotBring says why a machine that is to be brought does not come.
func (p *planner) cannotBring(key string) error {
	for _, r := range p.ruledOut {
		if r.Key == key {
			return &Error{fmt.Sprintf("bring names %s, which cannot come: %s", key, r.Reason), "bring another machine, or change what keeps it away"}
		}
	}
	var known []string
	for _, kind := range p.kinds {
		known = append(known, kind.machine.Key)
	}
	return &Error{fmt.Sprintf("bring names %q, and the fleet has no such machine", key), "write keys of the fleet: " + strings.Join(known, ", ")}
}

// whyNothing says why there is no rung.
func (b *bidder) whyNothing() string {
	workable := b.workable()
	switch {
	case workable <= leastExcludedAcres:
		return "No machine that can get here may work any of this ground."
	case len(b.job.Bring) > 0:
		return fmt.Sprintf("The crew that is brought clears nothing%s.", b.job.withinText())
	}
	return fmt.Sprintf("No crew clears anything%s.", b.job.withinText())
}

// withinText names the limits of a job, "" where it has none.
func (j *Job) withinText() string {
	var parts []string
	if l := j.limits(); finite(l.spanH) {
		parts = append(parts, text.Days(l.spanH/j.DayH)+" working days, moves in them")
	}
	if j.BudgetUSD > 0 {
		parts = append(parts, "a price of $"+moneyText(j.BudgetUSD))
	}
	if parts == nil {
		return ""
	}
	return " within " + strings.Join(parts, " and ")
}

// workable is the acres that the machines which can come, or hands, may clear with no
// limit of days and budget.
func (b *bidder) workable() (acres float64) {
	for _, l := range b.lumps {
		if len(l.ways) > 0 {
			acres += l.acres
		}
	}
	return acres
}

// whyThis says why a rung is recommended.
func (b *bidder) whyThis(plan *Plan, ladder []step) string {
	at, j, u := plan.Recommended, b.job, plan.Units
	within := j.withinText()
	switch {
	case len(j.Bring) > 0:
		return "The crew is the one that you bring" + within + "."
	case j.worth() > 0 && at == 0 && ladder[0].extraUSD > j.worth():
		return fmt.Sprintf("The least price per %s%s, $%s, is more than the $%s that %s is worth.", u.OneArea(), within, perAreaText(u, ladder[0].extraUSD), perAreaText(u, j.worth()), u.AnArea())
	case j.worth() > 0:
		return fmt.Sprintf("The largest crew%s whose extra %s cost no more than the $%s that %s is worth.", within, u.Areas(), perAreaText(u, j.worth()), u.AnArea())
	}
	words := "The least price per " + u.OneArea() + within + "."
	if all := b.workable(); ladder[0].acres < all/2 {
		words += fmt.Sprintf(" It clears less than half of the %s that machines of the fleet could work", areaText(plan.wording(), all))
		if len(ladder) > 1 {
			next := plan.Ladder[1]
			words += fmt.Sprintf(": %s clears %s for $%s, $%s for each %s more", crewText(next.Crew), areaText(plan.wording(), next.Acres),
				moneyText(next.PriceUSD), perAreaText(u, next.ExtraPerAcreUSD), u.OneArea())
		}
		words += "."
	}
	return words
}
