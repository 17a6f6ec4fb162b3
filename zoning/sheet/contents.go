package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/text"
)

// Sections of a sheet, in the order in which they stand on it. A crew reads them from
// the top: where, how much, what kills, where what is.
const (
	placeSection     = "place"
	outlookSection   = "outlook"
	dangersSection   = "dangers"
	mapSection       = "map"
	groundSection    = "ground"
	elevationSection = "elevation"
	acresSection     = "acres"
	planSection      = "plan"
	assumedSection   = "assumed"
	cautionsSection  = "cautions"
	emergencySection = "emergency"
	walkedSection    = "walked"
)

// section is a part of a sheet. HTML and PDF write the same ones.
type section struct {
	ID      string
	Heading string
	Lines   []string // paragraphs
	Items   []string // of a list
	Tables  []table
	Blanks  []string  // labels of lines to write on
	Figures []*figure // under its tables, side by side
	Printed int       // how many items there is room for on paper; 0 for all
}

// table is cells in rows, the first row its heading. Columns from the Words-th on are
// figures and end on the right.
type table struct {
	Rows  [][]string
	Words int
	Total bool // the last row sums the others

	Printed int // how many rows below the heading there is room for on paper; 0 for all
}

// contents are sections in order.
type contents []section

// of is the section with an id.
func (c contents) of(id string) *section {
	i := slices.IndexFunc(c, func(s section) bool { return s.ID == id })
	return &c[i]
}

// contents are the sections of a sheet, in order; where there is nothing to say of a
// thing, that is said.
func (p *Page) contents(t totals) contents {
	return p.withSide(contents{
		p.place(t), p.outlookOf(t), p.dangerList(),
		{ID: mapSection, Heading: "Map"},
		p.groundState(t), p.elevation(t), p.acresTables(t), p.plan(t),
		p.assumed(), p.cautions(t), p.emergency(), walked(),
	})
}

// title names the lot, the view of its map, and who the sheet is for.
func (p *Page) title(t totals) string {
	return t.name + p.view()
}

func (p *Page) place(t totals) section {
	s := section{ID: placeSection, Heading: p.title(t)}
	middle := "Middle of the parcel"
	if t.lots > 1 {
		middle = "Middle of the lots"
	}
	if pl, ok := planeOf(p.Grid.Frame, p.Map); ok {
		s.Lines = append(s.Lines, fmt.Sprintf("%s: %s. %s.", middle, degreesText(orb.Point{pl.lon0 - 360*turns(pl.lon0), pl.lat0}), t.areaText(t.acres)))
	}
	var names []string
	for _, f := range p.Features {
		if f.Kind == site.Staging {
			names = append(names, text.OneLine(f.Name))
		}
	}
	for i, at := range p.Map.Access.Staging {
		words := "Staging at " + degreesText(at)
		if len(p.Map.Access.Staging) > 1 {
			words = fmt.Sprintf("Staging %d at %s", i+1, degreesText(at))
		}
		if i < len(names) && names[i] != "" {
			words += " (" + names[i] + ")"
		}
		s.Lines = append(s.Lines, words+".")
	}
	if proposed := p.proposed(t); proposed != "" {
		s.Lines = append(s.Lines, proposed)
	}
	if len(p.Map.Access.Staging) == 0 {
		s.Lines = append(s.Lines, "Staging: not given. Pick level ground that joins the work, and write its place here: ____________________")
	}
	return s
}

// proposed are the places for staging to look at; "" where none is proposed.
func (p *Page) proposed(t totals) string {
	var at []string
	for _, o := range p.Map.Access.Proposed {
		at = append(at, fmt.Sprintf("%s opens %s", degreesText(o.At), t.areaText(o.Acres)))
	}
	if at == nil {
		return ""
	}
	return "Staging to look at: " + strings.Join(at, "; ") + "."
}

// turns is how many times around the earth a longitude is.
func turns(lon float64) float64 {
	switch {
	case lon > 180:
		return 1
	case lon < -180:
		return -1
	}
	return 0
}

func (p *Page) outlookOf(t totals) section {
	s := section{ID: outlookSection, Heading: "In short", Lines: append([]string{p.headline(t)}, p.underHeadline(t)...), Items: p.alerts(t)}
	if len(s.Items) > mostAlerts {
		s.Printed = mostAlerts
	}
	return s
}

// mostAlerts is how many stops and warnings paper has room for on its first page.
const mostAlerts = 8

func (p *Page) dangerList() section {
	s := section{ID: dangersSection, Heading: "Worst dangers"}
	for _, d := range p.dangers {
		words := d.words
		if d.at != nil {
			words += ". At " + degreesText(*d.at)
		}
		s.Items = append(s.Items, words+".")
	}
	if len(s.Items) == 0 {
		s.Lines = []string{"None was found in the data. The data does not see a hole, a stump, a wire or soft ground: walk it."}
	}
	return s
}

// groundState tells the state of the ground that zones are for, and the acres in both.
func (p *Page) groundState(t totals) section {
	here := make([]float64, len(t.bands))
	for b := range t.bands {
		here[b] = t.bands[b].acres
	}
	state := cmp.Or(p.Map.Ground, zoning.Dry)
	s := section{ID: groundSection, Heading: "Ground condition"}
	lines := map[zoning.Moisture]string{state: p.byMachine(t, here)}
	if p.Map.Otherwise != nil {
		lines[other(state)] = p.byMachine(t, p.Map.Otherwise)
	}
	s.Lines = append(s.Lines, fmt.Sprintf("Assumed: %s ground.", state))
	if p.Map.View == zoning.AsPlanned { // the acres on the other ground are those of the fleet, not of the crew
		for _, words := range p.brief().wet(t) {
			s.Lines = append(s.Lines, "Wet: "+words+".")
		}
		return s
	}
	for _, m := range []zoning.Moisture{zoning.Dry, zoning.Wet} {
		words := cmp.Or(lines[m], "not looked at; ask for it before work")
		s.Lines = append(s.Lines, strings.ToUpper(string(m[:1]))+string(m[1:])+": "+words+".")
	}
	return s
}

func other(m zoning.Moisture) zoning.Moisture {
	if m == zoning.Wet {
		return zoning.Dry
	}
	return zoning.Wet
}

// byMachine writes acres by band in words.
func (p *Page) byMachine(t totals, acres []float64) string {
	var sum float64
	var parts []string
	for i, m := range p.Map.Fleet {
		sum += acres[i]
		if acres[i] > 0 {
			parts = append(parts, text.OneLine(m.Name)+" "+t.acresText(acres[i]))
		}
	}
	words := t.areaText(sum) + " for machines"
	if len(parts) > 0 {
		words += " (" + strings.Join(parts, ", ") + ")"
	}
	return words + ", " + t.acresText(acres[p.Map.Fleet.NoMachineBand()]) + " for none"
}

func (p *Page) elevation(t totals) section {
	s := section{ID: elevationSection, Heading: "Elevation"}
	surveyed := "surveyed " + text.OneLine(p.Map.Surveyed)
	if p.Map.Surveyed == "" {
		surveyed = "date not known: the ground may have changed since"
	}
	s.Lines = append(s.Lines, fmt.Sprintf("%s%s; %s.", rastersText(p.Map.Sources), elevationText(p.Map.Sources), surveyed))
	for _, words := range foundLines(p.Map.Sources) {
		s.Lines = append(s.Lines, strings.ToUpper(words[:1])+words[1:]+".")
	}
	if words := t.roundedText(); words != "" {
		s.Lines = append(s.Lines, t.units.Either("Acres", "Hectares")+": "+words+".")
	}
	if p.Map.Boundary != "" {
		s.Lines = append(s.Lines, "Boundary: "+text.OneLine(boundaryText(t, p.Map))+".")
	}
	return s
}

func (p *Page) assumed() section {
	s := section{ID: assumedSection, Heading: "What was assumed"}
	if p.Map.Scale != "" {
		s.Items = append(s.Items, "slope is taken by "+text.OneLine(p.Map.Scale))
	}
	for _, a := range p.Map.Assumed {
		s.Items = append(s.Items, text.OneLine(a))
	}
	if e := p.Map.Error; e.SigmaM > 0 && !e.Assumed || e.Cautious {
		s.Items = append(s.Items, text.OneLine(errorText(e)))
	}
	if p.Plan != nil {
		for _, a := range p.Plan.Assumptions {
			if a = p.forReader(a); a != "" {
				s.Items = append(s.Items, "Plan: "+a)
			}
		}
	}
	if len(s.Items) == 0 {
		s.Lines = []string{"Nothing beyond what is said above."}
	}
	return s
}

func (p *Page) cautions(t totals) section {
	s := section{ID: cautionsSection, Heading: "Cautions"}
	for _, c := range cautionsOf(t, p.Map) {
		s.Items = append(s.Items, text.OneLine(c))
	}
	if p.Plan != nil {
		for _, c := range p.Plan.Cautions {
			words := text.OneLine(c.Text)
			if c.Source != "" {
				words += " (" + text.OneLine(c.Source) + ")"
			}
			s.Items = append(s.Items, words)
		}
	}
	if p.Checks != nil {
		for _, c := range p.Checks.Cautions() {
			s.Items = append(s.Items, text.OneLine(c))
		}
	}
	s.Items = p.inOrderOfHarm(s.Items)
	return s
}

func (p *Page) emergency() section {
	s := section{ID: emergencySection, Heading: "Emergency location"}
	at := p.Emergency.At
	switch {
	case at != nil:
		s.Lines = append(s.Lines, "Tell the dispatcher: "+degreesText(*at)+".")
	case len(p.Map.Access.Staging) > 0:
		s.Lines = append(s.Lines, "Tell the dispatcher: "+degreesText(p.Map.Access.Staging[0])+" (the staging; no other place was given).")
	}
	if p.Emergency.Words != "" {
		s.Lines = append(s.Lines, text.OneLine(p.Emergency.Words))
		return s
	}
	s.Blanks = []string{"Road address and gate", "Nearest hospital", "Where a phone works"}
	return s
}

func walked() section {
	return section{ID: walkedSection, Heading: "Walked before work",
		Lines:  []string{"I walked this ground, measured the field checks, and marked on the map what differs from it."},
		Blanks: []string{"Name", "Signature", "Date", "What differs"}}
}
