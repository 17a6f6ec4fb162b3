package page

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/acreband/acreband/zoning/fleet"
)

// ratio matches a slope as rise to run.
var ratio = regexp.MustCompile(`^(\d+(?:\.\d+)?)\s*:\s*(\d+(?:\.\d+)?)$`)

// slopeTyped reads a slope as people type it, in percent: 30%, 14deg, 14° or 1:4. A ratio
// is rise to run; one that rises more than it runs is refused, for many write run to rise,
// and that way round it would be a far higher limit.
func slopeTyped(s string) (pct float64, err error) {
	s = strings.TrimSpace(s)
	m := ratio.FindStringSubmatch(s)
	if m == nil {
		if number, ok := strings.CutSuffix(s, "°"); ok {
			s = strings.TrimSpace(number) + "deg"
		}
		return fleet.ParseSlope(s)
	}
	rise, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		return 0, err
	}
	run, err := strconv.ParseFloat(m[2], 64)
	switch {
	case err != nil:
		return 0, err
	case run == 0 || rise > run:
		return 0, fmt.Errorf("%q rises more than it runs: write the rise first, as 1:4 for one up in four along, or a percentage", s)
	}
	return math.Round(100*rise/run*1e9) / 1e9, nil
}
