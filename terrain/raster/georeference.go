package raster

// Georeference says where a window of cells lies in a CRS, as a raster written of
// them declares it.
type Georeference struct {
	CRS  string     // horizontal, as WKT
	Grid [6]float64 // cell coordinates of the window to those of the CRS, as GDAL writes it
}

// georeference places a window of the raster, as it is seen: its rows running
// south.
func (r *Raster) georeference(w Window) Georeference {
	g := r.grid
	col, row := float64(w.Col0), float64(w.Row0)
	g[0], g[3] = g[0]+col*g[1]+row*g[2], g[3]+col*g[4]+row*g[5]
	return Georeference{CRS: r.place.wkt, Grid: g}
}
