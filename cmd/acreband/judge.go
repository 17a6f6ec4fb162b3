package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/read"
)

// readNoise reads --elevation-error; nil where it is not given.
func readNoise(text string) (*slope.Noise, error) {
	if text == "" {
		return nil, nil
	}
	if n, ok := slope.NoiseUnderCover(text); ok {
		return &n, nil
	}
	if n, ok := slope.NoiseOfKind(text); ok {
		return &n, nil
	}
	sigma, err := fleet.ParseLength(text)
	if err != nil {
		return nil, fmt.Errorf("--elevation-error: %w; or name a kind: %s", err, strings.Join(slope.Kinds(), ", "))
	}
	return &slope.Noise{SigmaM: sigma, RangeM: slope.RangeUnknown, From: "--elevation-error"}, nil
}

// readMargin reads --margin: points of percent, since a degree is not as many of them on
// gentle ground as on steep.
func readMargin(text string) (pct float64, err error) {
	pct, err = fleet.ParseSlope(text)
	if err != nil || !strings.HasSuffix(text, "%") || pct >= 100 {
		return 0, fmt.Errorf("--margin %q is no margin; write points of slope with a percent sign, such as 3%%", text)
	}
	return pct, nil
}

// readRepair reads the share of a lot's acres that a repair may change.
func readRepair(text string) (share float64, err error) {
	number, isPercent := strings.CutSuffix(strings.TrimSpace(text), "%")
	pct, err := strconv.ParseFloat(number, 64)
	if share = pct / 100; !isPercent || err != nil || !(share > 0 && share <= read.MostRepair) {
		return 0, fmt.Errorf("--repair %q is no share of a lot's acres that a repair may change; write one above 0%% and up to %g%%, such as 5%%", text, 100*read.MostRepair)
	}
	return share, nil
}

// readFleetWithPlan reads --fleet, or gives the built-in one, with the figures of plans.
func readFleetWithPlan(path string) (zoning.Fleet, *plan.Book, error) {
	if path == "" {
		return fleet.Default(), plan.Default(), nil
	}
	return plan.ReadFile(path)
}

// readFleet reads --fleet, or gives the built-in one.
func readFleet(path string) (zoning.Fleet, error) {
	if path == "" {
		return fleet.Default(), nil
	}
	return fleet.Read(path)
}
