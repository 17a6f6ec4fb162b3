package mapping

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb/geo"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// stagingLevelPct is the steepest ground that a trailer unloads on: planning value, no
// source.
const stagingLevelPct = 5

// access tells how machines get to the ground, and what is wrong with where they start.
func (t *teller) access() {
	t.m.Access.Checked = t.work.Staging != nil
	for k, pockets := range t.w.Pockets {
		for i, p := range pockets {
			if i > 0 {
				t.m.Access.Pockets = append(t.m.Access.Pockets, zoning.Pocket{Machine: k, Acres: p.Acres, At: t.at(p.Cell)})
			}
		}
	}
	stuck := !slices.ContainsFunc(t.w.Idle, func(idle []int) bool { return len(idle) < len(t.work.Staging) })
	if t.work.Staging != nil && stuck {
		t.warn("no machine of the fleet drives off any staging: all ground is told as no way in, whatever it is like")
	}
	for n, place := range t.work.Staging {
		at := text.Degrees(t.m.Access.Staging[n])
		if len(place) == 0 {
			t.warn("staging %d (%s) lies off the ground that was read: no machine starts there", n+1, at)
			continue
		}
		level := math.Inf(1)
		for _, i := range place {
			if s := float64(t.m.Field.Squared[i]); s == s {
				level = min(level, 100*math.Sqrt(s))
			}
		}
		if level > stagingLevelPct {
			t.warn("staging %d (%s) is not level: %s, where a trailer wants %d%% or less (planning value, no source)", n+1, at, pctOrUnknown(level), stagingLevelPct)
		}
		var idle []string
		for k, at := range t.w.Idle {
			if slices.Contains(at, n) {
				idle = append(idle, t.m.Fleet[k].Name)
			}
		}
		switch off := t.offM(place); {
		case off > 0:
			t.warn("staging %[1]d (%[2]s) lies %[3]s off the lots and what is drawn as %[4]s, and no machine drives off it: move it, or draw the way in as %[4]s", n+1, at, feet(off), setting.Name("travel"))
		case len(idle) > 0:
			t.warn("staging %d (%s): no way off it for %s; put it on ground they may drive on, in a lot or in %s", n+1, at, list(idle), setting.Name("travel"))
		}
	}
}

// offM is how far a place of staging, its cells, lies off the ground that machines may
// drive on; 0 where it touches that.
func (t *teller) offM(place []int) float64 {
	if slices.ContainsFunc(place, func(i int) bool { return t.work.Drive[i] }) {
		return 0
	}
	cols := t.Elevation.Grid.Cols
	middle, least, nearest := place[len(place)/2], math.MaxInt, 0
	for i, drive := range t.work.Drive {
		t.watch.Did(1)
		if !drive {
			continue
		}
		dc, dr := i%cols-middle%cols, i/cols-middle/cols
		if d := dc*dc + dr*dr; d < least {
			least, nearest = d, i
		}
	}
	return geo.Distance(t.at(middle), t.at(nearest))
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
