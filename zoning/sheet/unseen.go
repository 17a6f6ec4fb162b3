package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// leastSeen is the width in points below which ground is not seen on paper: 1 mm.
const leastSeen = 72 / 25.4

// unseen is the ground of a band that is too narrow to be seen on a map.
type unseen struct {
	band, pieces int
	acres        float64
}

// unseen are the pieces of zones in which no disc of [leastSeen] fits, by band.
func (m *groundMap) unseen() []unseen {
	zm := m.page.Map
	all := make([]unseen, len(zm.Fleet.Bands()))
	shown := m.bands
	if shown == nil { // not painted yet
		shown = bandImage(m.v, zm)
	}
	f := newFiller(m.v.w, m.v.h, m.v.pixel)
	for _, p := range pieces(zm.Lots) {
		seen := false
		f.fill(orb.MultiPolygon{p.ground}, func(y, from, to int) {
			for x := from; x < to && !seen; x++ {
				seen = m.v.discIn(shown, x, y, uint8(p.band+1))
			}
		})
		if !seen {
			all[p.band].pieces++
			all[p.band].acres += p.acres
		}
	}
	var out []unseen
	for b, u := range all {
		if u.band = b; u.pieces > 0 {
			out = append(out, u)
		}
	}
	return out
}

// discIn reports whether a disc of [leastSeen] around a pixel lies in ground of one kind.
func (v *view) discIn(kinds []uint8, x, y int, kind uint8) bool {
	const radius = (leastSeen*reliefPx - 1) / 2 // between the middles of pixels
	reach := int(math.Floor(radius))
	for dy := -reach; dy <= reach; dy++ {
		for dx := -reach; dx <= reach; dx++ {
			if float64(dx*dx+dy*dy) > radius*radius {
				continue
			}
			if x+dx < 0 || y+dy < 0 || x+dx >= v.w || y+dy >= v.h || kinds[(y+dy)*v.w+x+dx] != kind {
				return false
			}
		}
	}
	return true
}

// tellUnseen says in the key what of the zones the map is too small to show.
func (m *groundMap) tellUnseen(t totals, all []unseen) {
	var words []string
	for _, u := range byBand(all) {
		words = append(words, fmt.Sprintf("%s %s in %s", bandName(m.page.Map.Fleet, u.band), t.areaText(u.acres), stripsText(u.pieces)))
	}
	if words != nil {
		m.explain(keyEntry{words: "Not to be seen at this scale", more: "narrower than 1 mm here: " + strings.Join(words, "; ")})
	}
}

// byBand adds up what several insets do not show, in the order of bands.
func byBand(all []unseen) (out []unseen) {
	for _, u := range all {
		i, found := slices.BinarySearchFunc(out, u.band, func(o unseen, band int) int { return o.band - band })
		if !found {
			out = slices.Insert(out, i, unseen{band: u.band})
		}
		out[i].pieces += u.pieces
		out[i].acres += u.acres
	}
	return out
}

func stripsText(n int) string {
	if n == 1 {
		return "1 strip or spot"
	}
	return grouped(float64(n), 0) + " strips or spots"
}
