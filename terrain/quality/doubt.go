package quality

import (
	"context"
	"fmt"
	"slices"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// Doubt is one reason not to take a grid's heights at their word. It changes no
// number by itself.
type Doubt struct {
	Kind  string // one of the Doubt kinds, or a word of whoever gave the [Detector]
	Words string // one line for people
	Cells int    // cells concerned; 0 where it is the grid as a whole
}

// Kinds of doubt. Blocks, facets and smoothness are what gives a resampled grid away.
const (
	DoubtWater   = "water"
	DoubtStairs  = "stairs"
	DoubtSurface = "surface"
	DoubtSeam    = "seam"
	DoubtStripes = "stripes"
	DoubtPlateau = "plateau"
	DoubtFeet    = "feet"
	DoubtBlocks  = "blocks"
	DoubtFacets  = "facets"
	DoubtSmooth  = "smooth"
)

// Detector looks for what makes heights doubtful.
type Detector struct {
	// Find returns what it found, in the order of telling. It ends with the context's error
	// once that is done.
	Find func(context.Context, *Look) ([]Doubt, error)
	// Unless lists, by the kind of a doubt, those that explain it: where one of them
	// was found, it is not told.
	Unless map[string][]string
}

// Detectors lists the detectors in the order in which their doubts are told, each with
// what silences it. The list is the caller's to change.
func Detectors() []Detector {
	return []Detector{
		{watched(plateauDoubts), nil},
		{watched(stairDoubts), nil},
		{watched(waterDoubts), nil},
		// Blocks of a coarser raster have edges, and tree tops are as steep as feet.
		{watched(surfaceDoubts), map[string][]string{DoubtSurface: {DoubtBlocks}}},
		{watched(feetDoubts), map[string][]string{DoubtFeet: {DoubtBlocks, DoubtSurface}}},
		{watched(resampledDoubts), nil},
		// Its facets have kinks, evenly spaced.
		{watched(seamDoubts), map[string][]string{DoubtSeam: {DoubtBlocks}, DoubtStripes: {DoubtBlocks, DoubtFacets}}},
	}
}

// watched is a Detector's Find that ends where it tells a watch what it did.
func watched(find func(*Look, *beside.Watch) []Doubt) func(context.Context, *Look) ([]Doubt, error) {
	return func(ctx context.Context, l *Look) (_ []Doubt, err error) {
		if err := l.check(); err != nil {
			return nil, err
		}
		defer beside.Ended(&err)
		return find(l, beside.NewWatch(ctx)), nil
	}
}

// Doubts looks at a grid and runs all detectors on it: see [Look.Doubts].
func Doubts(g *terrain.Grid, assumedMetres bool, more ...Detector) ([]Doubt, error) {
	look, err := NewLook(context.Background(), g)
	if err != nil {
		return nil, err
	}
	return look.Doubts(context.Background(), assumedMetres, more...)
}

// Doubts runs [Detectors], and more, and returns what they found but for what another
// doubt explains, in the order of the detectors. Whether heights were assumed to be
// metres decides if feet are thought of. A detector's error ends it, as does the
// context's.
func (l *Look) Doubts(ctx context.Context, assumedMetres bool, more ...Detector) ([]Doubt, error) {
	if err := l.check(); err != nil {
		return nil, err
	}
	asked := *l
	asked.assumedMetres = assumedMetres
	detectors := append(Detectors(), more...)
	found := make([][]Doubt, len(detectors))
	is := map[string]bool{}
	for i, d := range detectors {
		if d.Find == nil {
			return nil, fmt.Errorf("detector %d of %d finds nothing: its Find is nil", i+1, len(detectors))
		}
		var err error
		if found[i], err = d.Find(ctx, &asked); err != nil {
			return nil, err
		}
		for _, doubt := range found[i] {
			is[doubt.Kind] = true
		}
	}
	var told []Doubt
	for i, d := range detectors {
		for _, doubt := range found[i] {
			if !slices.ContainsFunc(d.Unless[doubt.Kind], func(kind string) bool { return is[kind] }) {
				told = append(told, doubt)
			}
		}
	}
	return told, nil
}

func doubt(kind string, cells int, format string, a ...any) Doubt {
	return Doubt{kind, fmt.Sprintf(format, a...), cells}
}
