package main

import (
	"cmp"
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
)

// planFlags are what is asked of a plan beside the figures of the fleet file.
type planFlags struct {
	Cover  string `placeholder:"CLASS" help:"Cover of ground of which no cover polygon tells it: open, light, medium or heavy. Without, the plan is hours for each class, and no price."`
	Days   int    `placeholder:"N" help:"Calendar days that the job may take; overrules window: in the fleet file."`
	Budget string `placeholder:"DOLLARS" help:"The most that the job may cost, before overhead and margin, such as 15000usd; overrules budget: in the fleet file."`

	class plan.Cover
}

// on checks the flags and sets those that go into the book.
func (f *planFlags) on(book *plan.Book) (err error) {
	if f.class, err = plan.ParseCover(f.Cover); err != nil {
		return usageError{fmt.Errorf("--cover: %w", err)}
	}
	if f.Days != 0 {
		if err := book.Job.Set("window", strconv.Itoa(f.Days)+"days"); err != nil {
			return usageError{fmt.Errorf("--days: %w", err)}
		}
	}
	if f.Budget != "" {
		// A shell takes $15000 for a variable and leaves 5000: a bare number is refused.
		usd, ok := strings.CutSuffix(f.Budget, "usd")
		if !ok && !strings.HasPrefix(f.Budget, "$") {
			return usageError{fmt.Errorf("--budget %q has no unit; write dollars as 15000usd", f.Budget)}
		}
		if err := book.Job.Set("budget", "$"+strings.TrimPrefix(usd, "$")); err != nil {
			return usageError{fmt.Errorf("--budget: %w", err)}
		}
	}
	return nil
}

// proposeUnloads puts into a map where its crew may unload.
func proposeUnloads(ground *mapping.Ground, zones *zoning.ZoneMap, bring *plan.Plan) (err error) {
	zones.Access.Proposed, err = plan.ProposeUnloads(context.Background(), ground, zones, bring)
	return err
}

// plan makes the plan of a map. What is at odds in its figures is a fault of the fleet
// file.
func (f *planFlags) plan(ground *mapping.Ground, zones *zoning.ZoneMap, job groundJob, fleetFile string) (*plan.Plan, error) {
	plan, err := plan.ForMap(ground, zones, job.book, f.class)
	if err != nil {
		return nil, inputError{fmt.Errorf("%s: %w", cmp.Or(fleetFile, "the built-in fleet"), err)}
	}
	return plan, nil
}
