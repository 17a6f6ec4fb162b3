package zoning

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/slope"
)

// TieRise is how close to a limit a slope counts as over it, as rise over run:
// 0.02 points of percent. Heights are float32, whose noise puts a fifth to
// three quarters of an exact plane's cells over a limit equal to its slope; a
// tie goes to the steeper side, whole. At 4 000 m a float32 height is good to
// 0.12 mm, which on metre cells makes 1.7e-4 of slope at worst.
const TieRise = 2e-4

// Stand finds for every cell the machines that may stand on it by its slope: those whose
// limit its slope stays below by [TieRise] or more and, where the field is of
// machine scale, whose limits of step and roughness it does not pass. A cell of
// unknown slope is [Unknown]. out holds one mask for each cell of the field, at
// least. A fleet that [CheckFleet] refuses is an error, and so is a field that is none.
func Stand(f *slope.Field, fleet []Machine, out []Mask) error {
	if err := checkStand(f, fleet, out); err != nil {
		return err
	}
	limits := make([]float32, len(fleet))
	for i, m := range fleet {
		rise := m.SteepestPct()/100 - TieRise
		limits[i] = float32(max(0, rise) * max(0, rise))
	}
	out = out[:len(f.Squared)]
	for i, s := range f.Squared {
		mask := Unknown
		if s == s {
			mask = 0
			for k, l := range limits {
				if s < l {
					mask |= 1 << k
				}
			}
		}
		out[i] = mask
	}
	if f.Step != nil {
		standOnRelief(f, fleet, out)
	}
	return nil
}

// Firm finds for every cell the machines that step and roughness let stand on it,
// where the field is of machine scale; elsewhere all of them. Errors are those of [Stand].
func Firm(f *slope.Field, fleet []Machine, out []Mask) error {
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

func checkStand(f *slope.Field, fleet []Machine, out []Mask) error {
	if err := CheckFleet(fleet); err != nil {
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
func standOnRelief(f *slope.Field, fleet []Machine, out []Mask) {
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

// StepCareM is the least step, in metres, that any machine of a fleet is held
// to: smaller ones need not be told apart.
func StepCareM(fleet []Machine) float64 {
	care := math.Inf(1)
	for _, m := range fleet {
		if m.StepM > 0 {
			care = min(care, m.StepM)
		}
	}
	return care
}
