package zoning

import (
	"context"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning/coverage"
)

// MapLot cuts the cells that machines may work at a parcel's boundary and
// gathers each band. The field holds the slopes of the same window of cells.
// surePct has, for each machine, the slope in percent below which measured ground
// is surely within its limit; nil where the elevation's error is not known.
// What [Fleet.Check] and [Cells.Check] refuse, and slopes of another window, are errors.
func MapLot(cells *Cells, field *slope.Field, fleet Fleet, surePct []float64, p Parcel) (LotMap, error) {
	return MapLotContext(context.Background(), cells, field, fleet, surePct, p)
}

// MapLotContext is [MapLot] until a context is done: it then ends with the context's error.
func MapLotContext(ctx context.Context, cells *Cells, field *slope.Field, fleet Fleet, surePct []float64, p Parcel) (_ LotMap, err error) {
	if err := checkLot(cells, field, fleet, surePct); err != nil {
		return LotMap{}, fmt.Errorf("lot %s: %w", p.Lot, err)
	}
	defer beside.Ended(&err)
	watched := *cells
	watched.Watch = beside.NewWatch(ctx)
	return gatherLot(&watched, field, fleet, surePct, p)
}

func checkLot(cells *Cells, field *slope.Field, fleet Fleet, surePct []float64) error {
	if err := fleet.Check(); err != nil {
		return err
	}
	if err := cells.Check(); err != nil {
		return err
	}
	if err := field.Check(); err != nil {
		return err
	}
	if field.Cols != cells.Cols || field.Rows != cells.Rows {
		return fmt.Errorf("slopes of %d × %d cells for masks of %d × %d", field.Cols, field.Rows, cells.Cols, cells.Rows)
	}
	if surePct != nil && len(surePct) != len(fleet) {
		return fmt.Errorf("%d sure slopes for %d machines", len(surePct), len(fleet))
	}
	return nil
}

// gatherLot is MapLot of what was checked.
func gatherLot(cells *Cells, field *slope.Field, fleet Fleet, surePct []float64, p Parcel) (LotMap, error) {
	cov, err := coverage.Cut(&cells.Window, p.Ground)
	if err != nil {
		return LotMap{}, fmt.Errorf("lot %s: %w", p.Lot, err)
	}
	cov = cov.Simplify(&cells.Window, len(fleet), cells.SimplifyM)
	lot := LotMap{Lot: p.Lot, Acres: cov.Acres(), Coverage: cov, surePct: surePct}
	n := len(fleet.Bands())
	band := fleet.Band
	sums := make([]bandSum, n)
	for i := range sums {
		sums[i].lost = make([][]float64, len(cells.Lost))
		for k := range sums[i].lost {
			sums[i].lost[k] = make([]float64, Reasons+len(cells.Added))
		}
		sums[i].sureRise, sums[i].footRise, sums[i].limits = math.NaN(), math.Inf(1), noLimits
		if cells.FootPct > 0 {
			sums[i].footRise = cells.FootPct/100 - TieRise
		}
		if i < len(surePct) {
			sums[i].sureRise = surePct[i] / 100
		}
		if i < len(fleet) {
			sums[i].limits = limitsOf(fleet[i])
		}
	}
	for _, f := range cov.Faces {
		sums[band(f.Mask)].m2 += f.M2
	}
	var zones []orb.MultiPolygon
	var drawing beside.Group
	defer drawing.Wait()
	drawing.Go(func() { zones = cov.Polygons(n, band) })
	footUpper := (cells.FootUpperPct/100 - TieRise) * (cells.FootUpperPct/100 - TieRise)
	unnamed := 0 // a reason that the cells do not name
	count := func(b, i int, share float64) {
		sum, squared := &sums[b], float64(field.Squared[i])
		rise := math.Sqrt(squared)
		foot := field.UpperSquared == nil || cells.FootUpperPct == 0 || float64(field.UpperSquared[i]) < footUpper
		sum.add(squared, rise, share, b < len(surePct) && cells.IsSure(i, b, rise, sum.sureRise), foot)
		for k, why := range cells.Lost {
			lost, reason := sum.lost[k], int(why[i])
			if reason >= len(lost) {
				unnamed = reason
				continue
			}
			lost[reason] += share
		}
		if b < len(cells.Crossings) && cells.Crossings[b] != nil {
			sum.wade(cells.Crossings[b][i])
		}
	}
	unknown := &sums[fleet.UnknownBand()]
	last, in := Mask(0), band(0) // cells side by side are mostly of one mask
	cov.EachCell(func(col, row int, share float64) {
		cells.Watch.Did(1)
		if col < 0 || row < 0 || col >= cells.Cols || row >= cells.Rows {
			unknown.add(math.NaN(), math.NaN(), share, false, false)
			for k := range unknown.lost {
				unknown.lost[k][NotMeasured] += share
			}
			return
		}
		i := row*cells.Cols + col
		if m := cells.Masks[i]; m != last {
			last, in = m, band(m)
		}
		count(in, i, share)
	})
	cov.EachMoved(func(col, row int, share float64, from, to Mask) {
		i := row*cells.Cols + col
		count(band(from), i, -share)
		count(band(to), i, share)
	})
	drawing.Wait()
	if unnamed > 0 {
		return LotMap{}, fmt.Errorf("lot %s: Lost has reason %d, and with what is added there are %d", p.Lot, unnamed, Reasons+len(cells.Added))
	}
	for b, ground := range zones {
		if len(ground) > 0 {
			z := sums[b].zone()
			z.Band, z.Ground = b, ground
			if b < len(fleet) && field.Aspect != nil {
				z.Patches = patchesOf(&cells.Window, field, ground)
			}
			lot.Zones = append(lot.Zones, z)
		}
	}
	return lot, nil
}

// bandSum gathers a band. Cells weigh by their share inside the parcel; the
// acreage itself is measured on the outline.
type bandSum struct {
	m2                                       float64
	cells, slope, surface, procedure, tether float64
	steepest                                 float64
	sureRise, sure                           float64
	footRise, sight                          float64
	lost                                     [][]float64 // by machine and Why
	crossings                                int         // 1 more than the least; 0 where not known
	limits                                   limits
}

// limits are the rises from which a machine's acres are told apart.
type limits struct{ procedure, tether, driven float64 }

// noLimits are those of a band without a machine.
var noLimits = limits{math.Inf(1), math.Inf(1), math.Inf(1)}

func limitsOf(m Machine) limits {
	l := noLimits
	if m.ProcedureAbovePct > 0 {
		l.procedure = m.ProcedureAbovePct/100 - TieRise
	}
	if m.TetherAbovePct > 0 {
		l.tether = m.TetherAbovePct/100 - TieRise
	}
	if m.ReachM > 0 { // what a boom reaches and does not drive on asks for no procedure of driving
		l.driven = m.SteepestPct() / 100
	}
	return l
}

// add counts a cell of a rise, and of its square, sure where it is surely within its machine's
// limits; foot says whether its upper slope lets people on.
func (s *bandSum) add(squared, rise, share float64, sure, foot bool) {
	s.cells += share
	s.slope += share * rise
	s.surface += share * math.Sqrt(1+squared)
	s.steepest = max(s.steepest, rise) // NaN stays
	if rise >= s.limits.procedure && rise < s.limits.driven {
		s.procedure += share
	}
	if rise >= s.limits.tether {
		s.tether += share
	}
	switch {
	case sure:
		s.sure += share
	case rise >= s.footRise || !foot:
		s.sight += share
	}
}

func (s *bandSum) wade(crossings uint8) {
	if n := int(crossings); crossings != math.MaxUint8 && (s.crossings == 0 || n < s.crossings-1) {
		s.crossings = n + 1
	}
}

func (s *bandSum) zone() Zone {
	acres := s.m2 / terrain.SquareMetresPerAcre
	// Ground that moved away leaves the rounding of its shares: a hair less than none.
	acresOf := func(cells float64) float64 { return acres * max(0, min(1, cells/s.cells)) }
	sure, sight := acresOf(s.sure), acresOf(s.sight)
	if math.IsNaN(s.sureRise) {
		sure, sight = math.NaN(), math.NaN()
	}
	for k := range s.lost {
		for why := range s.lost[k] {
			s.lost[k][why] = acresOf(s.lost[k][why])
		}
		s.lost[k][Works] = 0
	}
	return Zone{
		LostAcres: s.lost, Crossings: s.crossings - 1,
		SureAcres:      sure,
		SightAcres:     sight,
		Acres:          acres,
		SurfaceAcres:   acres * s.surface / s.cells,
		SlopeMeanPct:   100 * s.slope / s.cells,
		SlopeMaxPct:    100 * s.steepest,
		ProcedureAcres: acresOf(s.procedure),
		TetherAcres:    acresOf(s.tether),
	}
}
