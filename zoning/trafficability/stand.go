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
	out = out[:len(f.Squared)]
	l := newStandLimits(fleet)
	for i, s := range f.Squared {
		// Noisy slopes fall on either side of a limit as they like, and a branch for each would
		// be guessed wrong half the time. Only those close to one are held against it.
		at := math.Float32bits(s) >> closeBits
		if at < l.least {
			out[i] = l.all
		} else if mask := l.masks[(at-l.least)&(closeMasks-1)]; at-l.least < closeMasks && mask != closeToLimit {
			out[i] = mask
		} else {
			out[i] = l.mask(s)
		}
	}
	if f.Step != nil {
		standOnRelief(f, fleet, out)
	}
	return nil
}

// standLimits tell which machines a slope lets stand.
type standLimits struct {
	squared []float32
	all     zoning.Mask
	// By the first bits of a float32, from those of the least limit on, which machines may stand:
	// closeToLimit where that differs among them.
	least uint32
	masks [closeMasks]zoning.Mask
}

const (
	closeBits  = 18 // that are left out: 32 steps from a number to its double
	closeMasks = 512
	// closeToLimit is no mask of ground by slope.
	closeToLimit = zoning.Unknown | zoning.NoGo
)

func newStandLimits(fleet zoning.Fleet) *standLimits {
	l := &standLimits{all: 1<<len(fleet) - 1}
	least := float32(math.Inf(1))
	for _, m := range fleet {
		rise := max(0, m.SteepestPct()/100-zoning.TieRise)
		l.squared = append(l.squared, float32(rise*rise))
		least = min(least, l.squared[len(l.squared)-1])
	}
	l.least = math.Float32bits(least) >> closeBits
	for i := range l.masks {
		first := (l.least + uint32(i)) << closeBits
		from, to := math.Float32frombits(first), math.Float32frombits(first|(1<<closeBits-1))
		l.masks[i] = closeToLimit
		if mask := l.mask(from); mask == l.mask(to) { // the same, and so all between
			l.masks[i] = mask
		}
	}
	return l
}

// mask is the machines that may stand on ground of a slope squared.
func (l *standLimits) mask(s float32) zoning.Mask {
	if s != s {
		return zoning.Unknown
	}
	mask := zoning.Mask(0)
	for k, limit := range l.squared {
		if s < limit {
			mask |= 1 << k
		}
	}
	return mask
}

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
