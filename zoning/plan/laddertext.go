package plan

import (
	"fmt"
	"math"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// writeLadder writes the rungs: acres, days, price with its range and the price of each
// acre more, and below that the machines and what they leave.
func writeLadder(b *strings.Builder, p *Plan) {
	if len(p.Ladder) == 0 {
		return
	}
	rows := [][]string{{"rung", p.Units.Areas(), "working days", "price (10 to 90%)", "each extra " + p.Units.OneArea()}}
	for i, r := range p.Ladder {
		rows = append(rows, []string{fmt.Sprint(i + 1), acresText(p.wording(), r.Acres), text.Days(r.WorkingDays), r.priceText(), r.extraText(p.Units)})
	}
	table(b, rows)
	for i, r := range p.Ladder {
		words := crewText(r.Crew)
		if i == p.Recommended {
			words += " (recommended)"
			if r.Goal == AsAsked {
				words = crewText(r.Crew) + " (as asked)"
			}
		}
		if left := r.LeftText(p); left != "" {
			words += "; leaves " + left
		}
		prose(b, fmt.Sprintf("rung %d", i+1), words)
	}
	for _, w := range p.Ladder[max(p.Recommended, 0)].Waits {
		prose(b, "wet", fmt.Sprintf("%s wait for dry ground: %s works them then", areaText(p.wording(), w.Acres), w.Name))
	}
}

// extraText is the price of each acre more; nothing on the first rung.
func (r Rung) extraText(u measure.Units) string {
	if math.IsNaN(r.ExtraPerAcreUSD) {
		return ""
	}
	return "$" + perAreaText(u, r.ExtraPerAcreUSD)
}

// LeftText says what a rung leaves, by why; "" for nothing.
func (r Rung) LeftText(p *Plan) string {
	var parts []string
	for _, l := range r.Left {
		parts = append(parts, fmt.Sprintf("%s %s %s", acresText(p.wording(), l.Acres), p.Units.ShortArea(), l.Words()))
	}
	return strings.Join(parts, ", ")
}

// Words say why ground is left.
func (l Left) Words() string {
	if words, ok := leftWords[l.Why]; ok {
		return words
	}
	return l.Why
}

var leftWords = map[string]string{
	zoning.NeedsMachineKey: "needs a machine not brought",
	zoning.WaitsDryKey:     "waits for dry ground",
	zoning.NoMachineKey:    "no machine may work",
	zoning.UnknownKey:      "without elevation",
	zoning.NoGoKey:         "no-go",
	LeftByDays:             "no days left for",
	LeftByBudget:           "over the budget",
	LeftByChoice:           "not to be cleared",
}
