package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/acreband/acreband/zoning/sheet"
)

// tellPlan tells people what each machine does of a run.
func tellPlan(w io.Writer, plan []sheet.Round) {
	if len(plan) == 0 {
		return
	}
	const metresPerMile = 1609.344
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "machine\tlots\tacres\tdays\tround, mi\tover the least, at most\t")
	for _, s := range plan {
		days := ""
		if s.Days > 0 {
			days = fmt.Sprintf("%.1f", s.Days)
		}
		fmt.Fprintf(t, "%s\t%d\t%.1f\t%s\t%.1f\t%.0f%%\t\n", s.Machine, s.Lots, s.Acres, days, s.RoundM/metresPerMile, s.OverLeastPct())
	}
	_ = t.Flush() // to people: nothing depends on it
	fmt.Fprintln(w, "Each machine moves in once. Rounds go straight from middle to middle of lots: roads are longer. Days are of one machine, without walking; weather, moves and machines that keep apart are not in them.")
}
