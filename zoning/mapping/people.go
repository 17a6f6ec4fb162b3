package mapping

import (
	"cmp"
	"fmt"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// features tells of people and of lines overhead near the zones, and of thick stems on them.
func (t *teller) features() error {
	for _, f := range t.Features {
		name := cmp.Or(f.Name, string(f.Kind))
		switch f.Kind {
		case site.Building, site.Road, site.Path, site.Railway, site.People:
			words, err := t.nearby(f, func(m zoning.Machine) float64 { return cmp.Or(m.ThrownM, zoning.DefaultThrownM) })
			if err != nil {
				return err
			}
			if words != "" {
				t.add(zoning.PeopleNear, f.Geometry, "%s (%s): %s lie within the thrown-object distance of it", name, f.Kind, words)
			}
		case site.Cover:
			if err := t.thickStems(f); err != nil {
				return err
			}
		case site.Pipeline:
			if err := t.within(f, zoning.BuriedLine, "mapped, not located: an unmapped one proves nothing"); err != nil {
				return err
			}
		case site.Edge:
			if err := t.within(f, zoning.DropOff, "its height is not known"); err != nil {
				return err
			}
		case site.Gate:
			if err := t.unposted(f); err != nil {
				return err
			}
		case site.OverheadLine:
			clear := max(site.ClearanceM(f.KV), f.Setback.WidthM)
			words, err := t.nearby(f, func(m zoning.Machine) float64 { return clear + m.ReachM })
			if err != nil {
				return err
			}
			if f.KV == 0 {
				name += ", voltage not known"
			}
			if words != "" {
				t.add(zoning.LineNear, f.Geometry, "%s: keep %s clear; %s lie within that distance of it, a boom's reach added", name, t.m.Units.AtLeast(clear), words)
			} else if !f.Lent() {
				t.add(zoning.LineNear, f.Geometry, "%s: keep %s clear", name, t.m.Units.AtLeast(clear))
			}
		}
	}
	return nil
}

// nearby sums the acres of each machine's zones that lie within a distance of a feature.
func (t *teller) nearby(f site.Feature, metres func(zoning.Machine) float64) (string, error) {
	var most float64
	for _, m := range t.m.Fleet {
		most = max(most, metres(m))
	}
	grid := t.Elevation.Grid
	acres := make([]float64, len(t.m.Fleet))
	err := site.Near(grid, f.Geometry, most, func(i int, distM float64) {
		if k := t.band(i); t.worked(i) && distM <= metres(t.m.Fleet[k]) {
			acres[k] += grid.Frame.MetricAt(float64(grid.Col0+i%grid.Cols)+0.5, float64(grid.Row0+i/grid.Cols)+0.5).CellAreaM2() / terrain.SquareMetresPerAcre
		}
	})
	var words []string
	for k, a := range acres {
		if a >= 0.005 {
			words = append(words, fmt.Sprintf("%s of the %s's", areaText(t.m, a, 2), lower(t.m.Fleet[k].Name)))
		}
	}
	if words == nil {
		return "", err
	}
	return list(words), err
}

// within tells of a feature whose setback takes ground of the lots.
func (t *teller) within(f site.Feature, kind zoning.HazardKind, words string) error {
	on, keep := false, f.KeptBack()
	err := site.Near(t.Elevation.Grid, f.Geometry, keep.WidthM, func(i int, _ float64) { on = on || t.work.Lots[i] })
	if on {
		t.add(kind, f.Geometry, "%s: %s; %s kept on either side", cmp.Or(f.Name, string(f.Kind)), words, t.m.Units.AtLeast(keep.WidthM))
	}
	return err
}

// unposted tells of a gate on a way of which nobody says how wide it is.
func (t *teller) unposted(f site.Feature) error {
	if postOf(f).Posted() {
		return nil
	}
	cells, err := t.across(f)
	if len(cells) > 0 {
		t.add(zoning.PinchPoint, f.Geometry.Bound().Center(), "%s: nobody says how wide it is", cmp.Or(f.Name, string(f.Kind)))
	}
	return err
}
