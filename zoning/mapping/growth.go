package mapping

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/canopy"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// surface is what a first surface says of the ground's cells.
type surface struct {
	growthM  []float32    // of each cell, NaN where not known
	class    []site.Class // of cover that those propose
	sources  []terrain.Source
	how      string
	warnings []string
	doubts   func(measure.Units) []string // what makes it doubtful, in the units of a map
}

// ErrSurface says that a first surface cannot be measured against the ground.
var ErrSurface = errors.New("no height of growth")

// AddSurface lays a first surface that was read over the ground's cells on it: less the
// ground it is the least height of the growth. It returns [ErrSurface] where it cannot
// be measured against the ground.
func (g *Ground) AddSurface(read *terrain.Elevation) error {
	if err := g.check(); err != nil {
		return err
	}
	if err := checkElevation(read); err != nil {
		return fmt.Errorf("%w: %w", ErrSurface, err)
	}
	looked, err := g.look(context.Background())
	if err != nil {
		return err
	}
	growthM, report, err := canopy.Growth(g.Elevation.Grid, read.Grid, looked.water)
	if err != nil {
		return err
	}
	path := read.Sources[0].Path
	if why := report.Refusal(); why != "" {
		return fmt.Errorf("%w from %s: %s", ErrSurface, path, why)
	}
	s := &surface{growthM: growthM, class: proposeCover(growthM, g.Elevation), sources: read.Sources, how: report.LayingWords()}
	s.warnings = slices.Clone(read.Warnings)
	for _, source := range read.Sources {
		for _, w := range source.Warnings {
			s.warnings = append(s.warnings, source.Path+": "+w)
		}
	}
	s.doubts = func(u measure.Units) (out []string) {
		for _, w := range report.Warnings(u) {
			out = append(out, path+": "+w)
		}
		return out
	}
	g.surface = s
	return g.lay()
}

// Outline goes round the cells that were read, its longitudes running on across
// the antimeridian.
func (g *Ground) Outline() orb.Polygon {
	grid := g.Elevation.Grid
	w, h := float64(grid.Cols), float64(grid.Rows)
	corners := [][2]float64{{0, 0}, {0, h}, {w, h}, {w, 0}, {0, 0}}
	const pieces = 16 // of a side, which bends
	var ring orb.Ring
	for i := 1; i < len(corners); i++ {
		a, b := corners[i-1], corners[i]
		for k := range pieces {
			t := float64(k) / pieces
			lon, lat := grid.Frame.LonLat(float64(grid.Col0)+a[0]+t*(b[0]-a[0]), float64(grid.Row0)+a[1]+t*(b[1]-a[1]))
			ring = append(ring, orb.Point{lon, lat})
		}
	}
	return orb.Polygon{append(ring, ring[0])}
}

// growthOver is the greater of the surface's growth and what is drawn, cell by cell,
// and what is known where one is not.
func (g *Ground) growthOver(drawnM []float32) []float32 {
	switch {
	case g.surface == nil:
		return drawnM
	case drawnM == nil:
		return g.surface.growthM
	}
	out := slices.Clone(drawnM)
	for i, h := range g.surface.growthM {
		if !(out[i] >= h) && h == h {
			out[i] = h
		}
	}
	return out
}

// leastTold is less acres than are worth a word: what rounding at a boundary leaves.
const leastTold = 0.005

// tellGrowth adds up the growth on the lots, and tells what it is worth.
func (g *Ground) tellGrowth(m *zoning.ZoneMap, lots []zoning.LotMap, errs []error, water []bool, watch *beside.Watch) {
	s := g.surface
	m.Growth = &zoning.Growth{Sources: s.sources, Surveyed: oldestSurvey(s.sources), How: s.how}
	for i, lot := range lots {
		if errs[i] == nil {
			m.Growth.Lots = append(m.Growth.Lots, g.growthAcres(lot, water, watch))
		}
	}
	m.Cautions = append(m.Cautions, zoning.GrowthCautions()...)
	m.Warnings = append(m.Warnings, s.warnings...)
	if s.doubts != nil {
		m.Warnings = append(m.Warnings, s.doubts(m.Units)...)
	}
	if total := m.Growth.Total(); total.Unknown >= leastTold {
		m.Warnings = append(m.Warnings, fmt.Sprintf("%s have no height of growth: it holds no machine back there, whatever it is", areaText(m, total.Unknown, 2)))
	}
	if w := datesApart(m.Surveyed, m.Growth.Surveyed); w != "" {
		m.Warnings = append(m.Warnings, w)
	}
	for _, a := range assumed(s.sources) {
		m.Assumed = append(m.Assumed, "first surface: "+a)
	}
}

// growthAcres are a lot's acres by height of growth.
func (g *Ground) growthAcres(lot zoning.LotMap, water []bool, watch *beside.Watch) zoning.GrowthAcres {
	var out zoning.GrowthAcres
	eachCell(g.Elevation, []zoning.LotMap{lot}, []error{nil}, watch, func(cell int, acres float64) {
		class := zoning.GrowthClassOf(float64(g.work.GrowthM[cell]))
		switch {
		case water != nil && water[cell]:
			out.Water += acres
		case class < 0:
			out.Unknown += acres
		default:
			out.ByClass[class] += acres
		}
	})
	known := out.Water + out.Unknown
	for _, acres := range out.ByClass {
		known += acres
	}
	out.Unknown += math.Max(0, lot.Acres-known) // off the cells that were read
	return out
}

// apartYears is how far the surveys of ground and surface may lie apart: brush grows
// to 3 ft and more in two years (planning value, no source).
const apartYears = 2

// datesApart says what the dates of ground and surface leave in doubt.
func datesApart(ground, surface string) string {
	switch {
	case surface == "":
		return "when the first surface was measured is not known: what has grown or was cleared since is not in it"
	case ground == "":
		return fmt.Sprintf("the first surface was measured in %s, the ground nobody says when: what changed between reads as growth", surface)
	}
	a, b := dayOf(ground), dayOf(surface)
	if a.After(b) {
		a, b = b, a
	}
	if b.After(a.AddDate(apartYears, 0, 0)) {
		return fmt.Sprintf("the ground was measured in %s, the first surface in %s: more than %d years apart, and what changed between reads as growth", ground, surface, apartYears)
	}
	return ""
}

// dayOf is the first day of a date that is written as a year, a month or a day.
func dayOf(date string) time.Time {
	const layout = "2006-01-02"
	day, _ := time.Parse(layout[:min(len(date), len(layout))], date)
	return day
}
