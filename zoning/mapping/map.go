package mapping

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync/atomic"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
)

// Map classifies the ground for a fleet. It reads no file and does not change
// the ground. The same ground and fleet give the same map, to the bit, however
// many processors there are. A lot that cannot be cut is left out with a
// warning; where none is left, Map returns what was wrong with the first. Once the
// context is done it returns its error, at the next strip of rows or lot.
func Map(ctx context.Context, g *Ground, fleet zoning.Fleet, o Options) (*zoning.ZoneMap, error) {
	m, err := g.mapping(fleet, o)
	if err != nil {
		return nil, err
	}
	if err := m.judge(ctx); err != nil {
		return nil, err
	}
	if err := m.findWorkable(ctx); err != nil {
		return nil, withCure(err, g.Elevation.Sources[0])
	}
	var out *zoning.ZoneMap
	var doubts []quality.Doubt
	var toldErr, doubtErr error
	var telling beside.Group
	defer telling.Wait()
	tellGround := func() { out, toldErr = m.toldOfGround(ctx) }
	// How acres are told may hang on those from each source; and memory counts on large ground.
	beforeCutting := m.Elevation.From == nil && !m.oneByOne
	if beforeCutting {
		telling.Go(tellGround)
	}
	telling.Go(func() {
		doubts, doubtErr = m.looked.look.In(o.Units).Doubts(ctx, assumesMetres(g.Elevation.Sources), o.Detectors...)
	})
	if err := m.cut(ctx); err != nil {
		return nil, err
	}
	if !beforeCutting {
		tellGround()
	}
	telling.Wait()
	if err := cmp.Or(toldErr, doubtErr); err != nil {
		return nil, err
	}
	if err := m.tellOfLots(ctx, out); err != nil {
		return nil, err
	}
	for _, d := range doubts {
		out.Warnings = append(out.Warnings, "the elevation: "+d.Words)
	}
	out.Warnings = append(out.Warnings, sourceWarnings(g.Elevation.Sources)...)
	return out, nil
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
	case errors.Is(err, coverage.ErrCellSize):
		return fmt.Errorf("%w; those of %s measure %.3g × %.3g m: use a coarser raster", err, s.Path, s.CellM[0], s.CellM[1])
	case errors.Is(err, coverage.ErrNoGround):
		return fmt.Errorf("%w as wide as 0.1 mm; check its corners", err)
	}
	return err
}

// stripRows is how many rows of slope are found at a time: fewer where they are long, so
// that a context is looked at in between.
func stripRows(cols int) int { return max(1, min(128, 4*beside.Units/cols)) }

// inParts calls work for parts of n things, size at a time, on all processors,
// and tells how far that is. It begins no part once a context is done, whose error it then
// returns, nor after one that fails.
func inParts(ctx context.Context, tell Progress, step string, n, size int, work func(from, to int) error) error {
	return inPartsBy(ctx, runtime.GOMAXPROCS(0), tell, step, n, size, work)
}

// inPartsBy is inParts by some goroutines, one or more.
func inPartsBy(ctx context.Context, workers int, tell Progress, step string, n, size int, work func(from, to int) error) error {
	going, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	var next, done atomic.Int64
	var wg beside.Group
	defer wg.Wait()
	for range min(max(workers, 1), (n+size-1)/size) {
		wg.Go(func() {
			for {
				from := int(next.Add(int64(size))) - size
				if from >= n || going.Err() != nil || ctx.Err() != nil {
					return
				}
				to := min(from+size, n)
				if err := work(from, to); err != nil {
					stop(err)
					return
				}
				tell.tell(step, int(done.Add(int64(to-from))), n)
			}
		})
	}
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	return context.Cause(going)
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
			out = append(out, fmt.Sprintf("%s declares heights in %s, and others beside it declare nothing and were taken for meters: where they meet there may be a false cliff, or a cliff may be missing", s.Path, s.Unit))
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
