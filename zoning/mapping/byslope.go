package mapping

import (
	"fmt"
	"math"
	"slices"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/trafficability"
)

// SlopeBands is what ground is by slope, step and roughness alone, for a window of
// cells, row-major from the north-west.
type SlopeBands struct {
	Bands    []uint8   // of each cell, by its place in [zoning.Fleet.Bands]
	SlopePct []float32 // NaN where it is unknown; nil where it was not asked for
	Remarks  []string  // what was assumed, and what is in doubt
}

// BeyondCells is how many cells [BySlope] wants to see around those that it judges: as
// many as a slope reaches, and as tell water from a flat. scale is the ground over
// which it takes slope on such cells, in words.
func BeyondCells(fleet zoning.Fleet, cellM [2]float64, o Options) (n int, scale string, err error) {
	if err := check(fleet, o); err != nil {
		return 0, "", err
	}
	for _, m := range cellM {
		if !(m > 0) || math.IsInf(m, 0) {
			return 0, "", fmt.Errorf("cells of %g × %g m; give their sides in meters", cellM[0], cellM[1])
		}
	}
	sc, err := scaleFor(o.Scale, fleet, cellM)
	if err != nil {
		return 0, "", err
	}
	n = terrain.WideCells(cellM)
	if sc.footprint != nil {
		n = max(n, sc.footprint.HalfCols+1, sc.footprint.HalfRows+1)
	}
	return n, sc.words, nil
}

// BySlope judges the cells of a part of an elevation's grid, in its raster's cells, as
// [Map] does with SlopeOnly: no lots, no features, and on one processor, for there are
// other parts to be judged at once.
func BySlope(e *terrain.Elevation, fleet zoning.Fleet, part terrain.Window, slopes bool, o Options) (*SlopeBands, error) {
	if err := check(fleet, o); err != nil {
		return nil, err
	}
	if o.Ground == zoning.Wet {
		fleet = fleet.On(zoning.Wet)
	}
	if err := checkElevation(e); err != nil {
		return nil, err
	}
	grid := e.Grid
	if part.Col0 < grid.Col0 || part.Row0 < grid.Row0 || part.Col0 > part.Col1 || part.Row0 > part.Row1 || part.Col1 > grid.Col0+grid.Cols || part.Row1 > grid.Row0+grid.Rows {
		return nil, fmt.Errorf("columns %d to %d, rows %d to %d lie off the %d × %d cells that were read from column %d, row %d", part.Col0, part.Col1, part.Row0, part.Row1, grid.Cols, grid.Rows, grid.Col0, grid.Row0)
	}
	sc, err := scaleFor(o.Scale, fleet, e.Sources[0].CellM)
	if err != nil {
		return nil, err
	}
	if o.Cautious || o.MarginPct > 0 {
		fleet = o.within(covariance(o.noise(e.Sources[0].CellM), sc, grid), fleet)
	}
	var water []bool
	if !o.WaterIsGround {
		found, err := quality.Water(grid)
		if err != nil {
			return nil, err
		}
		water = found.Mask(false)
	}
	out := &SlopeBands{Bands: make([]uint8, part.Cols()*part.Rows()), Remarks: remarksOf(e)}
	if slopes {
		out.SlopePct = make([]float32, len(out.Bands))
	}
	first, end := part.Row0-grid.Row0, part.Row1-grid.Row0
	rows := stripRows(grid.Cols)
	masks := make([]zoning.Mask, rows*grid.Cols)
	bandOf := bandsOf(fleet)
	for r0 := first; r0 < end; r0 += rows {
		r1 := min(r0+rows, end)
		strip := &slope.Field{Cols: grid.Cols, Rows: r1 - r0, Row0: r0, Squared: make([]float32, (r1-r0)*grid.Cols)}
		if err := sc.slopes(grid, r0, r1, strip); err != nil {
			return nil, err
		}
		masks := masks[:(r1-r0)*grid.Cols]
		if err := trafficability.Stand(strip, fleet, masks); err != nil {
			return nil, err
		}
		if water != nil {
			closeGround(water[r0*grid.Cols:r1*grid.Cols], masks)
		}
		for r := r0; r < r1; r++ {
			from := (r-r0)*grid.Cols + part.Col0 - grid.Col0
			to := (r - first) * part.Cols()
			for i := range part.Cols() {
				out.Bands[to+i] = bandOf[masks[from+i]]
			}
			if slopes {
				pct := out.SlopePct[to : to+part.Cols()]
				for i, s := range strip.Squared[from : from+part.Cols()] {
					pct[i] = float32(100 * math.Sqrt(float64(s)))
				}
			}
		}
	}
	if w := sc.warn(o.Units); w != "" {
		out.Remarks = append(out.Remarks, "Warning: "+w)
	}
	return out, nil
}

// bandsOf is [zoning.Fleet.Band] of every mask.
func bandsOf(fleet zoning.Fleet) *[1 << 16]uint8 {
	var out [1 << 16]uint8
	for m := range out {
		out[m] = uint8(fleet.Band(zoning.Mask(m)))
	}
	return &out
}

// remarksOf lists what was assumed of an elevation, and what is in doubt.
func remarksOf(e *terrain.Elevation) (out []string) {
	for _, w := range slices.Concat(e.Warnings, sourceWarnings(e.Sources)) {
		out = append(out, "Warning: "+w)
	}
	for _, a := range assumed(e.Sources) {
		out = append(out, "Assumed: "+a)
	}
	return out
}
