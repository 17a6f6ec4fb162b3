package osm

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/site"
)

// maker makes features of elements.
type maker struct {
	*found
	o    Options
	box  orb.Bound // that is kept
	out  []site.Feature
	seen struct{ voltage, figure, cut int } // lines without a voltage, figures that cannot be read, areas cut off
}

func (m *maker) all() {
	for i := range m.tagged {
		m.element(&m.tagged[i], func(bool) []orb.Geometry { return []orb.Geometry{m.tagged[i].at} })
	}
	for i := range m.ways {
		w := &m.ways[i]
		m.element(w, func(area bool) []orb.Geometry {
			g := m.shape(w.refs, area)
			if g == nil {
				return nil
			}
			if area && closes(w.refs) && g.Dimensions() < 2 {
				m.seen.cut++
			}
			return []orb.Geometry{g}
		})
	}
	for i := range m.relations {
		r := &m.relations[i]
		m.element(r, func(bool) []orb.Geometry {
			shapes := m.area(r)
			if len(shapes) > 0 && shapes[len(shapes)-1].Dimensions() < 2 {
				m.seen.cut++
			}
			return shapes
		})
	}
}

// element makes the features of an element, whose shapes differ where it is an area.
func (m *maker) element(e *element, shapes func(area bool) []orb.Geometry) {
	for _, r := range rulesFor(e.tags) {
		area := tagged(e.tags, "area")
		for _, g := range shapes(r.area && area != "no" || area == "yes" || e.kind == relation) {
			if r.kind.Fits(g) != nil {
				continue // a road drawn as a spot
			}
			if g = near(g, m.box); g != nil {
				m.feature(e, r, g)
			}
		}
	}
}

// feature makes what a rule says of an element, and the bridge on a road.
func (m *maker) feature(e *element, r *rule, g orb.Geometry) {
	f := site.Feature{Kind: r.kind, Name: nameOf(e, r), Geometry: g, From: site.OpenStreetMap}
	if g.Dimensions() < 2 {
		f.Setback.WidthM = r.halfM
	}
	switch r.kind {
	case site.OverheadLine:
		f.KV = m.kilovolts(e.tags)
	case site.Gate:
		m.post(&f, e.tags)
	case site.Tower:
		if tagged(e.tags, "man_made") == "mast" { // its guys are anchored no farther off than it is high
			if high := m.length(e.tags, "height"); high > 0 {
				f.Setback.WidthM = max(high, 30*foot)
			}
		}
	case site.Water:
		m.water(f, e.tags)
		return
	}
	m.add(f)
	if bridge := tagged(e.tags, "bridge"); (r.kind == site.Road || r.kind == site.Path) && bridge != "" && bridge != "no" {
		m.bridge(f, e.tags)
	}
}

func (m *maker) add(f site.Feature) {
	f.Place = len(m.out) + 1
	m.out = append(m.out, f)
}

// water is a river with its width, or its setback around that.
func (m *maker) water(f site.Feature, tags []tag) {
	if f.Geometry.Dimensions() == 1 {
		if wide := cmp.Or(m.length(tags, "width"), m.length(tags, "est_width")); wide > 0 {
			f.Setback.WidthM = wide / 2
		}
	}
	kept := m.o.WaterSetback
	if kept.Rule != nil {
		if f.Setback.WidthM > 0 { // the water itself, beside what the rule wants kept
			m.add(f)
		}
		f.Setback = kept
	} else {
		f.Setback.WidthM += kept.WidthM
	}
	m.add(f)
}

// bridge holds machines by what is posted; one that nobody says the weight of is closed.
func (m *maker) bridge(road site.Feature, tags []tag) {
	f := road
	f.Kind, f.Setback = site.Bridge, site.Setback{}
	m.post(&f, tags)
	if f.WeightKg == 0 {
		f = site.Feature{Kind: site.NoGo, Name: "bridge, weight not known: " + f.Name, Geometry: f.Geometry, From: f.From}
	}
	m.add(f)
}

// post reads what is posted at a gate or a bridge.
func (m *maker) post(f *site.Feature, tags []tag) {
	f.WidthM = cmp.Or(m.least(tags, "maxwidth", "maxwidth:physical"), m.length(tags, "width"))
	f.HeightM = m.least(tags, "maxheight", "maxheight:physical")
	kg, ok := weight(tagged(tags, "maxweight"))
	if !ok {
		m.seen.figure++
	}
	f.WeightKg = kg
}

// least is the least of the lengths of two keys that are told.
func (m *maker) least(tags []tag, a, b string) float64 {
	x, y := m.length(tags, a), m.length(tags, b)
	if x > 0 && y > 0 {
		return min(x, y)
	}
	return cmp.Or(x, y)
}

func (m *maker) length(tags []tag, key string) float64 {
	v, ok := length(tagged(tags, key))
	if !ok {
		m.seen.figure++
	}
	return v
}

// kilovolts is a line's voltage; 0, by which it keeps the widest clearance, where it is
// not told, cannot be read or is beyond the table of clearances.
func (m *maker) kilovolts(tags []tag) float64 {
	kV, ok := kilovolts(tagged(tags, "voltage"))
	if !ok {
		m.seen.figure++
	}
	if kV == 0 || kV > site.TableMaxKV {
		m.seen.voltage++
		return 0
	}
	return kV
}

// nameOf is what people call an element: its name, else what its tag says it is.
func nameOf(e *element, r *rule) string {
	if name := cmp.Or(tagged(e.tags, "name"), tagged(e.tags, "ref")); name != "" {
		return strings.Join(strings.Fields(name), " ")
	}
	value := strings.ReplaceAll(tagged(e.tags, r.key), "_", " ")
	if value == "yes" || value == "" {
		return ""
	}
	switch {
	case value == "minor line":
		return "minor power line"
	case r.key == "power":
		return "power " + value
	case r.kind == site.Road && value != "road":
		return value + " road"
	}
	return value
}

// notes say of an extract what a reader of the map must know.
func (m *maker) notes() (out []string) {
	as := ""
	if m.asOf != "" {
		as = " as of " + m.asOf
	}
	shows := "nothing that is minded"
	if len(m.out) > 0 {
		shows = m.counts()
	}
	out = append(out, fmt.Sprintf("OpenStreetMap%s shows %s within %s of the lots; an empty map is no proof of empty ground", as, shows, m.o.Units.Length(keepM)))
	if !m.extent.Contains(m.box.Min) || !m.extent.Contains(m.box.Max) {
		out = append(out, "the extract may end beside the lots: beyond its last node nothing is known of the ground")
	}
	if n := m.seen.voltage; n > 0 {
		out = append(out, fmt.Sprintf("overhead lines without a voltage: %d; the widest clearance, %s, is kept from them", n, m.o.Units.AtLeast(site.ClearanceM(0))))
	}
	if n := m.seen.figure; n > 0 {
		out = append(out, fmt.Sprintf("figures (voltage, width, weight or height) that cannot be read: %d; they are taken as not known", n))
	}
	if n := m.seen.cut; n > 0 {
		out = append(out, fmt.Sprintf("areas cut off by the edge of the extract: %d; only their outline is kept from", n))
	}
	return out
}

// counts says how many features of each kind there are.
func (m *maker) counts() string {
	n := map[site.Kind]int{}
	for _, f := range m.out {
		n[f.Kind]++
	}
	var words []string
	for _, k := range site.AllKinds() {
		if n[k] > 0 {
			words = append(words, several(n[k], k))
		}
	}
	return strings.Join(words, ", ")
}

// plurals are those of kinds that do not end in an s.
var plurals = map[site.Kind]string{site.Water: "waters", site.People: "places of people", site.NoGo: "no-go areas", site.Edge: "cliffs or banks"}

func several(n int, k site.Kind) string {
	switch plural, odd := plurals[k]; {
	case n == 1 && k == site.People:
		return "1 place of people"
	case n == 1:
		return "1 " + string(k)
	case odd:
		return fmt.Sprintf("%d %s", n, plural)
	}
	return fmt.Sprintf("%d %ss", n, k)
}
