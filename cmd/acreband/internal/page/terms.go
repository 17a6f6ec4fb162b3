package page

import (
	"cmp"
	"regexp"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
)

// Terms are what somebody asks of the choice of a crew: null is as the server was started,
// "" no such term.
type Terms struct {
	Bring  *string `json:"bring"`  // keys of machines that come, with commas between; "" leaves the choice to the plan
	Days   *string `json:"days"`   // working days, such as 8
	Budget *string `json:"budget"` // dollars of the price, such as 15000
	Worth  *string `json:"worth"`  // dollars for an acre or a hectare more, such as 1500, 1500/ac or 3700/ha
}

// into puts terms into a job. Plain numbers are dollars, days, and dollars for one of the units of
// area that people are told in.
func (t Terms) into(job *plan.Job, fleet zoning.Fleet, told measure.Units) error {
	for _, term := range []struct {
		key, before, after string
		value              *string
		none               func()
	}{
		{"bring", "", "", t.Bring, func() { job.Bring = nil }},
		{"days", "", "days", t.Days, func() { job.Days = 0 }},
		{"budget", "$", "", t.Budget, func() { job.BudgetUSD = 0 }},
		{"worth", "$", perArea(told), t.Worth, func() { job.WorthPerAcre, job.StandingPerAcre = 0, 0 }},
	} {
		if term.value == nil {
			continue
		}
		value := plainText(*term.value, mostReason)
		if value == "" {
			term.none()
			continue
		}
		if m := plainNumber.FindStringSubmatch(value); m != nil && term.key != "bring" {
			value = term.before + strings.ReplaceAll(m[1], ",", "") + cmp.Or(m[2], term.after)
		}
		if err := job.SetIn(told, term.key, value); err != nil {
			return atField(term.key, "%v", err)
		}
	}
	for _, key := range job.Bring {
		if indexOf(fleet, key) < 0 {
			return atField("bring", "the fleet has no machine %q", key)
		}
	}
	return nil
}

// plainNumber matches a number with or without a dollar sign, commas and what it is for each of.
var plainNumber = regexp.MustCompile(`^\$?\s*(\d[\d,]*(?:\.\d+)?)\s*(/(?:ac|ha))?$`)

// perArea is what stands behind a figure that is for each acre or hectare.
func perArea(u measure.Units) string { return "/" + u.ShortArea() }

// indexOf is the place of a machine in a fleet, -1 where it is not in it.
func indexOf(fleet zoning.Fleet, key string) int {
	for i, m := range fleet {
		if m.Key == key {
			return i
		}
	}
	return -1
}
