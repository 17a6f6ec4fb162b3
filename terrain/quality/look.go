package quality

import (
	"context"
	"errors"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/measure"
)

// Look is what was found first on a grid, from which water is known and the
// detectors set out. It may be shared between goroutines.
type Look struct {
	grid      *terrain.Grid
	coarser   resampling
	resampled bool
	plateaus  []plateau
	stairs    Stairs
	stepped   bool
	water     *Patches
	rough     *roughOnce

	assumedMetres bool
	units         measure.Units      // that doubts are told in
	of            *terrain.Elevation // that the grid is of; nil where nobody says
}

// NewLook looks at a grid for what the detectors need to know. A grid that cannot be
// used is an error; once the context is done, NewLook ends with its error.
func NewLook(ctx context.Context, g *terrain.Grid) (_ *Look, err error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	defer beside.Ended(&err)
	watch := beside.NewWatch(ctx)
	l := &Look{grid: g, rough: new(roughOnce)}
	var also beside.Group
	defer also.Wait()
	also.Go(func() { l.coarser, l.resampled = findCoarser(g, watch.Another()) })
	l.plateaus = plateaus(g, watch)
	l.stairs, l.stepped = findStairs(g)
	also.Wait()
	l.findWater(watch)
	return l, nil
}

// findWater finds water by what else was found.
func (l *Look) findWater(watch *beside.Watch) {
	l.water = waterOf(l.grid, l.plateaus, l.stepped && l.stairs.coarse(), l.coarser, watch)
	if !l.stepped && !l.resampled { // else all gentle ground is calm
		var taken []bool
		if len(l.water.List) > 0 {
			taken = l.water.Mask(true)
		}
		l.water.addCalm(calmWater(l.grid, taken, watch))
	}
}

// Of tells the look which elevation the grid is of, and returns it. Steps along a line where two of
// its sources meet are not told then, for who joined them has; nor are columns and rows by
// numbers that the first source does not have. It is called before the look is shared.
func (l *Look) Of(e *terrain.Elevation) *Look {
	l.of = e
	return l
}

// In returns the look for a reader of some units.
func (l *Look) In(units measure.Units) *Look {
	told := *l
	told.units = units
	return &told
}

// Grid is the grid that was looked at.
func (l *Look) Grid() *terrain.Grid { return l.grid }

// Water is what [Water] finds on the grid.
func (l *Look) Water() *Patches { return l.water }

// AssumedMetres reports whether heights were taken for metres although nothing says so,
// as [Look.Doubts] was told.
func (l *Look) AssumedMetres() bool { return l.assumedMetres }

// check refuses a look that NewLook did not make.
func (l *Look) check() error {
	if l == nil || l.water == nil {
		return errors.New("nobody has looked at the grid: NewLook does")
	}
	return l.grid.Check()
}

// QuantumM is the step in which heights come, in meters; 0 where they come in none.
func (l *Look) QuantumM() float64 {
	if !l.stepped {
		return 0
	}
	return l.stairs.QuantumM
}

// CoarseM is the longer side of the cells of the coarser raster that most of the grid was drawn
// from, in meters; 0 where it was not.
func (l *Look) CoarseM() float64 {
	if !l.resampled || 2*l.coarser.Cells < l.grid.Cols*l.grid.Rows {
		return 0
	}
	return max(l.coarser.CellM[0], l.coarser.CellM[1])
}
