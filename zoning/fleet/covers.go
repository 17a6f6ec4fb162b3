package fleet

import (
	"cmp"

	"github.com/acreband/acreband/zoning"
)

// covers reports whether o may work all ground that m may: then m, after it, is
// never first. A procedure and thrown objects keep a machine off no ground.
func covers(o, m zoning.Machine) bool {
	for _, s := range zoning.Specs() {
		if !s.AsLax(o, m) {
			return false
		}
	}
	return coversSlopes(o, m) && coversTether(o, m) &&
		(o.Work != zoning.Production || m.Work == zoning.Production)
}

// upTo reports whether a limit of m is within that of o.
func upTo(m, o float64) bool { return o == zoning.NoLimit || m != zoning.NoLimit && m <= o }

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
