package read

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/paulmach/orb"
)

// DefaultRepair is the share of a lot's acres that a repair may change where nobody says.
const DefaultRepair = 0.01

// smallestM2 is the least area, in square metres, that counts as ground: below
// it is what rounding leaves of a line.
const smallestM2 = 1e-6

// mended is ground in order, and how it came to be so.
type mended struct {
	ground orb.MultiPolygon
	notes  []string
	repair zoning.Repair
}

// mending is how boundaries are mended: the share of a lot's acres that may change, and the
// units that people are told in.
type mending struct {
	most  float64
	units measure.Units
}

func (by mending) areaText(m2 float64) string { return by.area(m2) + " " + by.units.Areas() }

// repair makes polygons valid, if no more than a share of their acres changes. The
// package comment says by what rule, and what counts as changed.
func repair(mp orb.MultiPolygon, by mending) (m mended, err error) {
	reason, err := invalidity(mp)
	if err != nil || reason == "" {
		return mended{ground: mp}, err
	}
	if err := checkCrossings(mp); err != nil {
		return m, err
	}
	var parts orb.MultiPolygon
	var changedM2, partsM2 float64
	broken := false
	for _, poly := range mp {
		one := orb.MultiPolygon{poly}
		if len(mp) > 1 {
			if reason1, err := invalidity(one); err != nil {
				return m, err
			} else if reason1 == "" {
				parts = append(parts, poly)
				partsM2 += coverage.AreaM2(one)
				continue
			} else if !broken {
				reason = reason1
			}
		}
		broken = true
		enclosed, changed, err := enclosedBy(poly)
		if err != nil {
			return m, err
		}
		parts = append(parts, enclosed...)
		partsM2 += coverage.AreaM2(enclosed)
		changedM2 += changed
	}
	if len(parts) == 0 {
		return m, nil
	}
	if m.ground, err = union(parts); err != nil {
		return m, err
	}
	m2 := coverage.AreaM2(m.ground)
	overlapM2 := max(partsM2-m2, 0)
	m.repair = zoning.Repair{Done: true, ChangedPct: 100 * (changedM2 + overlapM2) / m2}
	if !broken {
		m.notes = []string{by.partsNote(len(mp), len(m.ground), overlapM2, m2)}
		return m, stillInvalid(m.ground)
	}
	what := inWords(reason)
	if changedM2 > by.most*m2 {
		return mended{repair: zoning.Repair{Refused: true, ChangedPct: m.repair.ChangedPct}}, fmt.Errorf("%s; a repair would change %s of %s (%.1f%%), and more than %s is not ours to decide: draw it again",
			what, by.area(changedM2), by.areaText(m2), 100*changedM2/m2, percent(by.most))
	}
	note := fmt.Sprintf("%s: repaired, which changed %s of %s", what, by.area(changedM2), by.areaText(m2))
	if len(m.ground) > len(mp) {
		note += fmt.Sprintf("; it fell into %d parts: check that its corners are in order", len(m.ground))
	}
	m.notes = []string{note}
	return m, stillInvalid(m.ground)
}

// percent writes a share in percent, without digits that say nothing.
func percent(share float64) string {
	return strconv.FormatFloat(math.Round(share*1e6)/1e4, 'f', -1, 64) + "%"
}

func stillInvalid(ground orb.MultiPolygon) error {
	reason, err := invalidity(ground)
	if err == nil && reason != "" {
		err = fmt.Errorf("%s, and it could not be repaired: draw it again", inWords(reason))
	}
	return err
}

// partsNote tells of valid parts that share edges or overlap.
func (by mending) partsNote(before, after int, overlapM2, m2 float64) string {
	note := fmt.Sprintf("its %d parts share edges and were joined into %d", before, after)
	if overlapM2 > 1e-6*m2 { // more than rounding along the shared edges
		note = fmt.Sprintf("its %d parts overlap by %s, counted once: %s; a hole must be drawn as a hole",
			before, by.areaText(overlapM2), by.areaText(m2))
	}
	return note
}

// enclosedBy returns the ground a polygon encloses, as valid polygons that may
// share edges, and the area of what is disputed: where the even-odd rule disagrees, and
// the lobes that the shell goes round the other way than round most of its ground, as one
// half of a bow-tie.
func enclosedBy(poly orb.Polygon) (ground orb.MultiPolygon, disputedM2 float64, err error) {
	pieces, err := faces(poly)
	if err != nil {
		return nil, 0, err
	}
	var leftM2, rightM2 float64 // of what is enclosed and not disputed yet, by which way the shell goes round it
	for _, piece := range pieces {
		p, found := insidePoint(piece)
		if !found {
			continue // a piece too thin to hold a point
		}
		inside, oddly := encloses(poly, p)
		turns, _ := winding(poly[0], p)
		if inside {
			ground = append(ground, piece)
		}
		m2 := coverage.AreaM2(orb.MultiPolygon{piece})
		switch {
		case inside != oddly:
			disputedM2 += m2
		case inside && turns > 0:
			leftM2 += m2
		case inside:
			rightM2 += m2
		}
	}
	disputedM2 += min(leftM2, rightM2)
	if len(ground) == 0 {
		return nil, disputedM2, nil
	}
	ground, err = union(ground)
	return ground, disputedM2, err
}

// encloses reports whether the shell goes round a point and no hole does, and
// whether a ray from the point meets an odd number of edges.
func encloses(poly orb.Polygon, p orb.Point) (inside, oddly bool) {
	for i, ring := range poly {
		turns, crossings := winding(ring, p)
		oddly = oddly != (crossings%2 != 0)
		if i == 0 {
			inside = turns != 0
		} else {
			inside = inside && turns == 0
		}
	}
	return inside, oddly
}

// winding returns how often a closed ring goes round p, counter-clockwise
// positive, and how many of its edges a ray eastward from p meets. An edge
// holds its lower end and not its upper one.
func winding(ring orb.Ring, p orb.Point) (turns, crossings int) {
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		if a[1] <= p[1] == (b[1] <= p[1]) {
			continue
		}
		left := (b[0]-a[0])*(p[1]-a[1]) - (p[0]-a[0])*(b[1]-a[1])
		switch {
		case b[1] > a[1] && left > 0:
			turns++
			crossings++
		case b[1] < a[1] && left < 0:
			turns--
			crossings++
		}
	}
	return turns, crossings
}

// closeRings closes rings, takes out corners that are drawn twice running, and
// drops rings with fewer than three corners.
func closeRings(mp orb.MultiPolygon) (out orb.MultiPolygon, notes []string, err error) {
	var open, thin int
	for _, poly := range mp {
		var kept orb.Polygon
		for i, ring := range poly {
			var r orb.Ring
			for _, p := range ring {
				if len(r) == 0 || p != r[len(r)-1] {
					r = append(r, p)
				}
			}
			if len(r) > 1 && r[0] != r[len(r)-1] {
				r = append(r, r[0])
				open++
			}
			if len(r) < 4 {
				thin++
				if i == 0 {
					break
				}
				continue
			}
			kept = append(kept, r)
		}
		if kept != nil {
			out = append(out, kept)
		}
	}
	if out == nil {
		return nil, nil, errors.New("encloses no ground: a boundary needs at least three corners")
	}
	if open > 0 {
		notes = append(notes, "its boundary did not come back to the first corner: closed")
	}
	if thin > 0 {
		notes = append(notes, "a ring with fewer than three corners was left out")
	}
	return out, notes, nil
}

// wind turns shells counter-clockwise and holes clockwise (RFC 7946, section
// 3.1.6).
func wind(mp orb.MultiPolygon) {
	for _, poly := range mp {
		for i, ring := range poly {
			if ccw := coverage.RingAreaM2(ring) > 0; ccw != (i == 0) {
				ring.Reverse()
			}
		}
	}
}

// inWords puts what GEOS says of an invalid polygon as people would.
func inWords(reason string) string {
	words := "its boundary is not in order (" + reason + ")"
	for _, r := range []struct{ geos, words string }{
		{"elf-intersection", "its boundary crosses or touches itself"},
		{"Hole lies outside shell", "a hole lies outside its boundary"},
		{"Holes are nested", "a hole lies in another hole"},
		{"Interior is disconnected", "its holes cut it into pieces"},
		{"Nested shells", "one part lies inside another"},
		{"Duplicate Rings", "a ring is drawn twice"},
		{"Too few", "a ring encloses no ground"},
	} {
		if strings.Contains(reason, r.geos) {
			words = r.words
		}
	}
	var lon, lat float64
	if i := strings.Index(reason, "at or near point "); i >= 0 {
		if n, _ := fmt.Sscan(reason[i+len("at or near point "):], &lon, &lat); n == 2 {
			words += " near " + position(lon, lat)
		}
	}
	return words
}

// position writes one so that longitude and latitude cannot be mixed up.
func position(lon, lat float64) string {
	lon = shortWay(lon)
	ew, ns := "E", "N"
	if lon < 0 {
		ew = "W"
	}
	if lat < 0 {
		ns = "S"
	}
	return fmt.Sprintf("%.6f %s, %.6f %s", math.Abs(lat), ns, math.Abs(lon), ew)
}

// acres writes an area in square metres as acres for people.
func (by mending) area(m2 float64) string {
	switch a := by.units.Area(m2 / terrain.SquareMetresPerAcre); {
	case a > 0 && a < 0.005:
		return "less than 0.01"
	default:
		return fmt.Sprintf("%.2f", a)
	}
}
