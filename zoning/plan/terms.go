package plan

import (
	"fmt"
	"strings"
)

// Terms are what an owner asks of the choice of a crew: in a fleet file under job:, or for
// one plan. All may be left out.
type Terms struct {
	// Bring is the keys of the machines that come; one comes as often as it is named. None
	// leaves the choice to the plan.
	Bring []string
	// Days are the most working days that the job may take, moves in them; 0 any number.
	Days float64
	// BudgetUSD is the most that the price may be; 0 any price.
	BudgetUSD float64
	// WorthPerAcre is what an acre more is worth, by the price, in $/ac; 0 where nobody
	// says: then the crew of least price per acre is recommended.
	WorthPerAcre float64
}

// keys reads keys of machines, with commas between.
func keys(s string) ([]string, error) {
	var out []string
	for _, key := range strings.Split(s, ",") {
		if key = strings.TrimSpace(key); key == "" {
			return nil, &Error{fmt.Sprintf("%q names a machine with nothing", s), "write keys of machines with commas between: track-loader, remote-crawler"}
		}
		out = append(out, key)
	}
	return out, nil
}
