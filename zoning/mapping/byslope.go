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

// BeyondCells is how many cells a [SlopeJudge] wants to see around those that it judges: as
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

// SlopeJudge judges parts of ground one after another as [Map] does with SlopeOnly: no lots, no
// features, and on one processor, for there are other parts to be judged at once. It keeps its
// memory in between, and belongs to one goroutine.
type SlopeJudge struct {
	fleet   zoning.Fleet
	options Options
	bandOf  *[1 << 16]uint8

	masks   []zoning.Mask // of a strip of rows
	squared []float32     // slopes of it
	found   SlopeBands
}

// NewSlopeJudge makes a judge for a fleet.
func NewSlopeJudge(fleet zoning.Fleet, o Options) (*SlopeJudge, error) {
	if err := check(fleet, o); err != nil {
		return nil, err
	}
	if o.Ground == zoning.Wet {
		fleet = fleet.On(zoning.Wet)
	}
	return &SlopeJudge{fleet: fleet, options: o, bandOf: bandsOf(fleet)}, nil
}

// Judge judges the cells of a part of an elevation's grid, in its raster's cells. What it returns
// lasts until the next.
func (j *SlopeJudge) Judge(e *terrain.Elevation, part terrain.Window, slopes bool) (*SlopeBands, error) {
	if err := checkElevation(e); err != nil {
		return nil, err
	}
	grid, fleet, o := e.Grid, j.fleet, j.options
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
		if len(found.List) > 0 {
			water = found.Mask(false)
		}
	}
	rows := stripRows(grid.Cols)
	out := j.begin(rows*grid.Cols, part.Cols()*part.Rows(), slopes)
	out.Remarks = remarksOf(e)
	first, end := part.Row0-grid.Row0, part.Row1-grid.Row0
	for r0 := first; r0 < end; r0 += rows {
		r1 := min(r0+rows, end)
		cells := (r1 - r0) * grid.Cols
		strip := &slope.Field{Cols: grid.Cols, Rows: r1 - r0, Row0: r0, Squared: j.squared[:cells]}
		if err := sc.slopes(grid, r0, r1, strip); err != nil {
			return nil, err
		}
		masks := j.masks[:cells]
		if err := trafficability.Stand(strip, fleet, masks); err != nil {
			return nil, err
		}
		if water != nil {
			closeGround(water[r0*grid.Cols:r1*grid.Cols], masks)
		}
		for r := r0; r < r1; r++ {
			from := (r-r0)*grid.Cols + part.Col0 - grid.Col0
			to := (r - first) * part.Cols()
			bands := out.Bands[to : to+part.Cols()]
			for i, mask := range masks[from : from+part.Cols()] {
				bands[i] = j.bandOf[mask]
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

// begin makes room for a strip of rows, and for what is found of a part.
func (j *SlopeJudge) begin(strip, part int, slopes bool) *SlopeBands {
	j.masks, j.squared = roomFor(j.masks, strip), roomFor(j.squared, strip)
	j.found.Bands = roomFor(j.found.Bands, part)
	if slopes {
		j.found.SlopePct = roomFor(j.found.SlopePct, part)
	} else {
		j.found.SlopePct = nil
	}
	return &j.found
}

// roomFor is a slice of n, in the memory of another where that is enough.
func roomFor[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
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
