package fleet

import (
	"cmp"

	"github.com/acreband/acreband/zoning"
)

// covers tells whether o may work all ground that m may: then m, after it, is
// never first. A procedure and thrown objects keep a machine off no ground.
func covers(o, m zoning.Machine) bool {
	return coversSlopes(o, m) && coversTether(o, m) &&
		// Higher is better, and 0 is no limit at all.
		upTo(m.StepM, o.StepM) && upTo(m.RoughM, o.RoughM) &&
		upTo(m.TallestM, o.TallestM) && upTo(m.StemM, o.StemM) &&
		// Higher is better, and 0 is none.
		m.ReachM <= o.ReachM && m.ReachUpPct <= o.ReachUpPct && m.ReachDownPct <= o.ReachDownPct &&
		runOf(m) <= runOf(o) &&
		// Lower is better.
		o.WidthM <= m.WidthM && footprintOf(o) <= footprintOf(m) && o.PatchAcres <= m.PatchAcres &&
		knownUpTo(o.WeightKg, m.WeightKg) && knownUpTo(o.HeightM, m.HeightM) &&
		knownUpTo(o.PressureKPa, m.PressureKPa) &&
		(o.Work != zoning.Production || m.Work == zoning.Production)
}

// upTo reports whether a limit of m is within that of o.
func upTo(m, o float64) bool { return o == zoning.NoLimit || m != zoning.NoLimit && m <= o }

// knownUpTo reports whether a figure of o, of which lower is better, is within that of m; 0
// is not known, which is the worst.
func knownUpTo(o, m float64) bool { return m == 0 || o > 0 && o <= m }

func runOf(m zoning.Machine) float64 { return cmp.Or(m.RunM, zoning.DefaultRunM) }

func footprintOf(m zoning.Machine) float64 { return cmp.Or(m.FootprintM, zoning.DefaultFootprintM) }

func coversSlopes(o, m zoning.Machine) bool {
	for _, on := range []zoning.Moisture{zoning.Dry, zoning.Wet} {
		for _, l := range [][2]zoning.Limits{{m.On(on).Driving(), o.On(on).Driving()}, {m.On(on).Standing(), o.On(on).Standing()}} {
			if l[0].AlongPct > l[1].AlongPct || !upTo(l[0].CrossPct, l[1].CrossPct) {
				return false
			}
		}
	}
	return true
}

// coversTether compares what the machines work with and without a tether. A tether
// that neither manual allows counts as if both did: a line may yet be added.
func coversTether(o, m zoning.Machine) bool {
	untethered := func(m zoning.Machine) float64 { return cmp.Or(m.TetherAbovePct, m.LimitPct) }
	if m.LimitPct <= untethered(o) {
		return true
	}
	return untethered(m) <= untethered(o) && m.LimitPct <= o.LimitPct &&
		(o.TetherBasis != "" || m.TetherBasis == "") && m.TetherM <= o.TetherM && m.Anchor == o.Anchor
}
