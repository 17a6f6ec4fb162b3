package mapping

import (
	"cmp"
	"fmt"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// thickStems tells of a cover in which some stems are thicker than machines handle that may
// work what is typical there.
func (t *teller) thickStems(f site.Feature) error {
	acres := make([]float64, len(t.m.Fleet))
	grid := t.Elevation.Grid
	err := site.Near(grid, f.Geometry, 0, func(i int, _ float64) {
		if !t.work.Lots[i] {
			return
		}
		area := grid.Frame.MetricAt(float64(grid.Col0+i%grid.Cols)+0.5, float64(grid.Row0+i/grid.Cols)+0.5).CellAreaM2() / terrain.SquareMetresPerAcre
		for k, m := range t.m.Fleet {
			if t.w.Masks[i]&(1<<k) != 0 && m.StemM > 0 && float32(f.StemM) > float32(m.StemM) {
				acres[k] += area
			}
		}
	})
	var words []string
	for k, a := range acres {
		if a >= 0.005 {
			m := t.m.Fleet[k]
			words = append(words, fmt.Sprintf("the %s handles %s and may work %s of it", lower(m.Name), t.m.Units.Stem(m.StemM), areaText(t.m, a, 2)))
		}
	}
	if words == nil || err != nil {
		return err
	}
	t.add(zoning.ThickStems, f.Geometry, "%s: some stems of up to %s; %s", cmp.Or(f.Name, string(f.Kind)), t.m.Units.Stem(f.StemM), list(words))
	return nil
}

// thickHere says of ground that a machine may work which stems it does not handle; "" where
// it handles all that are known.
func (g *Ground) thickHere(u measure.Units, machine zoning.Machine, i int) string {
	if machine.StemM == 0 || g.Site == nil || g.Site.StemM == nil || !(g.Site.StemM[i] > float32(machine.StemM)) {
		return ""
	}
	return fmt.Sprintf("; some stems of up to %s, and it handles %s", u.Stem(float64(g.Site.StemM[i])), u.Stem(machine.StemM))
}
