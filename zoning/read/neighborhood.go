package read

import (
	"slices"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"

	"github.com/acreband/acreband/zoning/osm"
	"github.com/acreband/acreband/zoning/site"
)

// Neighborhood finds which of many features of a map lie around a lot. The zero value and
// nil are empty. It may be asked by several goroutines at once.
type Neighborhood struct {
	features []site.Feature
	tree     rtree.RTreeG[int]
}

// NeighborhoodOf keeps features, which must not be changed afterwards.
func NeighborhoodOf(features []site.Feature) *Neighborhood {
	n := &Neighborhood{features: features}
	for i, f := range features {
		b := f.Geometry.Bound()
		n.tree.Insert(b.Min, b.Max, i)
	}
	return n
}

// around are those that count for ground in a box, in their order.
func (n *Neighborhood) around(ground orb.Bound) []site.Feature {
	if n == nil {
		return nil
	}
	var places []int
	box := osm.Kept(ground)
	n.tree.Search(box.Min, box.Max, func(_, _ [2]float64, i int) bool {
		places = append(places, i)
		return true
	})
	slices.Sort(places)
	var out []site.Feature
	for _, i := range places {
		out = append(out, n.features[i])
	}
	return out
}
