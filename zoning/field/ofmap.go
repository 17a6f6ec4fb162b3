package field

import (
	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
)

// GroundOf is a map as spots are picked on it: by its machines' true limits and those
// that it was drawn by, by the error of the heights, and at hazards that are drawn as
// points and lines. People are sent on foot only onto ground that is surely below the
// slope for it.
func GroundOf(g *mapping.Ground, m *zoning.ZoneMap) Ground {
	if g == nil || g.Elevation == nil || m == nil {
		return Ground{} // which Pick refuses
	}
	out := Ground{
		View: m.View, Units: m.Units,
		Cells: m.Cells, Grid: g.Elevation.Grid, Field: m.Field, Lots: m.Lots,
		Fleet: m.Fleet, Drawn: m.Drawn, On: m.Ground,
		SurePct: mapping.SurePct(m.Error.Slope, m.Fleet),
		FootPct: zoning.FootPctOn(m.Ground, m.Error.Slope),
		Staging: m.Access.Staging,
	}
	for _, h := range m.Hazards {
		switch shape := h.Geometry.(type) {
		case orb.Point:
			out.Hazards = append(out.Hazards, Hazard{At: shape, Words: h.Words})
		case orb.LineString:
			if len(shape) == 0 {
				continue
			}
			out.Hazards = append(out.Hazards, Hazard{At: shape[len(shape)/2], Words: h.Words})
		}
	}
	return out
}
