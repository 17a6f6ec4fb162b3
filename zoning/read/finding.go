package read

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/text"
)

var (
	// ErrNoElevation says that no elevation was given, and none may be asked for.
	ErrNoElevation = errors.New("no elevation is given")
	// ErrNothingFound says that the services that were asked have no elevation for the lots.
	ErrNothingFound = errors.New("no elevation was found")
)

// SplitElevation tells the rasters that are named from the services that are to be searched: those named by their keys, and where nothing
// is named all of the list that say how fine they are. Those are asked by the client of the options; without one, nothing named is an
// error that is [ErrNoElevation].
func SplitElevation(named []string, o raster.Options) (rasters []string, searched []find.Source, err error) {
	known := o.Named
	if known == nil {
		known = find.BuiltIn()
	}
	for _, name := range named {
		if s, ok := find.Named(known, name); ok && s.Searched() {
			searched = append(searched, s)
		} else {
			rasters = append(rasters, name)
		}
	}
	switch {
	case len(searched) > 0 && o.Fetch == nil, len(named) == 0 && o.Fetch == nil:
		return nil, nil, fmt.Errorf("%w, and there is no client to ask services by; name rasters", ErrNoElevation)
	case len(named) > 0:
		return rasters, searched, nil
	}
	searched = slices.DeleteFunc(slices.Clone(known), func(s find.Source) bool { return math.IsNaN(s.CellM()) || s.Kind == find.KindOverpass })
	if len(searched) == 0 {
		return nil, nil, fmt.Errorf("%w, and the list of services has none that says how fine its cells are; give %s", ErrNoElevation, setting.Name("elevation"))
	}
	return nil, searched, nil
}

// FindElevation asks services for the rasters around some ground, for a minute at most.
func FindElevation(ctx context.Context, o raster.Options, searched []find.Source, ground orb.MultiPolygon) (*find.Search, error) {
	limited, end := context.WithTimeout(ctx, find.DefaultLimit)
	defer end()
	search, err := find.Near(limited, o.Fetch, searched, searchBoxes(ground))
	var unanswered *find.Unanswered
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case errors.As(err, &unanswered):
		return nil, fmt.Errorf("asking for elevation: %w; nothing is mapped on what happened to answer: try later, or give elevation by %s: a file, or another service by name",
			err, setting.Name("elevation"))
	case err != nil:
		return nil, fmt.Errorf("asking for elevation: %w", err)
	case len(search.Tiles) == 0:
		return nil, NothingFound(search, ground)
	}
	return search, nil
}

// NothingFound says which services were asked for some ground, and what they said.
func NothingFound(search *find.Search, ground orb.MultiPolygon) error {
	var said []string
	for _, r := range search.Replies {
		words := fmt.Sprintf("%d rasters near, none with heights there", r.Tiles)
		switch {
		case r.Outside:
			words = "not asked, its area is elsewhere"
		case r.Tiles == 0:
			words = "has none there"
		case r.Tiles == 1:
			words = "one raster near, without heights there"
		}
		said = append(said, fmt.Sprintf("%s (%s): %s", r.Source.Key, r.Source.Name, words))
	}
	return fmt.Errorf("%w for the lots at %s. Asked: %s. Download a raster of bare earth for that ground and give its path by %s, or add a service that has it to a list given by %s",
		ErrNothingFound, text.Degrees(ground.Bound().Center()), strings.Join(said, "; "), setting.Name("elevation"), setting.Name("services"))
}

// GroundOf is what elevation is wanted for: the lots that can be used, with the ways to them.
func GroundOf(lots []zoning.Lot, features []site.Feature) orb.MultiPolygon {
	var usable []zoning.Lot
	var ground orb.MultiPolygon
	for _, lot := range lots {
		if lot.Err == nil {
			usable = append(usable, lot)
			ground = append(ground, lot.Ground...)
		}
	}
	if all, err := mapping.Around(usable, features); err == nil {
		return all
	}
	return ground
}

// searchMarginM is asked for around lots: more than is read around them at cells of 1 m.
const searchMarginM = 200

// searchBoxes are the boxes that services are asked for: one where the ground lies together, else one for each degree with ground in it.
func searchBoxes(ground orb.MultiPolygon) []orb.Bound {
	const together = 2 // degrees
	var boxes []orb.Bound
	at := map[[2]int]int{}
	all := ground.Bound()
	apart := all.Max[0]-all.Min[0] > together || all.Max[1]-all.Min[1] > together
	for _, poly := range ground {
		b := poly.Bound()
		if b.IsEmpty() {
			continue
		}
		var key [2]int
		if apart {
			key = [2]int{int(math.Floor(b.Center()[0])), int(math.Floor(b.Center()[1]))}
		}
		i, known := at[key]
		if !known {
			i = len(boxes)
			at[key], boxes = i, append(boxes, b)
		}
		boxes[i] = boxes[i].Union(b)
	}
	for i := range boxes {
		b := &boxes[i]
		lat := searchMarginM / 111_000.0
		lon := lat / math.Cos(min(max(math.Abs(b.Min[1]), math.Abs(b.Max[1])), 85)*math.Pi/180)
		b.Min = orb.Point{max(-180, b.Min[0]-lon), max(-90, b.Min[1]-lat)}
		b.Max = orb.Point{min(180, b.Max[0]+lon), min(90, b.Max[1]+lat)}
	}
	return boxes
}

// covered reports whether all ground of lots has heights.
func covered(e *terrain.Elevation, lots []zoning.Lot) bool {
	if len(partlyOff(e, lots)) > 0 {
		return false
	}
	for _, lot := range lots {
		if eachCell(e.Grid, lot.Ground, func(height float64) bool { return height != height }) {
			return false
		}
	}
	return true
}

// anyHeights reports whether some ground of lots has heights.
func anyHeights(e *terrain.Elevation, lots []zoning.Lot) bool {
	for _, lot := range lots {
		if eachCell(e.Grid, lot.Ground, func(height float64) bool { return height == height }) {
			return true
		}
	}
	return false
}

// eachCell reports whether a height that is wanted lies in the middle of a cell on some ground.
func eachCell(g *terrain.Grid, ground orb.MultiPolygon, wanted func(height float64) bool) bool {
	for _, poly := range ground {
		w := [4]float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for _, p := range poly[0] {
			c, r := g.Frame.Cell(p[0], p[1])
			w = [4]float64{min(w[0], c), min(w[1], r), max(w[2], c), max(w[3], r)}
		}
		for row := max(g.Row0, int(w[1])); row < min(g.Row0+g.Rows, int(w[3])+1); row++ {
			for col := max(g.Col0, int(w[0])); col < min(g.Col0+g.Cols, int(w[2])+1); col++ {
				if !wanted(g.At(col-g.Col0, row-g.Row0)) {
					continue
				}
				lon, lat := g.Frame.LonLat(float64(col)+0.5, float64(row)+0.5)
				if planar.PolygonContains(poly, orb.Point{lon, lat}) {
					return true
				}
			}
		}
	}
	return false
}

func (q Request) tell(step string) {
	if q.Progress != nil {
		q.Progress(step, 0, 0)
	}
}
