package field

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
)

// Cautions returns what every list of spots must say. That people keep off such
// slopes is a planning value, no source.
func (c *Checks) Cautions() []string {
	steepest, ground := FootPct, "dry"
	if c.On == zoning.Wet {
		steepest, ground = WetFootPct, "wet"
	}
	return []string{
		fmt.Sprintf("Walk onto no ground steeper than %.0f%% (%s ground), whatever this list says. The map can be wrong: turn back where you would not walk down again.", steepest, ground),
		"The way to a spot has not been checked for holes, drop-offs, water, traffic, animals or neighbors. Do not go alone; tell someone where you are and when you will be back.",
		"Measure straight up and down the slope, and write the reading with its unit, 32% or 18deg.",
		"A reading within the limit does not release ground: the machine's manual, the local code and a competent person on the ground decide.",
	}
}

// Do says what to do at a spot.
func (c *Checks) Do(s Spot) string {
	if s.Sight != nil {
		return fmt.Sprintf("Do not walk onto it. Sight it from the %s: stand at %s; the spot is %s off, bearing %.0f° true. Measure along that line.",
			s.Sight.From, degrees(s.Sight.At), c.Units.Length(s.Sight.DistanceM), whole(s.Sight.BearingDeg))
	}
	do := fmt.Sprintf("Measure straight up and down over %s, a machine's length.", c.Units.Length(c.LengthM))
	if !math.IsNaN(s.DownhillDeg) {
		do += fmt.Sprintf(" Downhill bears %.0f° true.", whole(s.DownhillDeg))
	}
	return do
}

// whole is a bearing in whole degrees from 0 to 359.
func whole(deg float64) float64 { return math.Mod(math.Round(deg), 360) }

// expects tells the slope of the map and the limit it is held to.
func (s Spot) expects() string {
	if s.LimitPct == 0 {
		return fmt.Sprintf("mapped %.1f%%, no machine's ground", s.MappedPct)
	}
	return fmt.Sprintf("mapped %.1f%%, limit %.4g%%", s.MappedPct, s.LimitPct)
}

func (s Spot) why() string {
	words := make([]string, len(s.Why))
	for i, r := range s.Why {
		words[i] = r.Words
	}
	return strings.Join(words, "; ")
}

// degrees writes a place for people and their phones: latitude, then longitude, to
// 0.1 m.
func degrees(p orb.Point) string { return fmt.Sprintf("%.6f, %.6f", p[1], p[0]) }

// written is a coordinate as files have it, to 1 cm.
func written(deg float64) float64 { return math.Round(deg*1e7) / 1e7 }
