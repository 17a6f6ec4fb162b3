package main

import "fmt"

// What a change has to keep.
const (
	mostOverFloor   = 1.6 // times the floor
	leastUnderTools = 6.0 // times faster than the script
	mostPeakMB      = 150.0
	mostOverByHand  = 1.5 // times the run with the right tiles named
	mostOverSlope   = 5.0 // times the bands of slope alone
	mostTractGiB    = 1.0 // for 10 000 acres at 1 m, by slope alone
	mostWorkGiB     = 2e9 / (1 << 30)

	leastByTwoWorkers = 1.6   // times one worker's rate
	leastUnderScript  = 30.0  // times faster than the script, lot after lot
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
