package canopy

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/terrain/setting"
)

// GrowthReport says what a surface is worth as a measure of growth. It changes no
// height: a surface that lies off the ground is told of, not moved.
type GrowthReport struct {
	Laying Laying
	CellM  [2]float64 // of the surface
	Coarse bool       // its cells are more than twice as long as the ground's

	Cells int // of the ground that have a height, water left out
	Void  int // of Cells: without a height of the surface
	Below int // of Cells: the surface lies below the ground by more than BelowM
	Level int // of Cells: within a foot of the ground
	Equal int // of Cells: exactly the ground's height

	BelowM float64

	// OffsetM is how much higher the surface is where the lowest of the differences on
	// gentle ground lie close together, as they do on open ground; SpreadM is how
	// close, as a standard deviation of those below, and OpenShare how many. NaN
	// where nothing lies so.
	OffsetM, SpreadM, OpenShare float64
	// Ratio is the same of the surface's heights over the ground's; NaN where ground
	// lies too near to sea level to tell.
	Ratio float64

	Registration Registration

	// Swapped says that the ground looks like the surface, and the surface like its
	// ground: it lies more than 2 m below it on a share Sunk of the cells, and above it on
	// a share Risen.
	Swapped     bool
	Sunk, Risen float64
}

const (
	gentlePct  = 10   // on gentler ground a shift hardly shows in heights
	crowdBandM = 0.1  // heights of two good surveys agree to less
	ratioBand  = 0.01 // of heights over heights
	ratioFromM = 5    // from sea level

	levelM = 0.3048

	// Differences below the spread of open ground by this much, at least and at
	// most, are no error of measurement (planning values, no source).
	belowSigmas           = 3
	leastBelow, mostBelow = 0.3, 2
)

// Growth is the least height of what grows on the ground: how much higher a surface,
// what light or radar met first, is on each of the ground's cells, in metres, row-major.
// It is NaN where either has no height and where the surface lies below the ground by
// more than their error; a height within that error below counts as 0. [Laying] says
// how a surface on other cells is set against the ground.
//
// It is a least height: a flight without leaves, or one before the growth, misses
// brush, and a coarse or interpolated surface cuts tops off. It is no stem size.
// Water, which may be nil, marks cells of the ground that the report leaves out,
// row-major, one value a cell. Grids that cannot be used, and water of another size, are
// errors; a surface that lies elsewhere is not: [GrowthReport.Refusal] says so.
func Growth(ground, surface *terrain.Grid, water []bool) ([]float32, GrowthReport, error) {
	if err := ground.Check(); err != nil {
		return nil, GrowthReport{}, fmt.Errorf("the ground: %w", err)
	}
	if err := surface.Check(); err != nil {
		return nil, GrowthReport{}, fmt.Errorf("the surface: %w", err)
	}
	if n := ground.Cols * ground.Rows; water != nil && len(water) != n {
		return nil, GrowthReport{}, fmt.Errorf("water of %d cells for a ground of %d", len(water), n)
	}
	o := newOverlay(ground, surface)
	w, h := surface.MiddleCellM()
	gw, gh := ground.MiddleCellM()
	r := GrowthReport{Laying: o.laying, CellM: [2]float64{w, h}, Coarse: w*h > coarseTimes*coarseTimes*gw*gh}
	all := o.samples(water)
	band := crowdBand(ground, surface)
	if !r.Coarse {
		r.Registration = o.register(all, band)
	}
	r.findSunk(all)
	r.findOpen(o, all, band)
	r.BelowM = max(0, -orZero(r.OffsetM)) + min(max(belowSigmas*orZero(r.SpreadM), leastBelow), mostBelow)

	growth := o.excesses()
	for i, d := range growth {
		row, col := i/ground.Cols, i%ground.Cols
		z := ground.Z[row*ground.Stride+col]
		if float64(d) < -r.BelowM {
			growth[i] = float32(math.NaN())
		} else if d < 0 {
			growth[i] = 0
		}
		if z == z && !(water != nil && water[i]) {
			r.count(float64(d))
		}
	}
	return growth, r, nil
}

func (r *GrowthReport) count(d float64) {
	r.Cells++
	switch {
	case d != d:
		r.Void++
	case d < -r.BelowM:
		r.Below++
	case d == 0:
		r.Equal++
	}
	if math.Abs(d) <= levelM {
		r.Level++
	}
}

func orZero(v float64) float64 {
	if v != v {
		return 0
	}
	return v
}

// crowdBand is how close differences of open ground lie together at the least: not
// closer than the steps in which heights come.
func crowdBand(ground, surface *terrain.Grid) float64 {
	band := crowdBandM
	for _, g := range []*terrain.Grid{ground, surface} {
		if s, ok, err := quality.FindStairs(g); err == nil && ok {
			band = max(band, 2*s.QuantumM)
		}
	}
	return band
}

// findOpen finds what surface and ground differ by where nothing grows. A surface that
// lies off the ground is moved back first: on slopes that looks like another height.
func (r *GrowthReport) findOpen(o *overlay, all []sample, band float64) {
	r.OffsetM, r.SpreadM, r.OpenShare, r.Ratio = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	var gentle, every, ratios []float64
	for _, s := range all {
		if z := o.ground.At(s.col, s.row); math.Abs(z) >= ratioFromM {
			ratios = append(ratios, (z+s.Dh)/z)
		}
		if shift := r.Registration; shift.Off() {
			if s.Dh = o.excess(s.col, s.row, shift.Cols, shift.Rows); s.Dh != s.Dh {
				continue
			}
		}
		every = append(every, s.Dh)
		if s.Tan < gentlePct/100.0 {
			gentle = append(gentle, s.Dh)
		}
	}
	if len(gentle) < crowdFew {
		gentle = every
	}
	if c, ok := lowestCrowd(gentle, band); ok {
		r.OffsetM, r.SpreadM, r.OpenShare = c.mid, c.spread, c.share
	}
	if c, ok := lowestCrowd(ratios, ratioBand); ok {
		r.Ratio = c.mid
	}
}

const (
	equalShare = 0.999 // of the cells: it is the same raster
	levelShare = 0.99  // of the cells: nothing grows there, or it is bare earth

	feetPerMetre = 1 / 0.3048
	ratioTol     = 0.015
	feetFromM    = 3 // what feet taken for metres are off by, at least

	// No open ground lies this far off. Where a surface stands so high over the
	// ground, it may be closed canopy, whose height varies more than that of
	// ground that was measured twice (planning values, no source).
	datumM, datumSpreadM, datumShare = 5, 0.5, 0.2

	tellOffsetM = 0.3  // two good surveys differ by less
	tellBelow   = 0.02 // of the cells
	coarseTimes = 2    // the length of the ground's cells
)

// Refusal says why the differences mean nothing as growth, and the cure; "" where
// they may.
func (r GrowthReport) Refusal() string {
	met := r.Cells - r.Void
	ratio := r.Ratio
	switch {
	case r.Cells > 0 && met == 0:
		return "it has no height anywhere on the ground: give the first-surface raster of this place"
	case met > 0 && float64(r.Equal) >= equalShare*float64(met):
		return "its heights are those of the ground: it is bare earth, or the elevation itself; give the first-surface raster"
	case math.Abs(r.OffsetM) >= feetFromM && math.Abs(ratio/feetPerMetre-1) < ratioTol:
		return fmt.Sprintf("its heights are %.3g times those of the ground: they are feet taken for meters, or the elevation's are meters taken for feet; give their units (%s, %s)", ratio, setting.Name("surface-unit"), setting.Name("elevation-unit"))
	case math.Abs(r.OffsetM) >= feetFromM && math.Abs(ratio*feetPerMetre-1) < ratioTol:
		return fmt.Sprintf("its heights are %.3g times those of the ground: they are meters taken for feet, or the elevation's are feet taken for meters; give their units (%s, %s)", ratio, setting.Name("surface-unit"), setting.Name("elevation-unit"))
	case r.Swapped:
		return fmt.Sprintf("it lies more than 2 m (6 ft) below the ground on %.0f%% of the cells, and above it on %.0f%%: ground and surface are swapped; give the bare earth as %s and the first surface as %s", 100*r.Sunk, 100*r.Risen, setting.Name("elevation"), setting.Name("surface"))
	case r.OffsetM <= -datumM, r.OffsetM >= datumM && r.SpreadM <= datumSpreadM && r.OpenShare >= datumShare:
		return fmt.Sprintf("it lies %s the ground where that looks open: heights of another vertical datum, such as over the ellipsoid instead of sea level, or of another place; bring both to one datum", side(r.OffsetM))
	}
	return ""
}

func side(offsetM float64) string {
	if offsetM < 0 {
		return fmt.Sprintf("%.2f m (%.1f ft) below", -offsetM, -offsetM/0.3048)
	}
	return fmt.Sprintf("%.2f m (%.1f ft) above", offsetM, offsetM/0.3048)
}

// sideIn is side for a reader of some units.
func sideIn(u measure.Units, offsetM float64) string {
	if u != measure.Metric {
		return side(offsetM)
	}
	if offsetM < 0 {
		return fmt.Sprintf("%.2f m below", -offsetM)
	}
	return fmt.Sprintf("%.2f m above", offsetM)
}

// Warnings says in a line each what makes the growth doubtful.
func (r GrowthReport) Warnings(u measure.Units) []string {
	var out []string
	say := func(format string, a ...any) { out = append(out, fmt.Sprintf(format, a...)) }
	met := float64(r.Cells - r.Void)
	if met > 0 && float64(r.Level) >= levelShare*met {
		say("it lies within %s of the ground on %.1f%% of the cells: it is bare earth, or nothing grows there", u.Foot(), 100*float64(r.Level)/met)
	}
	if r.Coarse {
		say("its cells of %.3g × %.3g m are far coarser than the ground's: growth is smeared, banks and ditches show as growth or hide it, and whether it lies on the ground or beside it cannot be told", r.CellM[0], r.CellM[1])
	}
	switch {
	case r.OffsetM != r.OffsetM:
		say("whether its heights fit the ground's cannot be told: they lie nowhere close together")
	case r.OffsetM >= datumM:
		say("no open ground was found: it lies %s the ground at the least; closed growth, or heights of another vertical datum", sideIn(u, r.OffsetM))
	case math.Abs(r.OffsetM) >= tellOffsetM:
		say("it lies %s the ground where that looks open: growth reads %s by as much, unless something grows there too", sideIn(u, r.OffsetM), map[bool]string{true: "too low", false: "too high"}[r.OffsetM < 0])
	}
	switch g := r.Registration; {
	case g.Off():
		say("it lies %.1f cells (%.2g m) off the ground, %.1f along the rows and %.1f down the columns (Nuth and Kääb's fit on %d cells; moved back, open ground agrees to %.2g m instead of %.2g m): growth stands on the wrong cells, and slopes show false growth",
			math.Hypot(g.Cols, g.Rows), g.M, g.Cols, g.Rows, g.Cells, g.AfterM, g.BeforeM)
	case !g.Known && !r.Coarse:
		say("whether it lies on the ground or beside it cannot be told: too little open ground that slopes in several directions")
	}
	if share := float64(r.Below) / met; share >= tellBelow {
		say("it lies below the ground by more than %.2g m on %.1f%% of the cells: growth is not known there", r.BelowM, 100*share)
	}
	return out
}

// LayingWords says for people how the surface was set against the ground's cells.
func (r GrowthReport) LayingWords() string {
	switch r.Laying {
	case CellByCell:
		return "cell by cell"
	case GreatestInCell:
		return fmt.Sprintf("the greatest in each cell of its cells of %.3g × %.3g m", r.CellM[0], r.CellM[1])
	}
	return fmt.Sprintf("interpolated between its cells of %.3g × %.3g m, which cuts tops off", r.CellM[0], r.CellM[1])
}
