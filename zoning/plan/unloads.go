package plan

import (
	"context"
	"fmt"
	"slices"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
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
	if b == nil {
		return nil
	}
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

// unloaded takes out the machines whose load gets to no place to unload, and counts the time
// that the others take to be loaded and unloaded at more than one.
func (s *Site) unloaded(kinds []kind, ruledOut []RuledOut) ([]kind, []RuledOut) {
	if s.Unloads == nil {
		return kinds, ruledOut
	}
	var come []kind
	for _, k := range kinds {
		u := s.Unloads[k.fleet]
		if u.Why != "" {
			ruledOut = append(ruledOut, RuledOut{k.machine.Key, u.Why})
			continue
		}
		k.moveH += 2 * k.figures.HandlingH * float64(k.figures.Loads*(u.Times-1))
		come = append(come, k)
	}
	return come, ruledOut
}

// ProposeUnloads looks for places to unload at that open the most ground for the crew of a
// plan's first option, or for the whole fleet where it has none: see [mapping.Ground.Propose].
func ProposeUnloads(ctx context.Context, g *mapping.Ground, m *zoning.ZoneMap, p *Plan) ([]zoning.UnloadPoint, error) {
	var crew []int
	for k, machine := range m.Fleet {
		if p == nil || len(p.Options) == 0 || slices.ContainsFunc(p.Options[0].Crew, func(b Brought) bool { return b.Key == machine.Key }) {
			crew = append(crew, k)
		}
	}
	return g.Propose(ctx, m, crew)
}

// shortNotes say which machines are unloaded short of a place that their load does not get to,
// and walk from there.
func shortNotes(g *mapping.Ground, m *zoning.ZoneMap) (notes []string) {
	if m.Access.Lands == nil {
		return nil
	}
	var titles []string
	for _, f := range g.Features {
		if f.Kind == site.Staging {
			titles = append(titles, f.Title())
		}
	}
	for k, machine := range m.Fleet {
		if k >= len(m.Access.Unloads) || len(m.Access.Unloads[k]) == 0 {
			continue
		}
		for n, lands := range m.Access.Lands {
			if lands>>k&1 == 0 {
				notes = append(notes, fmt.Sprintf("%s: unload short, at %s, and walk it over: its load is over what is posted on the road to %s.", machine.Name, titles[m.Access.Unloads[k][0]], titles[n]))
				break
			}
		}
	}
	return notes
}
