package mapping

import (
	"context"
	"fmt"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/zoning"
)

// Noise from cell to cell, of some 0.15 m, makes slopes, steps and roughness that take half
// and more of a loader's ground. A Gaussian of a meter before the plane of a machine mends it:
// on a dissected ridge at 1 m, of what each machine of the built-in fleet works without noise,
// with noise and by heights as they are, and smoothed:
//
//	noise    as they are    smoothed
//	0.04 m    95 to 99%     100 to 104%
//	0.09 m    84 to 99%     100 to 104%
//	0.15 m    11 to 81%      95 to 102%
//	0.20 m     0 to 13%      85 to 94%
//
// Smoothed heights read gentler: what that hides is counted as that of coarser cells is, and
// drop-offs are looked for in the heights as they are.
const (
	smoothM = 1.0
	// Noise of 0.04 m is measured as 0.03 or more, of 0.02 m as less, quiet lidar as none.
	// What is above the largest is as rough as tree tops are.
	leastNoiseM, mostNoiseM = 0.03, 0.25
	// noisyShare is the part of a machine's lowest limit that noise may take at 90%
	// certainty; common practice, no source.
	noisyShare = 1.0 / 3
)

// quieten looks for noise from cell to cell and smooths it. Rounded heights look like it and
// are none.
func (s *scaled) quieten(g *terrain.Grid) error {
	if s.footprint == nil {
		return nil
	}
	noise := slope.WhiteNoiseM(g)
	if noise < leastNoiseM {
		return nil
	}
	if _, stepped, err := quality.FindStairs(g); err != nil || stepped {
		return err
	}
	s.noiseM = noise
	if noise > mostNoiseM {
		return nil
	}
	smooth := slope.GaussianOf(g, smoothM)
	s.smooth = &smooth
	s.words += fmt.Sprintf(", of heights smoothed over %g m for noise of %.2g m from cell to cell", smoothM, noise)
	return nil
}

// quiet is the grid as slope is taken of it. Once the context is done it ends with the
// context's error.
func (s *scaled) quiet(ctx context.Context, g *terrain.Grid) (*terrain.Grid, error) {
	if s.smooth == nil {
		return g, nil
	}
	if s.smoothed == nil {
		smoothed := s.smooth.Room(g)
		if err := inParts(ctx, nil, "", g.Rows, stripRows(g.Cols), func(r0, r1 int) error {
			s.smooth.Rows(g, r0, r1, smoothed)
			return nil
		}); err != nil {
			return nil, err
		}
		s.smoothed = smoothed
	}
	return s.smoothed, nil
}

// tooNoisy names the machines of whose lowest limit noise takes too much even so.
func (s *scaled) tooNoisy(fleet zoning.Fleet, g *terrain.Grid) (out []string) {
	if s.noiseM == 0 {
		return nil
	}
	cov := covariance(slope.Noise{SigmaM: s.noiseM}, *s, g)
	for _, m := range fleet {
		limits := m.Standing()
		lowest := limits.AlongPct
		if limits.CrossPct > 0 {
			lowest = min(lowest, limits.CrossPct)
		}
		if surely := 100 * cov.SureBelow(lowest/100, slope.Certainty); surely < (1-noisyShare)*lowest {
			out = append(out, fmt.Sprintf("the raster is too noisy for %s: heights differ by %.2g m from cell to cell without being ground, and of its limit of %.4g%% that leaves %.2g%%; use a quieter or coarser raster",
				m.Name, s.noiseM, lowest, surely))
		}
	}
	return out
}
