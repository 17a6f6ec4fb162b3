package quality

import (
	"context"
	"fmt"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// Doubt is one reason not to take a grid's heights at their word. It changes no
// number by itself.
type Doubt struct {
	Kind  string // one of the Doubt kinds
	Words string // one line for people
	Cells int    // cells concerned; 0 where it is the grid as a whole
}

// Kinds of doubt.
const (
	DoubtWater     = "water"
	DoubtStairs    = "stairs"
	DoubtSurface   = "surface"
	DoubtSeam      = "seam"
	DoubtStripes   = "stripes"
	DoubtPlateau   = "plateau"
	DoubtFeet      = "feet"
	DoubtResampled = "resampled"
)

// meaninglessPct is how much slope stairs must hide to be told of: what lies
// below is within the error of any raster. Common practice, no source.
const meaninglessPct = 1

// Look is what was found first on a grid, from which water is known and the other
// detectors set out.
type Look struct {
	grid      *terrain.Grid
	coarser   Coarser
	resampled bool
	plateaus  []Plateau
	stairs    Stairs
	stepped   bool
	water     *Patches
}

// NewLook looks at a grid for what the other detectors need to know. A grid that cannot be
// used is an error; once the context is done, NewLook ends with its error.
func NewLook(ctx context.Context, g *terrain.Grid) (_ *Look, err error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	defer beside.Ended(&err)
	watch := beside.NewWatch(ctx)
	l := &Look{grid: g}
	var also beside.Group
	defer also.Wait()
	also.Go(func() { l.coarser, l.resampled = findCoarser(g, watch.Another()) })
	l.plateaus = plateaus(g, watch)
	l.stairs, l.stepped = FindStairs(g)
	also.Wait()
	l.water = waterOf(g, l.plateaus, l.stepped && l.stairs.coarse(), l.coarser, watch)
	return l, nil
}

// Water is that of [Water].
func (l *Look) Water() *Patches { return l.water }

// Doubts runs all detectors on a grid: see [Look.Doubts].
func Doubts(g *terrain.Grid, assumedMetres bool) ([]Doubt, error) {
	look, err := NewLook(context.Background(), g)
	if err != nil {
		return nil, err
	}
	return look.Doubts(assumedMetres), nil
}

// Doubts runs the other detectors and tells all that was found, in a fixed order.
// Whether heights were assumed to be metres decides if feet are thought of.
//
// A detector is not asked where another explains what it would find: blocks of a
// coarser raster have edges, its facets have kinks, and tree tops are as steep as
// feet.
func (l *Look) Doubts(assumedMetres bool) []Doubt {
	var found []Doubt
	g, coarser, resampled, plateaus, stairs := l.grid, l.coarser, l.resampled, l.plateaus, l.stairs
	say := func(kind string, cells int, format string, a ...any) {
		found = append(found, Doubt{kind, fmt.Sprintf(format, a...), cells})
	}
	blocks := coarser.How == coarserBlocks && resampled
	facets := coarser.How == coarserFacets && resampled

	for _, p := range plateaus {
		switch {
		case p.Void:
			say(DoubtPlateau, p.Cells, "%s at exactly %.4g m, with steps of %.3g m around: an undeclared nodata value, or water under cliffs: no ground, though it reads as perfect ground", g.Acres(p.Cells), p.HeightM, p.StepM)
		default:
			say(DoubtPlateau, p.Cells, "%s at exactly 0 m, with steps of %.2g m around: the sea, or an undeclared nodata value", g.Acres(p.Cells), p.StepM)
		}
	}

	if l.stepped && stairs.MeaninglessPct >= meaninglessPct {
		say(DoubtStairs, 0, "heights come in steps of %s: on this grid a slope below %.2g%% means nothing, and any slope can be off by as much", stairs.Unit, stairs.MeaninglessPct)
	}

	sayWater(l.water, say)

	if !blocks {
		l.sayRough(assumedMetres, say)
	}
	if resampled {
		say(DoubtResampled, coarser.Cells, "%s hold no detail finer than about %.2g × %.2g m (%s): resampled from a coarser raster, so banks and ditches narrower than that are not in it", g.Acres(coarser.Cells), coarser.CellM[0], coarser.CellM[1], coarser.How)
	}
	for _, s := range FindSeams(g) {
		switch {
		case blocks:
		case s.Lines == 1:
			say(DoubtSeam, s.Cells, "a straight step of %.2g m over %d cells between %s %d and %d: a seam between surveys, or a wall or bank along the grid", s.StepM, s.Cells, s.Along, s.At, s.At+1)
		case !facets:
			say(DoubtStripes, s.Cells, "%d %s in turn stand higher and lower along their run, by %.2g m as a median: stripes of the survey or of a mosaic, or terraces along the grid", s.Lines, s.Along, s.StepM)
		}
	}
	return found
}

// sayer takes a doubt.
type sayer func(kind string, cells int, format string, a ...any)

// sayRough speaks of ground too rough or too steep.
func (l *Look) sayRough(assumedMetres bool, say sayer) {
	surface, rough := findSurface(l.grid, l.stairs, l.stepped)
	if rough {
		feet := ""
		if assumedMetres {
			feet = ", or feet taken for metres"
		}
		say(DoubtSurface, surface.Cells, "%.2g%% of the cells jut out by %.2g m or more: tree tops and roofs rather than bare ground, or boulders and cliffs%s", 100*surface.Share, surface.BumpM, feet)
		return
	}
	if !assumedMetres {
		return
	}
	if f, steep := FindFeet(l.grid); steep {
		say(DoubtFeet, 0, "half of the ground is steeper than %.0f%% and %.0f%% of it steeper than 100%%: heights may be feet that were taken for metres (declare the unit); mountains can be that steep", f.MedianPct, 100*f.Over100)
	}
}

// sayWater parts what is sure from what is doubtful.
func sayWater(w *Patches, say sayer) {
	var sure, doubtful, sureCells, doubtfulCells int
	var sureM2, doubtfulM2 float64
	for _, p := range w.List {
		switch {
		case p.Void: // told as a plateau
		case p.Doubtful:
			doubtful, doubtfulCells, doubtfulM2 = doubtful+1, doubtfulCells+p.Cells, doubtfulM2+p.AreaM2
		default:
			sure, sureCells, sureM2 = sure+1, sureCells+p.Cells, sureM2+p.AreaM2
		}
	}
	if sure > 0 {
		say(DoubtWater, sureCells, "%.1f acres dead flat in %s: water that the raster flattened, though it reads as perfect ground", sureM2/terrain.SquareMetresPerAcre, places(sure))
	}
	if doubtful > 0 {
		say(DoubtWater, doubtfulCells, "%.1f acres dead flat in %s that may be water or may be ground (heights come in steps, or fall away around)", doubtfulM2/terrain.SquareMetresPerAcre, places(doubtful))
	}
}

func places(n int) string {
	if n == 1 {
		return "one place"
	}
	return fmt.Sprintf("%d places", n)
}
