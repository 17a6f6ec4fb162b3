package mapping

import "github.com/acreband/acreband/zoning"

// areaText writes acres of a map with so many decimals, or whole where its cells are too coarse.
func areaText(m *zoning.ZoneMap, acres float64, decimals int) string {
	switch {
	case m.AcreDecimals() > 0:
		return m.Units.AreaText(acres, decimals)
	case m.Units.Area(acres) < 0.5:
		return "less than " + m.Units.AnArea()
	}
	return m.Units.AreaText(acres, 0)
}
