package write

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"iter"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// Collection sums zone maps of one lot each, one after another, to one
// FeatureCollection, so that a county takes no more memory than a lot. Its summary
// is that of one map of all the lots, but for three things: notes on lots are left
// out; of warnings the most frequent are kept, with the number of lots that each
// concerns; and of ground cut off the largest pockets are. Access counts as checked
// where it was for every lot. The same maps in the same order give the same bytes.
type Collection struct {
	sum      zoning.ZoneMap // its one lot is the sum of all
	lots     int
	maps     int
	unitsSet bool // by TellIn
	undated  bool
	scales   []string
	warnings map[string]int
}

// NewCollection is one of no lots, for maps of a fleet.
func NewCollection(fleet zoning.Fleet) *Collection {
	c := &Collection{sum: zoning.ZoneMap{Fleet: fleet, Lots: make([]zoning.LotMap, 1), Cautions: zoning.Cautions(measure.US)}, warnings: map[string]int{}}
	for i := range fleet.Bands() {
		c.sum.Lots[0].Zones = append(c.sum.Lots[0].Zones, zoning.Zone{Band: i})
	}
	return c
}

// TellIn says which units the maps are told in that are added. Without it they are those of the
// first, and where none is added US units.
func (c *Collection) TellIn(u measure.Units) {
	c.sum.Units, c.sum.Cautions, c.unitsSet = u, zoning.Cautions(u), true
}

// Add adds the map of a lot. Its zones need no ground, nor its lot a coverage. A map
// that [zoning.ZoneMap.Check] refuses, and one by a fleet of another size, are errors.
func (c *Collection) Add(m *zoning.ZoneMap) error {
	if err := m.Check(); err != nil {
		return err
	}
	if len(m.Fleet) != len(c.sum.Fleet) {
		return fmt.Errorf("a map by a fleet of %d machines is added to those of %d", len(m.Fleet), len(c.sum.Fleet))
	}
	all := &c.sum
	switch {
	case c.maps == 0 && !c.unitsSet:
		all.Units, all.Cautions = m.Units, zoning.Cautions(m.Units)
	case m.Units != all.Units:
		return fmt.Errorf("a map told in %s units is added to those in %s", m.Units, all.Units)
	}
	for _, lot := range m.Lots {
		c.lots++
		addLot(&all.Lots[0], lot)
	}
	c.addSources(m)
	c.addWork(m)
	if !slices.Contains(c.scales, m.Scale) {
		c.scales = append(c.scales, m.Scale)
	}
	switch {
	case m.Surveyed == "":
		c.undated = true
	case all.Surveyed == "" || m.Surveyed < all.Surveyed:
		all.Surveyed = m.Surveyed
	}
	if m.Error.SigmaM > all.Error.SigmaM {
		all.Error = m.Error
	}
	all.Boundary = m.Boundary
	all.Growth = all.Growth.With(m.Growth)
	for _, a := range m.Assumed {
		if !slices.Contains(all.Assumed, a) {
			all.Assumed = append(all.Assumed, a)
		}
	}
	for _, w := range m.Warnings {
		c.warnings[w]++
	}
	return nil
}

// addLot adds a lot's acres, band by band.
func addLot(l *zoning.LotMap, lot zoning.LotMap) {
	l.Acres += lot.Acres
	l.EdgeAcres += lot.EdgeAcres
	for _, z := range lot.Zones {
		s := &l.Zones[z.Band]
		s.Acres += z.Acres
		s.ProcedureAcres += z.ProcedureAcres
		s.TetherAcres += z.TetherAcres
		s.SureAcres += z.SureAcres
		s.SightAcres += z.SightAcres
		s.LostAcres = zoning.AddLostAcres(s.LostAcres, z.LostAcres)
	}
}

// addWork adds what was asked beside slope.
func (c *Collection) addWork(m *zoning.ZoneMap) {
	all := &c.sum
	all.Ground, all.View = m.Ground, m.View
	if len(m.Added) > len(all.Added) {
		all.Added = m.Added
	}
	if all.Otherwise == nil && m.Otherwise != nil {
		all.Otherwise = make([]float64, len(m.Otherwise))
	}
	for b, acres := range m.Otherwise {
		all.Otherwise[b] += acres
	}
	all.Access.Checked = m.Access.Checked && (all.Access.Checked || c.maps == 0)
	c.maps++
	for _, p := range m.Access.Staging {
		if !slices.Contains(all.Access.Staging, p) {
			all.Access.Staging = append(all.Access.Staging, p)
		}
	}
	all.Access.Pockets = append(all.Access.Pockets, m.Access.Pockets...)
	if len(all.Access.Pockets) > 2*mostPockets {
		all.Access.Pockets = largest(all.Access.Pockets)
	}
	all.Cautions = union(all.Cautions, m.Cautions)
}

// mostPockets is how many pockets a summary of many lots lists.
const mostPockets = 50

// largest keeps the largest pockets, of equals the first.
func largest(pockets []zoning.Pocket) []zoning.Pocket {
	if len(pockets) <= mostPockets {
		return pockets
	}
	pockets = slices.Clone(pockets)
	slices.SortStableFunc(pockets, func(a, b zoning.Pocket) int { return cmp.Compare(b.Acres, a.Acres) })
	return pockets[:mostPockets]
}

// union adds to a list what more has beside it, each after what it follows there.
func union(all, more []string) []string {
	next := 0
	for _, s := range more {
		if at := slices.Index(all, s); at >= 0 {
			next = at + 1
			continue
		}
		all = slices.Insert(all, next, s)
		next++
	}
	return all
}

// addSources adds the acres that rest on each source.
func (c *Collection) addSources(m *zoning.ZoneMap) {
	all := &c.sum
	for i, s := range m.Sources {
		at := slices.IndexFunc(all.Sources, func(o terrain.Source) bool { return o.Path == s.Path })
		if at < 0 {
			at = len(all.Sources)
			all.Sources, all.SourceAcres = append(all.Sources, s), append(all.SourceAcres, 0)
		}
		switch {
		case m.SourceAcres != nil:
			all.SourceAcres[at] += m.SourceAcres[i]
		case i == 0:
			for _, lot := range m.Lots {
				all.SourceAcres[at] += lot.Acres
			}
		}
	}
}

// mostWarnings is how many different warnings a summary of many lots lists.
const mostWarnings = 50

// listed is the warnings for a summary, those of most lots first.
func (c *Collection) listed() []string {
	texts := make([]string, 0, len(c.warnings))
	for w := range c.warnings {
		texts = append(texts, w)
	}
	slices.SortFunc(texts, func(a, b string) int {
		return cmp.Or(cmp.Compare(c.warnings[b], c.warnings[a]), cmp.Compare(a, b))
	})
	more := len(texts) - mostWarnings
	texts = texts[:min(len(texts), mostWarnings)]
	for i, w := range texts {
		if n := c.warnings[w]; n > 1 {
			texts[i] = fmt.Sprintf("%d lots: %s", n, w)
		}
	}
	if more > 0 {
		texts = append(texts, fmt.Sprintf("and %d more, each told with its lot", more))
	}
	return texts
}

// Sum is the collection as the map of one lot without ground, the sum of all: its
// zones are those that have acres, and tell those acres alone, not slopes.
func (c *Collection) Sum() *zoning.ZoneMap {
	m := c.sum
	m.Warnings = c.listed()
	m.Access.Pockets = largest(m.Access.Pockets)
	m.Scale = strings.Join(c.scales, "; ")
	if c.undated {
		m.Surveyed = ""
	}
	if len(m.Sources) < 2 {
		m.SourceAcres = nil
	}
	m.Lots = []zoning.LotMap{m.Lots[0]}
	m.Lots[0].Zones = slices.DeleteFunc(slices.Clone(m.Lots[0].Zones), func(z zoning.Zone) bool { return z.Acres == 0 })
	return &m
}

// WriteGeoJSON writes the collection around the features of its maps, as
// [Features] wrote them, in any number of pieces.
func (c *Collection) WriteGeoJSON(w io.Writer, features iter.Seq2[[]byte, error]) error {
	s := summarise(c.Sum())
	s.Lots = c.lots
	return writeCollection(w, s, func(out *bufio.Writer) error {
		before := "\n"
		for f, err := range features {
			if err != nil {
				return err
			}
			if len(f) > 0 {
				out.WriteString(before)
				out.Write(f)
				before = ",\n"
			}
		}
		return nil
	})
}
