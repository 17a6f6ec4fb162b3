package find

import (
	"cmp"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
)

// Tile is a raster that a service says lies somewhere. Whether it has heights there only its cells tell.
type Tile struct {
	Address  string
	Surface  string    // address of the first surface of the same survey; "" where there is none
	Box      orb.Bound // degrees; empty where the service tells none to be trusted: it may lie anywhere
	Surveyed string    // date, as 2006-01-02; "" where the service does not tell
	Bytes    int64     // of its file; 0 where the service does not tell
	Found    terrain.Found
	Rank     int // of its fineness among the sources that were asked, from 0
}

// newest sorts tiles: the newest first, by the survey where that is told and else by publication, older editions last, then by address.
func newest(tiles []Tile) {
	date := func(t Tile) string { return cmp.Or(t.Surveyed, t.Found.Published) }
	old := func(t Tile) int {
		if strings.Contains(strings.ToLower(t.Address), "historical") {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(tiles, func(a, b Tile) int {
		return cmp.Or(cmp.Compare(old(a), old(b)), cmp.Compare(date(b), date(a)), cmp.Compare(a.Address, b.Address))
	})
}

// nowhere is the box of a tile that may lie anywhere.
var nowhere = orb.MultiPolygon{}.Bound()

// boxOf is the box of four degrees, [nowhere] where they are none.
func boxOf(w, s, e, n float64) orb.Bound {
	if !(w >= -180 && w < e && e <= 180 && s >= -90 && s < n && n <= 90) {
		return nowhere
	}
	return orb.Bound{Min: orb.Point{w, s}, Max: orb.Point{e, n}}
}

// dateOf is the day of a date or a time; "" where a text begins with none.
func dateOf(text string) string {
	if len(text) < 10 {
		return ""
	}
	for i, c := range text[:10] {
		if (i == 4 || i == 7) != (c == '-') || c != '-' && (c < '0' || c > '9') {
			return ""
		}
	}
	return text[:10]
}
