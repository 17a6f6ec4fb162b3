package main

import (
	"fmt"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/text"
)

// tellPlan tells people what each machine does of a run, in units.
func tellPlan(b *strings.Builder, u measure.Units, plan []sheet.Round) {
	if len(plan) == 0 {
		return
	}
	rows := [][]string{{"machine", "lots", u.Areas(), "days", "round, " + u.ShortLongLength(), "over the least"}}
	for _, s := range plan {
		days := ""
		if s.Days > 0 {
			days = fmt.Sprintf("%.1f", s.Days)
		}
		rows = append(rows, []string{text.OneLine(s.Machine), fmt.Sprint(s.Lots), fmt.Sprintf("%.*f", u.Decimals(1), u.Area(s.Acres)), days,
			fmt.Sprintf("%.1f", u.Miles(s.RoundM)), fmt.Sprintf("up to %.0f%%", s.OverLeastPct())})
	}
	text.ColumnsWithin(b, rows, 1, columns)
	text.Fold(b, "", "Each machine moves in once. Rounds go straight from middle to middle of lots: roads are longer. Days are of one machine, without walking; weather, moves and machines that keep apart are not in them.", columns)
}
