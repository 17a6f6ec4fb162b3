package osm

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// What is kept: shapes within keepM of the box around the lots, which is twice the
// thrown-object distance of [zoning.DefaultThrownM], the clearance of any line and the longest
// boom, and how far a road may lie from a place to unload. A shape is found by a corner
// within seeM.
const (
	keepM = 200
	seeM  = 3218.688 // two miles
)

// mostNear is how many nodes, or nodes of ways, may lie around the lots: some counties. They
// take half a GB.
const mostNear = 1 << 24

// spot is a node's place by its number.
type spot struct {
	id int64
	at orb.Point
}

// found is what of an extract lies around the lots, in the order of ids.
type found struct {
	asOf      string
	extent    orb.Bound // of all nodes of the file
	nodes     int
	spots     []spot    // of nodes that ways may want
	tagged    []element // nodes that rules are about
	ways      []element
	relations []element
}

// look goes through an extract three times: for nodes around the lots and relations, for
// the ways that have one of these nodes, and for what these ways lack. It keeps what lies
// around the lots, however large the file is.
func look(ctx context.Context, walk walker, lots orb.Bound) (*found, error) {
	see, keep := padded(lots, seeM), padded(lots, keepM)
	f := &found{extent: orb.MultiPoint{}.Bound()}
	parts := map[int64]bool{} // ways of relations
	var err error
	f.asOf, err = walk(ctx, wanted{nodes: true, relations: true}, func(e *element) error {
		if e.kind == relation {
			if isArea(e.tags) && len(rulesFor(e.tags)) > 0 {
				f.relations = append(f.relations, copied(e))
				for _, m := range e.members {
					if m.kind == way {
						parts[m.id] = true
					}
				}
			}
			return enough(len(parts))
		}
		if f.nodes++; f.nodes == 1 {
			f.extent = e.at.Bound()
		}
		f.extent = f.extent.Extend(e.at)
		if !see.Contains(e.at) {
			return nil
		}
		f.spots = append(f.spots, spot{e.id, e.at})
		if keep.Contains(e.at) && len(rulesFor(e.tags)) > 0 {
			f.tagged = append(f.tagged, copied(e))
		}
		return enough(len(f.spots))
	})
	if err != nil {
		return nil, err
	}
	f.sort()
	corners := 0
	var lacking []int64
	_, err = walk(ctx, wanted{ways: true}, func(e *element) error {
		if !parts[e.id] && len(rulesFor(e.tags)) == 0 {
			return nil
		}
		if !slices.ContainsFunc(e.refs, f.has) {
			return nil
		}
		f.ways = append(f.ways, copied(e))
		for _, id := range e.refs {
			if !f.has(id) {
				lacking = append(lacking, id)
			}
		}
		corners += len(e.refs)
		return enough(corners)
	})
	if err != nil {
		return nil, err
	}
	slices.Sort(lacking)
	if lacking = slices.Compact(lacking); len(lacking) > 0 {
		_, err = walk(ctx, wanted{nodes: true}, func(e *element) error {
			if _, wanted := slices.BinarySearch(lacking, e.id); wanted {
				f.spots = append(f.spots, spot{e.id, e.at})
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	f.sort()
	return f, nil
}

// walker goes through all elements of an extract that are wanted.
type walker func(ctx context.Context, want wanted, visit func(*element) error) (asOf string, err error)

func enough(n int) error {
	if n > mostNear {
		return fmt.Errorf("holds more than %d nodes around the lots: map the lots in parts, or give an extract with fewer", mostNear)
	}
	return nil
}

// copied is an element that outlives the next.
func copied(e *element) element {
	c := *e
	c.tags, c.refs, c.members = slices.Clone(e.tags), slices.Clone(e.refs), slices.Clone(e.members)
	return c
}

// sort puts all in the order of ids, of an id that stands twice the first.
func (f *found) sort() {
	slices.SortStableFunc(f.spots, func(a, b spot) int { return compare(a.id, b.id) })
	f.spots = slices.CompactFunc(f.spots, func(a, b spot) bool { return a.id == b.id })
	for _, list := range []*[]element{&f.tagged, &f.ways, &f.relations} {
		slices.SortStableFunc(*list, func(a, b element) int { return compare(a.id, b.id) })
		*list = slices.CompactFunc(*list, func(a, b element) bool { return a.id == b.id })
	}
}

func compare(a, b int64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// place is where a node lies, if the extract has it.
func (f *found) place(id int64) (orb.Point, bool) {
	i, ok := slices.BinarySearchFunc(f.spots, id, func(s spot, id int64) int { return compare(s.id, id) })
	if !ok {
		return orb.Point{}, false
	}
	return f.spots[i].at, true
}

func (f *found) has(id int64) bool {
	_, ok := f.place(id)
	return ok
}

// way is a way by its number.
func (f *found) way(id int64) (*element, bool) {
	i, ok := slices.BinarySearchFunc(f.ways, id, func(w element, id int64) int { return compare(w.id, id) })
	if !ok {
		return nil, false
	}
	return &f.ways[i], true
}

// isArea reports whether a relation draws one area.
func isArea(tags []tag) bool {
	t := tagged(tags, "type")
	return t == "multipolygon" || t == "building"
}

// Kept is the box of which an extract's features are kept, for lots in a box.
func Kept(lots orb.Bound) orb.Bound { return padded(lots, keepM) }

// padded is a box with meters around it.
func padded(b orb.Bound, metres float64) orb.Bound {
	const degree = 110_574 // of latitude at the equator, in meters: the shortest there is
	up := metres / degree
	along := up / math.Max(math.Cos(min(math.Max(math.Abs(b.Min[1]), math.Abs(b.Max[1]))+up, 89)*math.Pi/180), 0.01)
	return orb.Bound{Min: orb.Point{b.Min[0] - along, b.Min[1] - up}, Max: orb.Point{b.Max[0] + along, b.Max[1] + up}}
}

// errNoLots says that nobody told where to look.
var errNoLots = errors.New("is an OpenStreetMap extract, of which only what lies around the lots is read: give the lots with it")
