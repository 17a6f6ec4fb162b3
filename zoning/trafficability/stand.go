package trafficability

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
)

// Stand finds for every cell the machines that may stand on it by its slope: those whose
// limit its slope stays below by [TieRise] or more and, where the field is of
// machine scale, whose limits of step and roughness it does not pass. A cell of
// unknown slope is [Unknown]. out holds one mask for each cell of the field, at
// least. A fleet that [zoning.Fleet.Check] refuses is an error, and so is a field that is none.
func Stand(f *slope.Field, fleet zoning.Fleet, out []zoning.Mask) error {
	if err := checkStand(f, fleet, out); err != nil {
		return err
	}
	limits := make([]int64, len(fleet))
	for i, m := range fleet {
		rise := m.SteepestPct()/100 - zoning.TieRise
		limits[i] = inOrder(float32(max(0, rise) * max(0, rise)))
	}
	out = out[:len(f.Squared)]
	for i, s := range f.Squared {
		if s != s {
			out[i] = zoning.Unknown
			continue
		}
		// Noisy slopes fall on either side of a limit as they like: a branch for each would be
		// guessed wrong half the time.
		mask, at := zoning.Mask(0), inOrder(s)
		for k, l := range limits {
			mask |= zoning.Mask(uint64(at-l)>>63) << k // 1 where at < l
		}
		out[i] = mask
	}
	if f.Step != nil {
		standOnRelief(f, fleet, out)
	}
	return nil
}

// inOrder is an integer for a float32 that is no NaN; of two floats, none below 0, the
// smaller has the smaller one, and any float below 0 one below 0.
func inOrder(s float32) int64 { return int64(int32(math.Float32bits(s + 0))) }

// Firm finds for every cell the machines that step and roughness let stand on it,
// where the field is of machine scale; elsewhere all of them. Errors are those of [Stand].
func Firm(f *slope.Field, fleet zoning.Fleet, out []zoning.Mask) error {
	if err := checkStand(f, fleet, out); err != nil {
		return err
	}
	out = out[:len(f.Squared)]
	for i := range out {
		out[i] = 1<<len(fleet) - 1
	}
	if f.Step != nil {
		standOnRelief(f, fleet, out)
	}
	return nil
}

func checkStand(f *slope.Field, fleet zoning.Fleet, out []zoning.Mask) error {
	if err := fleet.Check(); err != nil {
		return err
	}
	if err := f.Check(); err != nil {
		return err
	}
	if len(out) < len(f.Squared) {
		return fmt.Errorf("%d masks for %d cells", len(out), len(f.Squared))
	}
	return nil
}

// standOnRelief takes off machines that the step or the roughness under them
// would stop.
func standOnRelief(f *slope.Field, fleet zoning.Fleet, out []zoning.Mask) {
	for k, m := range fleet {
		if m.StepM == 0 && m.RoughM == 0 {
			continue
		}
		step, rough := float32(math.Inf(1)), float32(math.Inf(1))
		if m.StepM > 0 {
			step = float32(m.StepM)
		}
		if m.RoughM > 0 {
			rough = float32(m.RoughM * m.RoughM)
		}
		for i := range out {
			if f.Step[i] > step || f.RoughSquared[i] > rough {
				out[i] &^= 1 << k
			}
		}
	}
}
