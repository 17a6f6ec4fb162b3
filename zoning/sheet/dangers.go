package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"unicode"
	"unicode/utf8"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// danger is what can hurt people on a job, and where.
type danger struct {
	rank  int
	words string
	at    *orb.Point // nil where it is in no one place
}

// worstDangers is how many a sheet names.
const worstDangers = 3

// hazardRanks order kinds of hazards by how soon they kill: what touches a machine or
// tips it comes before what slows it (planning order, no source).
var hazardRanks = map[zoning.HazardKind]int{
	zoning.LineNear: 1, zoning.DropOff: 2, zoning.SteepBelow: 3, zoning.PeopleNear: 4, zoning.SteepAbove: 5,
	zoning.NoElevation: 8, zoning.BankLikely: 8, zoning.Depression: 9, zoning.PinchPoint: 11, zoning.Drainage: 12, zoning.ThickStems: 15,
	zoning.BuriedLine: 1,
}

// Ranks of what is no hazard with a shape.
const (
	verifyRank    = 6
	procedureRank = 7
	wetRank       = 10
	pocketRank    = 13
	lineRank      = 14
)

// worst are the worst dangers, the worst first: places on or beside ground that is worked,
// and, where those are few, what is in no one place.
func (p *Page) worst(t totals) []danger {
	all := p.placedDangers()
	if missing := worstDangers - len(all); missing > 0 {
		rest := p.unplacedDangers(t)
		all = append(all, rest[:min(len(rest), missing)]...)
	}
	slices.SortStableFunc(all, func(a, b danger) int { return cmp.Compare(a.rank, b.rank) })
	for i, d := range all {
		first, n := utf8.DecodeRuneInString(d.words)
		all[i].words = string(unicode.ToUpper(first)) + d.words[n:]
	}
	return all[:min(len(all), worstDangers)]
}

// placedDangers are those of the crew's ground; of the whole map where it holds no cells to
// tell that ground by.
func (p *Page) placedDangers() (all []danger) {
	if p.Map.Cells == nil {
		all = p.hazardDangers()
		slices.SortStableFunc(all, func(a, b danger) int { return cmp.Compare(a.rank, b.rank) })
		return slices.CompactFunc(all, func(a, b danger) bool { return a.rank == b.rank })
	}
	more := map[zoning.HazardKind]int{}
	for _, h := range p.Map.Hazards {
		more[h.Kind]++
	}
	found := CrewDangers(p.Map, p.brief().keys(), worstDangers)
	last := map[zoning.HazardKind]int{}
	for i, d := range found {
		more[d.Kind]--
		last[d.Kind] = i
	}
	for i, d := range found {
		words := d.Words
		if last[d.Kind] == i {
			words += morePlaces(more[d.Kind])
		}
		all = append(all, danger{cmp.Or(hazardRanks[d.Kind], lineRank), words, &d.At})
	}
	return all
}

func morePlaces(n int) string {
	switch {
	case n == 1:
		return " (and 1 more place)"
	case n > 1:
		return fmt.Sprintf(" (and %d more places)", n)
	}
	return ""
}

// unplacedDangers are what can hurt people in no one place, the worst first.
func (p *Page) unplacedDangers(t totals) (all []danger) {
	add := func(rank int, format string, args ...any) {
		all = append(all, danger{rank, fmt.Sprintf(format, args...), nil})
	}
	verify, procedure, tether := 0.0, 0.0, 0.0
	for i, b := range t.bands {
		if i < len(p.Map.Fleet) && b.acres > b.sureAcres {
			verify += b.acres - b.sureAcres
		}
		procedure, tether = procedure+b.procedureAcres, tether+b.tetherAcres
	}
	if verify > 0 {
		add(verifyRank, "%s lie so near a machine's limit that the ground may be over it: measure before it goes there", t.areaText(verify))
	}
	if procedure+tether > 0 {
		add(procedureRank, "%s only under a written procedure, %s only on a tether", t.areaText(procedure), t.acresText(tether))
	}
	if here, other := p.dryAndOther(); p.Map.Ground != zoning.Wet && p.Map.Otherwise != nil && here > other {
		add(wetRank, "rain takes %s off the machines: %s when dry, %s when wet", t.areaText(here-other), t.acresText(here), t.acresText(other))
	}
	if pockets := p.Map.Access.Pockets; len(pockets) > 0 {
		k := slices.MaxFunc(pockets, func(a, b zoning.Pocket) int { return cmp.Compare(a.Acres, b.Acres) })
		all = append(all, danger{pocketRank, fmt.Sprintf("%s are cut off for the %s: no way there from its other ground", t.areaText(k.Acres), p.Map.Fleet[k.Machine].Name), &k.At})
	}
	if p.Map.Boundary == "" {
		add(lineRank, "how good the boundary is was not said: flag the line before work near it")
	}
	return all
}

// hazardDangers are the largest hazard of each kind, and how many more there are.
func (p *Page) hazardDangers() []danger {
	largest, count := map[zoning.HazardKind]int{}, map[zoning.HazardKind]int{}
	for i, h := range p.Map.Hazards {
		if count[h.Kind] == 0 || extent(h.Geometry) > extent(p.Map.Hazards[largest[h.Kind]].Geometry) {
			largest[h.Kind] = i
		}
		count[h.Kind]++
	}
	var out []danger
	for i, h := range p.Map.Hazards {
		if largest[h.Kind] != i || !h.Kind.IsDanger() {
			continue
		}
		words := text.OneLine(h.Words) + morePlaces(count[h.Kind]-1)
		at := onShape(h.Geometry)
		out = append(out, danger{cmp.Or(hazardRanks[h.Kind], lineRank), words, &at})
	}
	return out
}

// extent orders shapes by size: by area, or by length where they have none.
func extent(g orb.Geometry) float64 {
	if a := planar.Area(g); a > 0 {
		return a
	}
	return planar.Length(g)
}

// onShape is a place of a shape: half way along a line, about the middle of ground.
func onShape(g orb.Geometry) orb.Point {
	switch g := g.(type) {
	case orb.LineString:
		return halfWay(g)
	case orb.MultiLineString:
		return onShape(g[0])
	case orb.Polygon:
		if c, area := planar.CentroidArea(g); area > 0 && planar.PolygonContains(g, c) {
			return c
		}
		return g[0][0]
	case orb.MultiPolygon:
		return onShape(g[0])
	case orb.Collection:
		return onShape(g[0])
	}
	return g.Bound().Center()
}

func halfWay(line orb.LineString) orb.Point {
	left := planar.Length(line) / 2
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		d := planar.Distance(a, b)
		if d > 0 && left <= d {
			return orb.Point{a[0] + (b[0]-a[0])*left/d, a[1] + (b[1]-a[1])*left/d}
		}
		left -= d
	}
	return line[len(line)-1]
}

// dryAndOther are the acres that the crew works on the ground assumed, and on the other; by
// limits those of all machines.
func (p *Page) dryAndOther() (here, other float64) {
	if p.Map.View != zoning.AsPlanned {
		return p.workedAcres()
	}
	w, _ := wetAcresOf(p.Map, crewMask(p.Map.Fleet, p.brief().keys()))
	return w.now, w.now - w.loss
}

// workedAcres are the acres of machines on the ground assumed, and on the other.
func (p *Page) workedAcres() (here, other float64) {
	for _, lot := range p.Map.Lots {
		for _, z := range lot.Zones {
			if p.Map.Fleet.IsMachine(z.Band) {
				here += z.Acres
			}
		}
	}
	for b, a := range p.Map.Otherwise {
		if p.Map.Fleet.IsMachine(b) {
			other += a
		}
	}
	return here, other
}
