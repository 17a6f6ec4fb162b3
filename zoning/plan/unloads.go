package plan

import (
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
)

// Unload is how a machine comes to a site.
type Unload struct {
	Times int    // how often it is unloaded to get to all the ground that it reaches
	Why   string // why its load gets to no place to unload; "" where it does
}

const kgPerPound = 0.45359237 // international avoirdupois pound, exactly

// Loads are what the machines of a fleet travel as, for [mapping.Options]; of one that the book
// does not have nothing is known.
func (b *Book) Loads(fleet zoning.Fleet) []mapping.Load {
	loads := make([]mapping.Load, len(fleet))
	for i, m := range fleet {
		if f := b.Machine(m.Key); f != nil {
			loads[i] = mapping.Load{WeightKg: f.GrossLb * kgPerPound, WidthM: f.WidthFt * zoning.MetresPerFoot, HeightM: f.HeightFt * zoning.MetresPerFoot}
		}
	}
	return loads
}

// unloadsOf says how each machine of a map comes to its ground; nil where staging is not known.
func unloadsOf(m *zoning.ZoneMap) []Unload {
	if len(m.Access.Staging) == 0 || m.Access.Unloads == nil {
		return nil
	}
	out := make([]Unload, len(m.Fleet))
	for k := range out {
		out[k].Times = max(1, len(m.Access.Unloads[k]))
		lands := m.Access.Lands == nil
		for _, may := range m.Access.Lands {
			lands = lands || may>>k&1 != 0
		}
		if !lands {
			out[k].Why = "its load is over what is posted on the road to every staging, or what it weighs or measures is not given"
		}
	}
	return out
}

// unload is how a machine of the fleet comes.
func (s *Site) unload(machine int) Unload {
	if s.Unloads == nil {
		return Unload{Times: 1}
	}
	return s.Unloads[machine]
}
