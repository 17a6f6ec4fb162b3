package mapping

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/text"
)

// checkStaging refuses staging that no machine drives off, and places that leave all acres
// standing.
func (m *mapping) checkStaging(ctx context.Context) (err error) {
	if m.coarse || m.work.Staging == nil {
		return nil
	}
	defer beside.Ended(&err)
	watch := beside.NewWatch(ctx)
	lands := m.unloads(m.fleet, m.o.Loads)
	var refused error
	works, n := false, -1
	for _, f := range m.Features {
		if f.Kind != site.Staging {
			continue
		}
		n++
		if why := m.noWayOff(n, watch); why != "" {
			refused = cmp.Or(refused, fmt.Errorf("%w: no machine drives off staging %d (%s): %s", ErrSite, n+1, text.Degrees(f.Geometry.Bound().Center()), why))
		}
		for k, idle := range m.here.Idle {
			works = works || !slices.Contains(idle, n) && (lands == nil || lands[n]>>k&1 != 0)
		}
	}
	switch {
	case refused != nil && !(works && m.ManyLots):
		return refused
	case !works:
		return fmt.Errorf("%w: no machine whose load gets to a staging drives off it (on the road there: %s): give a place that one gets to, or write what the loads weigh and measure under plan: in the fleet file", ErrSite, m.overPosted())
	}
	return nil
}

// overPosted says what each load is over, at the first staging.
func (m *mapping) overPosted() string {
	var words []string
	for _, f := range m.Features {
		if f.Kind != site.Staging {
			continue
		}
		for k, machine := range m.fleet {
			var l Load
			if m.o.Loads != nil {
				l = m.o.Loads[k]
			}
			if over := overWords(m.o.Units, l.asMachine(), postOf(f)); over != "" {
				words = append(words, machine.Name+": "+over)
			}
		}
		break
	}
	return strings.Join(words, "; ")
}

// noWayOff says why no machine drives off a place of staging; "" where one does.
func (m *mapping) noWayOff(n int, watch *beside.Watch) string {
	place := m.work.Staging[n]
	var names []string
	for k := range m.fleet {
		if !slices.Contains(m.here.Idle[k], n) {
			return ""
		}
		reasons := map[zoning.Why]bool{}
		for _, i := range place {
			if why := m.here.Why[k][i]; why != zoning.Works && m.work.Drive[i] {
				reasons[why] = true
			}
		}
		if len(reasons) > 0 {
			why := slices.Max(slices.Collect(maps.Keys(reasons)))
			names = append(names, m.fleet[k].Name+": "+why.Among(m.cells.Added).Words)
		}
	}
	travel := setting.Name("travel")
	switch off := m.offM(place, watch); {
	case len(place) == 0:
		return "it lies off the ground that was read; put it in a lot, or draw the access route as " + travel
	case off > 0:
		return fmt.Sprintf("it lies %s off the lots and what is drawn as %[2]s; move it, or draw the access route as %[2]s", m.o.Units.Length(off), travel)
	case math.IsInf(levelPct(m.field, place), 0):
		return "there is no elevation; put it on ground that is known"
	}
	if names == nil {
		names = []string{"too narrow"}
	}
	return fmt.Sprintf("slope %s (%s); put it on ground they may drive on, in a lot or in %s", pctOrUnknown(levelPct(m.field, place)), strings.Join(names, "; "), travel)
}
