package site

import (
	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
)

// Within marks the cells of a grid that lie within a setback of a geometry in WGS84
// longitude and latitude, as those of a feature with it do: those that the geometry touches,
// and those whose middles are near enough. One value a cell, row by row; nil where the
// geometry lies too far off the grid. A grid that cannot be used, a geometry that is none,
// and a setback that [Feature.Check] refuses are errors.
func Within(g *terrain.Grid, geometry orb.Geometry, s Setback) ([]bool, error) {
	laid, err := Lay([]Feature{{Kind: Path, Place: 1, Geometry: geometry, Setback: s}}, g)
	if err != nil {
		return nil, err
	}
	return laid.Setback, nil
}
