package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/text"
)

// planFlags are what is asked of a plan beside the figures of the fleet file.
type planFlags struct {
	Cover  string   `placeholder:"CLASS" help:"What grows where no cover polygon says: open, light, medium or heavy; or lidar, for the class that heights of growth propose (with --growth auto or --surface). Without, the plan is hours for each class, and no price."`
	Bring  []string `placeholder:"KEY,..." help:"Machines that come, by their keys: the plan and the map are of these alone. Default: the crew that the plan recommends. Overrules bring: in the fleet file."`
	Days   int      `placeholder:"N" help:"Working days that the job may take, moves in them; overrules days: in the fleet file."`
	Budget string   `placeholder:"DOLLARS" help:"The most that the price may be, such as 15000; overrules budget: in the fleet file."`
	Worth  string   `placeholder:"DOLLARS" help:"What each extra acre is worth, or each hectare with --units metric, such as 1500, 1500/ac or 3700/ha: the plan goes up the ladder of crews as long as an extra acre costs no more. Overrules worth: in the fleet file."`
	View   string   `default:"" enum:",plan,limits" placeholder:"plan|limits" help:"What maps show: plan, the machine of the crew that works each spot; limits, the first machine of the fleet that may. Default: plan, where there is a crew."`

	told    measure.Units // that plain dollars of --worth are for one area of
	class   plan.Cover
	byLidar bool
	said    []string // how amounts were read
}

// on checks the flags and sets those that go into the book of a fleet.
func (f *planFlags) on(book *plan.Book, machines zoning.Fleet) (err error) {
	if f.byLidar = f.Cover == "lidar"; f.byLidar {
		f.class = plan.CoverNotGiven
	} else if f.class, err = plan.ParseCover(f.Cover); err != nil {
		return usageError{fmt.Errorf("--cover: %w", err)}
	}
	if f.Days < 0 {
		return usageError{fmt.Errorf("--days %d: write 1 or more", f.Days)}
	}
	if err := checkKeys(f.Bring, machines); err != nil {
		return usageError{err}
	}
	budget, err := f.dollars("--budget", f.Budget, "a price of %s")
	if err != nil {
		return usageError{err}
	}
	worth, err := f.dollars("--worth", f.Worth, "%s "+f.worthFor().AnArea())
	if err != nil {
		return usageError{err}
	}
	for _, given := range []struct{ flag, key, value string }{
		{"--bring", "bring", strings.Join(f.Bring, ",")}, {"--days", "days", daysOf(f.Days)},
		{"--budget", "budget", budget}, {"--worth", "worth", after(worth, "/"+f.worthFor().ShortArea())},
	} {
		if given.value == "" {
			continue
		}
		if err := book.Job.Set(given.key, given.value); err != nil {
			return usageError{fmt.Errorf("%s: %w", given.flag, err)}
		}
	}
	return nil
}

// proposeUnloads puts into a map where its crew may unload.
func proposeUnloads(ground *mapping.Ground, zones *zoning.ZoneMap, bring *plan.Plan) (err error) {
	zones.Access.Proposed, err = plan.ProposeUnloads(context.Background(), ground, zones, bring)
	return err
}

// checkKeys refuses machines that are not in the fleet.
func checkKeys(keys []string, machines zoning.Fleet) error {
	var known []string
	for _, m := range machines {
		known = append(known, m.Key)
	}
	for _, key := range keys {
		if !slices.Contains(known, key) {
			return fmt.Errorf("--bring: the fleet has no machine %q; its machines are %s", key, strings.Join(known, ", "))
		}
	}
	return nil
}

func daysOf(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n) + "days"
}

func after(number, unit string) string {
	if number == "" {
		return ""
	}
	return number + unit
}

// amount matches dollars: $15,000, 15000usd, 15000, with /ac or /ha where they are for one.
var amount = regexp.MustCompile(`(?i)^\s*(\$|usd)?\s*(\d[\d,]*(?:\.\d+)?)\s*(usd|dollars)?\s*(/ac|/ha)?\s*$`)

// worthFor is the system of the area that --worth is for: that which it names, or that which people
// are told in.
func (f *planFlags) worthFor() measure.Units {
	for _, u := range []measure.Units{measure.US, measure.Metric} {
		if strings.HasSuffix(strings.ToLower(strings.TrimSpace(f.Worth)), "/"+u.ShortArea()) {
			return u
		}
	}
	return f.told
}

// dollars reads an amount and writes it as the book does. A shell takes $15000 for a variable
// and leaves 5000, so what was read is said.
func (f *planFlags) dollars(flag, given, words string) (string, error) {
	if given == "" {
		return "", nil
	}
	m := amount.FindStringSubmatch(given)
	if m == nil || m[4] != "" && flag != "--worth" {
		return "", fmt.Errorf("%s %q is no amount of dollars; write it as 15000, 15000usd or '$15,000'", flag, given)
	}
	number := strings.ReplaceAll(m[2], ",", "")
	usd, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return "", fmt.Errorf("%s %q is no amount of dollars", flag, given)
	}
	f.said = append(f.said, fmt.Sprintf("%s %s is read as "+words, flag, given, "$"+text.Grouped(usd, 0)))
	return "$" + number, nil
}

// plan makes the plan of a map. What is at odds in its figures is a fault of the fleet
// file.
func (f *planFlags) plan(ground *mapping.Ground, zones *zoning.ZoneMap, job groundJob, fleetFile string) (*plan.Plan, error) {
	if f.byLidar && !ground.HasSurface() {
		return nil, usageError{errors.New("--cover lidar takes the cover from heights of growth; add --growth auto, or --surface with a first surface")}
	}
	ground.CoverByGrowth = f.byLidar
	made, err := plan.ForMap(ground, zones, job.book, f.class)
	if err != nil {
		return nil, inputError{fmt.Errorf("%s: %w", cmp.Or(fleetFile, "the built-in fleet"), err)}
	}
	return made, nil
}

// planned makes the plan of a map by limits, and the map as it is to be shown: as planned,
// where a crew is chosen and nobody asked for limits. The plan is in the map.
func (f *planFlags) planned(ctx context.Context, ground *mapping.Ground, zones *zoning.ZoneMap, job groundJob, fleetFile string) (*zoning.ZoneMap, *plan.Plan, error) {
	made, err := f.plan(ground, zones, job, fleetFile)
	if err != nil {
		return nil, nil, err
	}
	zones.Plan = made
	switch {
	case f.View == zoning.ByLimits.String():
		return zones, made, nil
	case made.Recommended < 0 && f.View != "":
		return nil, nil, usageError{errors.New("--view plan: no crew is chosen, for no cover is given; add --cover, or write --view limits")}
	case made.Recommended < 0:
		return zones, made, nil
	}
	zones, err = plan.Planned(ctx, ground, zones, made)
	return zones, made, err
}
