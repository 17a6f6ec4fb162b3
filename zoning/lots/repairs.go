package lots

import (
	"fmt"
	"math"
	"strconv"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
)

// Repairs counts the boundaries of a run that were not in order.
type Repairs struct {
	Done    int     // repaired
	Refused int     // not, since that would have changed more than is allowed
	MostPct float64 // of those repaired, the most that was changed, in percent of a lot's acres
}

func (r *Repairs) add(one zoning.Repair) {
	switch {
	case one.Done:
		r.Done++
		r.MostPct = max(r.MostPct, one.ChangedPct)
	case one.Refused:
		r.Refused++
	}
}

// Words says for people what was repaired and refused; "" for nothing.
func (r Repairs) Words() string {
	lots := func(n int, one, many string) string {
		if n == 1 {
			return "1 lot " + one
		}
		return fmt.Sprintf("%d lots %s", n, many)
	}
	words := ""
	if r.Done > 0 {
		words = lots(r.Done, "was", "were") + fmt.Sprintf(" repaired, which changed at most %s%% of one", changedText(r.MostPct))
	}
	if r.Refused > 0 {
		if words != "" {
			words += "; "
		}
		words += lots(r.Refused, "was", "were") + " refused, whose repair would change more than is allowed (" + setting.Name("repair") + ")"
	}
	return words
}

// Words for the column repaired.
const (
	wasRepaired   = "yes"
	repairRefused = "refused"
)

// repairCells are the columns repaired and changed_pct, blank where a boundary was in
// order.
func repairCells(r zoning.Repair) []string {
	switch {
	case r.Done:
		return []string{wasRepaired, changedText(r.ChangedPct)}
	case r.Refused:
		return []string{repairRefused, changedText(r.ChangedPct)}
	}
	return []string{"", ""}
}

// changedText writes percent with four decimals at most, upward: what changes a little is
// not written as none. Below a millionth of a percent is what rounding leaves.
func changedText(pct float64) string {
	if pct < 1e-6 {
		return "0"
	}
	return strconv.FormatFloat(math.Ceil(pct*1e4-1e-6)/1e4, 'f', -1, 64)
}
