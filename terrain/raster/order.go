package raster

import (
	"cmp"
	"path"
	"strings"
)

// rank is what decides between rasters of one cell size that cover the same ground, so that it
// does not matter how they were named, or whether one by one or by their folder.
type rank struct {
	tier     int    // fineness of what a service said it is of
	surveyed string // "" where nobody says when
	path     string
}

func rankOf(r *Raster) rank { return rank{r.tier, r.Source.Surveyed, r.Source.Path} }

// compare is below 0 where a raster serves before another: what a service calls finer first, then
// the newest survey, those that tell none after those that do, then by name.
func (a rank) compare(b rank) int {
	return cmp.Or(cmp.Compare(a.tier, b.tier), cmp.Compare(b.surveyed, a.surveyed), cmp.Compare(baseName(a.path), baseName(b.path)), cmp.Compare(a.path, b.path))
}

// why says in words why the first of two rasters serves.
func (a rank) why(b rank) string {
	switch {
	case a.surveyed == b.surveyed:
		return "first by name"
	case b.surveyed == "":
		return "surveyed " + a.surveyed + "; the other does not say when"
	}
	return "surveyed " + a.surveyed + ", the other " + b.surveyed
}

func baseName(p string) string { return path.Base(strings.ReplaceAll(p, "\\", "/")) }
