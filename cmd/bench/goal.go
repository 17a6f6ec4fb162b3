package main

import "fmt"

// What a change has to keep.
const (
	mostOverFloor   = 1.5 // times the floor
	leastUnderTools = 6.0 // times faster than the script
	mostPeakMB      = 150.0
	mostOverByHand  = 1.5 // times the run with the right tiles named
	mostOverSlope   = 3.0 // times the bands of slope alone
	mostTractGiB    = 1.0 // for 10 000 acres at 1 m, by slope alone
	mostWorkGiB     = 1.5 // the same with all rules
	mostWorkS       = 15.0
	mostUsualMS     = 250.0 // for a map of 45 acres with all that it writes unasked

	leastByTwoWorkers = 1.6   // times one worker's rate
	leastUnderScript  = 40.0  // times faster than the script, lot after lot
	mostLotMS         = 2.5   // for a lot with all rules, on two workers
	mostLotsMB        = 300.0 // whatever the number of lots
)

// goal is a figure and what it should be.
type goal struct {
	name  string
	is    float64
	rule  string // "at most", "at least" or "under"
	limit float64
	unit  string
}

func (g goal) met() bool {
	switch g.rule {
	case "at least":
		return g.is >= g.limit
	case "under":
		return g.is < g.limit
	}
	return g.is <= g.limit
}

func (g goal) String() string {
	verdict := "FAIL"
	if g.met() {
		verdict = "PASS"
	}
	return fmt.Sprintf("%-9s %6.2f%s   %s   goal: %s %g%s", g.name, g.is, g.unit, verdict, g.rule, g.limit, g.unit)
}
