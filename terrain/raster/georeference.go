package raster

import (
	"github.com/acreband/acreband/terrain"
)

// georeference places a window of the raster, as it is seen: its rows running
// south.
func (r *Raster) georeference(w terrain.Window) terrain.Georeference {
	g := r.grid
	col, row := float64(w.Col0), float64(w.Row0)
	g[0], g[3] = g[0]+col*g[1]+row*g[2], g[3]+col*g[4]+row*g[5]
	return terrain.Georeference{CRS: r.place.wkt, Grid: g}
}
