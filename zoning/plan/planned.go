package plan

import (
	"context"
	"fmt"
	"slices"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
)

// Planned is the map of a plan's chosen rung: every spot belongs to the machine of the crew
// that works it, and what the crew does not clear is parted by why. The ground, its map by
// limits and the plan that [ForMap] made of them go together. Ground that a hand crew works
// is that of no machine; what the crew would work and does not get to, for want of days or
// budget, is shown as needing a machine, farthest from where it unloads, and warnings tell of it. Errors are [*Error], or that of the context.
func Planned(ctx context.Context, g *mapping.Ground, m *zoning.ZoneMap, p *Plan) (*zoning.ZoneMap, error) {
	if p == nil || p.workers == nil || p.Recommended < 0 || p.Recommended >= len(p.Ladder) {
		return nil, &Error{"the plan has no crew, so no map is as planned", "say what stands on the ground, or ask for the map by limits"}
	}
	if err := fit(g, m, p.cover); err != nil {
		return nil, err
	}
	a := assigner{pieceCounter: pieceCounter{Ground: g, m: m, cover: p.cover, plane: mapping.PlaneOf(m.Cells)}, p: p}
	a.crew = p.atWork()
	a.late = a.beyond()
	out, err := m.AsPlanned(ctx, a.at)
	if err != nil {
		return nil, err
	}
	out.Warnings = append(p.unfinished(), p.ofCrew(m)...)
	return out, nil
}

// atWork are the machines of the fleet that work some of the ground.
func (p *Plan) atWork() (machines zoning.Mask) {
	for _, w := range p.workers {
		if w.Machine >= 0 {
			machines |= 1 << w.Machine
		}
	}
	return machines
}

// ofCrew are the warnings of a map that are about the ground, or about a machine of the crew.
func (p *Plan) ofCrew(m *zoning.ZoneMap) (words []string) {
	var comes zoning.Mask
	for _, b := range p.Ladder[p.Recommended].Crew {
		comes |= 1 << slices.IndexFunc(m.Fleet, func(o zoning.Machine) bool { return o.Key == b.Key })
	}
	for _, w := range m.Warnings {
		if of, some := m.Concerns[w]; !some || of&comes != 0 {
			words = append(words, w)
		}
	}
	return words
}

// assigner says who works the cells of a map.
type assigner struct {
	pieceCounter
	p    *Plan
	crew zoning.Mask
	late map[spot]bool // what it does not get to

	lastKey  pieceKey // cells side by side are mostly of one; the zero key is no ground's
	lastMask zoning.Mask
}

func (a *assigner) at(lot, cell int) zoning.Mask {
	mask := a.m.Cells.Masks[cell]
	key := a.key(cell, a.m.Fleet.Band(mask), mask)
	if key != a.lastKey {
		a.lastKey, a.lastMask = key, a.of(key)
	}
	if len(a.late) > 0 && a.late[spot{lot, cell}] {
		return zoning.NeedsMachine
	}
	return a.lastMask
}

// of is what a planned map shows of the ground of a key. Slivers are of no piece: they go to
// the first of the crew that may work them.
func (a *assigner) of(key pieceKey) zoning.Mask {
	w, known := a.p.worker(key)
	if known {
		return shown(w)
	}
	switch crew := key.may & a.crew; {
	case crew != 0:
		return crew & -crew
	case key.dry&a.crew != 0:
		return zoning.WaitsDry
	case key.may != 0:
		return zoning.NeedsMachine
	}
	return 0
}

// shown is what a planned map shows of ground by who works it.
func shown(w Worker) zoning.Mask {
	if w.Machine >= 0 {
		return 1 << w.Machine
	}
	switch w.Why {
	case zoning.WaitsDryKey:
		return zoning.WaitsDry
	case zoning.NeedsMachineKey, LeftByDays, LeftByBudget:
		return zoning.NeedsMachine
	}
	return 0 // for a hand crew, or nobody
}

// unfinished tells of ground that the crew would work and does not get to.
func (p *Plan) unfinished() (words []string) {
	for _, l := range p.Ladder[p.Recommended].Left {
		switch l.Why {
		case LeftByDays:
			words = append(words, fmt.Sprintf("%s that this crew would work are left for want of days: on the map they lie farthest from where it unloads", p.Units.AreaText(l.Acres, 1)))
		case LeftByBudget:
			words = append(words, fmt.Sprintf("%s that this crew would work are left, as the budget does not pay for them: on the map they lie farthest from where it unloads", p.Units.AreaText(l.Acres, 1)))
		}
	}
	return words
}
