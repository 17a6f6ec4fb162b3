package raster

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
)

// insert puts an entry's box into the tree, with a margin for the halo of a
// place and for sides that bulge between the points of the rim.
func (c *Catalogue) insert(i int) {
	e := &c.entries[i]
	if len(e.Rim) == 0 {
		return
	}
	lo, hi := boxOf(e.Rim)
	cell := max(e.CellM[0], e.CellM[1]) / degreeM
	margin := [2]float64{0, (halo+1)*cell + 0.01*(hi[1]-lo[1])}
	tallest := min(max(math.Abs(lo[1]), math.Abs(hi[1])), 89)
	margin[0] = (halo+1)*cell/math.Cos(tallest*math.Pi/180) + 0.01*(hi[0]-lo[0])
	c.places.Insert([2]float64{lo[0] - margin[0], lo[1] - margin[1]}, [2]float64{hi[0] + margin[0], hi[1] + margin[1]}, i)
}

// degreeM is a degree of latitude, or less.
const degreeM = 111_000

// widen makes room for the wide halo on cells of a size.
func (c *Catalogue) widen(cellM [2]float64) {
	c.wide = max(c.wide, float64(terrain.WideCells(cellM)-halo)*max(cellM[0], cellM[1])/degreeM)
}

// boxOf is the box around a rim, its longitudes running on across the
// antimeridian. A rim that goes all round the earth holds a pole.
func boxOf(rim [][2]float64) (lo, hi [2]float64) {
	lon := rim[0][0]
	lo, hi = rim[0], rim[0]
	for i := range rim {
		p := rim[(i+1)%len(rim)]
		lon += math.Remainder(p[0]-lon, 360)
		lo = [2]float64{min(lo[0], lon), min(lo[1], p[1])}
		hi = [2]float64{max(hi[0], lon), max(hi[1], p[1])}
	}
	if math.Abs(lon-rim[0][0]) > 180 {
		lo[0], hi[0] = -180, 180
		if lo[1]+hi[1] > 0 {
			hi[1] = 90
		} else {
			lo[1] = -90
		}
	}
	return lo, hi
}

// Near lists the entries that may lie around a place, in the order named, without
// opening any. Those that were named themselves are among them wherever they lie.
func (c *Catalogue) Near(ground orb.MultiPolygon) []int {
	hits := slices.Clone(c.named)
	for _, poly := range ground {
		b := poly.Bound()
		for _, turn := range []float64{-360, 0, 360} {
			c.places.Search([2]float64{b.Min[0] + turn, b.Min[1]}, [2]float64{b.Max[0] + turn, b.Max[1]}, func(_, _ [2]float64, i int) bool {
				hits = append(hits, i)
				return true
			})
		}
	}
	slices.Sort(hits)
	return slices.Compact(hits)
}

// NearWide lists the entries that [ReadWide] may read around a place, as
// [Catalogue.Near] does for [Read].
func (c *Catalogue) NearWide(ground orb.MultiPolygon) []int {
	var boxes orb.MultiPolygon
	for _, poly := range ground {
		b := poly.Bound()
		tallest := min(max(math.Abs(b.Min[1]), math.Abs(b.Max[1]))+c.wide, 89)
		lon := c.wide / math.Cos(tallest*math.Pi/180)
		b.Min, b.Max = orb.Point{b.Min[0] - lon, b.Min[1] - c.wide}, orb.Point{b.Max[0] + lon, b.Max[1] + c.wide}
		boxes = append(boxes, b.ToPolygon())
	}
	return c.Near(boxes)
}

// WindowAround is a box that holds all that [Read] and [ReadWide] read around a place,
// whichever entry's cells they keep and however its grid is turned: by up to half its
// height and width more than that of the place.
func (c *Catalogue) WindowAround(ground orb.MultiPolygon) orb.Polygon {
	b := ground.Bound()
	w, h := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	halos := math.Sqrt2 * max(2*c.wide, unknownWideM/degreeM) // wide is without the narrow halo
	lat := 0.51*w + halos
	tallest := min(max(math.Abs(b.Min[1]), math.Abs(b.Max[1]))+lat, 89)
	lon := (0.51*h + halos) / math.Cos(tallest*math.Pi/180)
	b.Min, b.Max = orb.Point{b.Min[0] - lon, b.Min[1] - lat}, orb.Point{b.Max[0] + lon, b.Max[1] + lat}
	return b.ToPolygon()
}

// unknownWideM is more than the wide halo on cells of 100 m: entries of tile indexes do
// not tell theirs.
const unknownWideM = 1000

// Within reports whether any entry lies within so many kilometres of a spot, by the box
// around it. Where it is not known where some entry lies, it may.
func (c *Catalogue) Within(spot orb.Point, km float64) bool {
	lat := 1000 * km / degreeM
	lon := lat / math.Cos(min(math.Abs(spot[1])+lat, 89)*math.Pi/180)
	for i, e := range c.entries {
		if len(e.Rim) == 0 {
			return true
		}
		if !slices.Contains(c.named, i) {
			continue
		}
		lo, hi := boxOf(e.Rim) // those named are not in the tree
		for _, turn := range []float64{-360, 0, 360} {
			if x := spot[0] + turn; x > lo[0]-lon && x < hi[0]+lon && spot[1] > lo[1]-lat && spot[1] < hi[1]+lat {
				return true
			}
		}
	}
	found := false
	for _, turn := range []float64{-360, 0, 360} {
		c.places.Search([2]float64{spot[0] + turn - lon, spot[1] - lat}, [2]float64{spot[0] + turn + lon, spot[1] + lat}, func(_, _ [2]float64, _ int) bool {
			found = true
			return false
		})
	}
	return found
}
