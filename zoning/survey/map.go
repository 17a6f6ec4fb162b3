package survey

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync/atomic"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/flow"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/work"
)

// Map classifies the ground for a fleet. It reads no file and does not change
// the ground. The same ground and fleet give the same map, to the bit, however
// many processors there are. A lot that cannot be cut is left out with a
// warning; where none is left, Map returns what was wrong with the first.
func Map(g *Ground, fleet []zoning.Machine, o Options) (*zoning.ZoneMap, error) {
	return MapContext(context.Background(), g, fleet, o)
}

// MapContext is [Map] until a context is done: it then returns the context's error,
// at the next strip of rows or lot.
func MapContext(ctx context.Context, g *Ground, fleet []zoning.Machine, o Options) (*zoning.ZoneMap, error) {
	if err := zoning.CheckFleet(fleet); err != nil {
		return nil, err
	}
	tell := o.Progress
	if tell == nil {
		tell = g.progress
	}
	dry, wet := fleet, zoning.FleetOn(fleet, zoning.Wet)
	if o.Ground == zoning.Wet {
		fleet = wet
	}
	cellM := g.Elevation.Sources[0].CellM
	sc, err := scaleFor(o.Scale, fleet, cellM)
	if err != nil {
		return nil, err
	}
	// On cells longer than a machine's way no way can be told from another.
	coarse := max(cellM[0], cellM[1]) >= screeningM
	grid := g.Elevation.Grid
	var look *terrain.Look
	var looking, doubting beside.Group
	var drainage *flow.Drainage
	looking.Go(func() {
		look = g.look()
		if !o.SlopeOnly && !coarse {
			drainage = g.drain()
		}
	})
	if o.Surveyed == "" {
		o.Surveyed = oldestSurvey(g.Elevation.Sources)
	}
	noise := o.noise(cellM)
	cov := covariance(noise, sc, grid)
	surePct := surePct(cov, fleet)
	dry, wet = o.within(cov, dry), o.within(cov, wet)
	drawn := dry
	if o.Ground == zoning.Wet {
		drawn = wet
	}
	field := slope.NewField(grid)
	cells := &zoning.Cells{Cols: grid.Cols, Rows: grid.Rows, Col0: grid.Col0, Row0: grid.Row0, Frame: grid.Frame}
	var firm []zoning.Mask
	if o.SlopeOnly {
		cells.Masks = make([]zoning.Mask, grid.Cols*grid.Rows)
	} else {
		field.AddAspect()
		firm = make([]zoning.Mask, grid.Cols*grid.Rows)
	}
	inParts(ctx, tell, "finding slope, rows", grid.Rows, stripRows, func(r0, r1 int) {
		strip := field.Part(r0, r1)
		sc.slopes(grid, r0, r1, strip)
		if o.SlopeOnly {
			zoning.Stand(strip, drawn, cells.Masks[r0*grid.Cols:])
		} else {
			zoning.Firm(strip, drawn, firm[r0*grid.Cols:])
		}
	})

	looking.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var water []bool
	if !o.WaterIsGround {
		water = g.seen.water
	}
	var here, other *work.Work
	if o.SlopeOnly {
		closeGround(either(either(water, g.work.Setback), g.Site.Closed), cells.Masks)
	} else {
		here, other = g.workable(field, firm, water, drainage, dry, wet, o.Ground)
		cells.Masks, cells.Lost, cells.Crossings = here.Masks, here.Why, here.Crossings
	}
	var doubts []terrain.Doubt
	doubting.Go(func() { doubts = look.Doubts(assumesMetres(g.Elevation.Sources)) })

	cells.Unsure, cells.SimplifyM = unsure(g.Elevation), o.SimplifyM

	lots, errs := make([]zoning.LotMap, len(g.Lots)), make([]error, len(g.Lots))
	inParts(ctx, tell, "cutting lots", len(g.Lots), 1, func(i, _ int) {
		lots[i], errs[i] = zoning.MapLot(cells, field, drawn, surePct, g.Lots[i].Parcel)
		lots[i].Notes, lots[i].Place = g.Lots[i].Notes, g.Lots[i].Place
		if g.EdgeAcres != nil {
			lots[i].EdgeAcres = g.EdgeAcres[i]
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	m := &zoning.ZoneMap{
		Fleet: fleet, Ground: cmp.Or(o.Ground, zoning.Dry), Sources: g.Elevation.Sources, Scale: sc.words, Surveyed: o.Surveyed,
		Error:   zoning.ElevationError{SigmaM: noise.SigmaM, From: noise.From, Assumed: o.Noise == nil, Cautious: o.Cautious, Slope: cov},
		Assumed: assumed(g.Elevation.Sources), Warnings: slices.Clone(g.Warnings), Cautions: zoning.Cautions(),
	}
	m.Cells, m.Field = cells, field
	if o.Cautious || o.MarginPct > 0 {
		m.Drawn = drawn
	}
	if here == nil || coarse {
		stamp := zoning.BySlopeAlone
		if here != nil {
			stamp = zoning.NoWaysAsked
		}
		m.Cautions = slices.Insert(m.Cautions, 1, stamp)
		if g.work.Staging != nil {
			m.Warnings = append(m.Warnings, "ways in from the staging were not asked for")
		}
	} else if g.work.Staging == nil {
		m.Cautions = slices.Insert(m.Cautions, 1, zoning.AccessNotChecked)
	}
	if here != nil {
		m.Otherwise = acresByBand(other.Masks, grid.Cols, grid.Rows, fleet, lots, errs)
		g.tell(m, here, drainage)
	}
	if g.surface != nil {
		g.tellGrowth(m, lots, errs, water)
	}
	m.SourceAcres = sourceAcres(g.Elevation, lots, errs)
	if acres := steppedAcres(g.Elevation, lots, errs); acres > 0 {
		m.Warnings = append(m.Warnings, fmt.Sprintf("%.2f acres lie where two sources of elevation meet at different heights: their slope is in part that step", acres))
	}
	if g.Boundary != "" {
		m.Boundary = g.Boundary.Words()
	}
	for i, err := range errs {
		if err == nil {
			m.Lots = append(m.Lots, lots[i])
			continue
		}
		errs[i] = withCure(err, g.Elevation.Sources[0])
		m.Warnings = append(m.Warnings, "left out: "+errs[i].Error())
	}
	if len(m.Lots) == 0 {
		return nil, errs[0]
	}
	for _, f := range g.Failed {
		m.Warnings = append(m.Warnings, "left out: "+f.Err.Error())
	}
	if sc.warning != "" {
		m.Warnings = append(m.Warnings, sc.warning)
	}
	if o.tooOld() {
		m.Warnings = append(m.Warnings, fmt.Sprintf("the ground was surveyed in %s, before %s: it may have changed since", o.Surveyed, o.OldestSurvey))
	}
	if o.MarginPct > 0 {
		m.Assumed = append(m.Assumed, fmt.Sprintf("every limit is %.4g points lower than its machine's when zones are drawn (--margin)", o.MarginPct))
	}
	if o.Noise == nil {
		m.Assumed = append(m.Assumed, fmt.Sprintf("heights are good to %.2g m (%s; --elevation-error overrules)", noise.SigmaM, noise.From))
	}
	doubting.Wait()
	for _, d := range doubts {
		m.Warnings = append(m.Warnings, "the elevation: "+d.Words)
	}
	m.Warnings = append(m.Warnings, sourceWarnings(g.Elevation.Sources)...)
	return m, nil
}

// closeGround closes what is drawn as no-go, and dead-flat water: bare-earth rasters
// flatten it, and it reads as perfect ground; an undeclared void does too. Flats that may as well be ground are left, and told.
func closeGround(closed []bool, masks []zoning.Mask) {
	for i, is := range closed {
		if is {
			masks[i] = zoning.NoGo
		}
	}
}

func assumesMetres(sources []terrain.Source) bool {
	return slices.ContainsFunc(sources, func(s terrain.Source) bool { return s.UnitFrom == "assumed" })
}

// withCure adds to why a lot could not be cut what to do about it.
func withCure(err error, s terrain.Source) error {
	switch {
	case errors.Is(err, zoning.ErrCellSize):
		return fmt.Errorf("%w; those of %s measure %.3g × %.3g m: use a coarser raster", err, s.Path, s.CellM[0], s.CellM[1])
	case errors.Is(err, zoning.ErrNoGround):
		return fmt.Errorf("%w as wide as 0.1 mm; check its corners", err)
	}
	return err
}

// stripRows is how many rows of slope are found at a time.
const stripRows = 128

// inParts calls work for parts of n things, size at a time, on all processors,
// and tells how far that is. It begins no part once a context is done.
func inParts(ctx context.Context, tell Progress, step string, n, size int, work func(from, to int)) {
	var next, done atomic.Int64
	var wg beside.Group
	for range min(runtime.GOMAXPROCS(0), (n+size-1)/size) {
		wg.Go(func() {
			for {
				from := int(next.Add(int64(size))) - size
				if from >= n || ctx.Err() != nil {
					return
				}
				to := min(from+size, n)
				work(from, to)
				tell.tell(step, int(done.Add(int64(to-from))), n)
			}
		})
	}
	wg.Wait()
}

// assumed lists what was assumed of the elevation, each once.
func assumed(sources []terrain.Source) []string {
	var out []string
	for _, s := range sources {
		for _, a := range s.Assumed {
			if !slices.Contains(out, a) {
				out = append(out, a)
			}
		}
	}
	return out
}

func sourceWarnings(sources []terrain.Source) []string {
	var out []string
	for _, s := range sources {
		if assumesMetres(sources) && s.UnitFrom != "assumed" {
			out = append(out, fmt.Sprintf("%s declares heights in %s, and others beside it declare nothing and were taken for metres: where they meet there may be a false cliff, or a cliff may be missing", s.Path, s.Unit))
			break
		}
	}
	for _, s := range sources {
		for _, w := range s.Warnings {
			out = append(out, fmt.Sprintf("%s: %s", s.Path, w))
		}
	}
	return out
}
