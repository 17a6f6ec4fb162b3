package mapping

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb/geo"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// stagingLevelPct is the steepest ground that a trailer unloads on: planning value, no
// source.
const stagingLevelPct = 5

// access tells how machines get to the ground, and what is doubtful about where they start.
func (t *teller) access() {
	t.m.Access.Checked = t.work.Staging != nil
	for k, pockets := range t.w.Pockets {
		for i, p := range pockets {
			if i > 0 || t.work.Staging != nil {
				t.m.Access.Pockets = append(t.m.Access.Pockets, zoning.Pocket{Machine: k, Acres: p.Acres, At: t.at(p.Cell)})
			}
		}
	}
	if t.work.Staging != nil {
		t.m.Access.Unloads = t.w.Unloads
	}
	for n, place := range t.work.Staging {
		at := text.Degrees(t.m.Access.Staging[n])
		if t.m.Access.Lands != nil && t.m.Access.Lands[n] == 0 {
			t.warn("staging %d (%s): no load of the fleet gets there, by what is posted on the road", n+1, at)
			continue
		}
		if len(place) == 0 {
			t.warn("staging %d (%s) lies off the ground that was read: no machine starts there", n+1, at)
			continue
		}
		if level := levelPct(t.m.Field, place); level > stagingLevelPct {
			t.warn("staging %d (%s) is not level: %s, where a trailer wants %d%% or less (planning value, no source)", n+1, at, pctOrUnknown(level), stagingLevelPct)
		}
		var idle []string
		var which zoning.Mask
		for k, at := range t.w.Idle {
			if slices.Contains(at, n) && (t.m.Access.Lands == nil || t.m.Access.Lands[n]>>k&1 != 0) {
				idle, which = append(idle, t.m.Fleet[k].Name), which|1<<k
			}
		}
		switch off := t.offM(place, t.watch); {
		case off > 0:
			t.warn("staging %[1]d (%[2]s) lies %[3]s off the lots and what is drawn as %[4]s, and no machine drives off it: move it, or draw the access route as %[4]s", n+1, at, t.m.Units.Length(off), setting.Name("travel"))
		case len(idle) > 0:
			t.m.WarnOf(which, fmt.Sprintf("staging %d (%s): no way off it for %s; put it on ground they may drive on, in a lot or in %s", n+1, at, list(idle), setting.Name("travel")))
		}
	}
}

// levelPct is the gentlest slope of cells; +Inf where none is known.
func levelPct(f *slope.Field, cells []int) float64 {
	level := math.Inf(1)
	for _, i := range cells {
		if s := float64(f.Squared[i]); s == s {
			level = min(level, 100*math.Sqrt(s))
		}
	}
	return level
}

// offM is how far a place of staging, its cells, lies off the ground that machines may
// drive on; 0 where it touches that.
func (g *Ground) offM(place []int, watch *beside.Watch) float64 {
	if len(place) == 0 || slices.ContainsFunc(place, func(i int) bool { return g.work.Drive[i] }) {
		return 0
	}
	cols := g.Elevation.Grid.Cols
	middle, least, nearest := place[len(place)/2], math.MaxInt, 0
	for i, drive := range g.work.Drive {
		watch.Did(1)
		if !drive {
			continue
		}
		dc, dr := i%cols-middle%cols, i/cols-middle/cols
		if d := dc*dc + dr*dr; d < least {
			least, nearest = d, i
		}
	}
	return geo.Distance(g.at(middle), g.at(nearest))
}

func (t *teller) warn(words string, args ...any) {
	t.m.Warnings = append(t.m.Warnings, fmt.Sprintf(words, args...))
}

func pctOrUnknown(pct float64) string {
	if math.IsInf(pct, 0) {
		return "slope not known"
	}
	return fmt.Sprintf("%.0f%% at best", pct)
}

func list(words []string) string {
	out := words[0]
	for i, w := range words[1:] {
		if i == len(words)-2 {
			out += " and " + w
		} else {
			out += ", " + w
		}
	}
	return out
}
