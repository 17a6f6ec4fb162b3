package sheet

import (
	"fmt"
	"regexp"
	"slices"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

func (o *Overview) title() string { return lotsText(o.mapped + o.failed) }

// lead says in a sentence which lots are easy, and how many are not.
func (o *Overview) lead() string {
	if o.mapped == 0 {
		return "No lot could be mapped: all failed."
	}
	first := text.OneLine(o.fleet[0].Name)
	easy, more := o.easy(), o.mapped-o.easy()
	switch {
	case more == 0:
		return fmt.Sprintf("%s is enough for all %s.", first, lotsText(o.mapped))
	case easy == 0:
		return fmt.Sprintf("No lot is for %s alone: %s more.", first, needText(more))
	}
	return fmt.Sprintf("%s alone for %s; %s more than that.", first, lotsText(easy), needText(more))
}

func needText(n int) string {
	if n == 1 {
		return "1 needs"
	}
	return grouped(float64(n), 0) + " need"
}

// inShort is the rest of what a reader is to know first.
func (o *Overview) inShort() []string {
	if o.mapped == 0 {
		return nil
	}
	out := fmt.Sprintf("%s mapped, %s.", lotsText(o.mapped), o.areaText(o.acres))
	if n := o.withRest(someForNone); n > 0 {
		out += fmt.Sprintf(" %s ground that counts and that no machine of the fleet may work.", haveText(n))
	}
	if n := o.withRest(someUnknown); n > 0 {
		out += fmt.Sprintf(" %s ground without elevation, of which nothing is known.", haveText(n))
	}
	if o.walk > 0 {
		out += fmt.Sprintf(" %s to be walked first: more than %.0f%% of each is to be verified on foot.", areText(o.walk), 100*walkShare)
	}
	return []string{out}
}

func haveText(n int) string {
	if n == 1 {
		return "1 lot has"
	}
	return lotsText(n) + " have"
}

func areText(n int) string {
	if n == 1 {
		return "1 lot is"
	}
	return lotsText(n) + " are"
}

// alerts are the warnings that a reader must not miss.
func (o *Overview) alerts(r Run) []string {
	var out []string
	if o.failed > 0 {
		out = append(out, fmt.Sprintf("%s failed and have no map: see below, and failed.csv.", lotsText(o.failed)))
	}
	if o.mapped == 0 {
		return out
	}
	for _, s := range r.Sum.Sources {
		if s.UnitFrom == "assumed" {
			out = append(out, "Assumed: "+text.OneLine(heightsText(s))+". Were they in another unit, every zone would be wrong.")
			break
		}
	}
	out = append(out, kindsOf(r.Sum.Warnings)...)
	everywhere := zoning.Cautions(o.units)
	for _, c := range r.Sum.Cautions {
		if !slices.Contains(everywhere, c) {
			out = append(out, text.OneLine(c))
		}
	}
	return out
}

// kindsOf are warnings of which those that differ in figures alone are told once.
func kindsOf(warnings []string) []string {
	var out, kinds []string
	more := map[string]int{}
	for _, w := range warnings {
		kind := figures.ReplaceAllString(w, "")
		if more[kind]++; more[kind] == 1 {
			out, kinds = append(out, text.OneLine(w)), append(kinds, kind)
		}
	}
	for i, kind := range kinds {
		if n := more[kind] - 1; n > 0 {
			out[i] += fmt.Sprintf(" (and %d more that differ in their figures: see lots.csv)", n)
		}
	}
	if left := len(out) - maxWarnings; left > 0 {
		out = append(out[:maxWarnings], fmt.Sprintf("%d more kinds of warnings: see lots.csv.", left))
	}
	return out
}

// figures are what tells apart the same warning of two lots.
var figures = regexp.MustCompile(`^[0-9]+ lots: |[0-9]+([.,][0-9]+)*`)

// limits are the limits that the zones were drawn by, and where each comes from.
func (o *Overview) limits() section {
	s := section{ID: "limits", Heading: "Limits of the fleet, in its order",
		Lines: []string{"Planning values, in percent of slope. Each spot goes to the first machine in this order that may work it."}}
	rows := [][]string{{"machine", "steepest", "across", "steepest, wet", "across, wet"}}
	for _, m := range o.fleet {
		wet := m.On(zoning.Wet)
		rows = append(rows, []string{text.OneLine(m.Name), limitText(m.SteepestPct()), acrossText(m), limitText(wet.SteepestPct()), acrossText(wet)})
		if m.Basis != "" {
			s.Items = append(s.Items, text.OneLine(m.Name)+": "+text.OneLine(m.Basis))
		}
	}
	s.Tables = []table{{Rows: rows, Words: 1}}
	return s
}

func acrossText(m zoning.Machine) string {
	if m.CrossPct > 0 {
		return limitText(m.CrossPct)
	}
	return "no limit set"
}

// sources tell what slopes were read from.
func (o *Overview) sources(r Run) section {
	s := section{ID: "elevation", Heading: "Where the figures come from"}
	if o.mapped == 0 {
		s.Lines = []string{"Nothing was mapped."}
		return s
	}
	surveyed := "Surveyed " + text.OneLine(r.Sum.Surveyed) + ", the oldest."
	if r.Sum.Surveyed == "" {
		surveyed = "Date of survey not known for all of it: the ground may have changed since."
	}
	s.Items = append(s.Items, "Elevation: "+text.OneLine(rastersText(r.Sum.Sources)+elevationText(r.Sum.Sources))+".", surveyed)
	if r.Sum.Scale != "" {
		s.Items = append(s.Items, "Slope: "+text.OneLine(r.Sum.Scale)+".")
	}
	if r.Sum.Error.SigmaM > 0 {
		s.Items = append(s.Items, "Walk first: ground not "+text.OneLine(errorText(r.Sum.Error))+".")
	}
	if r.Sum.Boundary != "" {
		s.Items = append(s.Items, "Boundary: "+text.OneLine(boundaryText(sumTotals(r), r.Sum))+".")
	}
	s.Items = append(s.Items, o.units.Either("Acres are plan acres", "Hectares are plan hectares")+" of the zones in zones.geojson; lots.csv has them for every lot.",
		fmt.Sprintf("What a lot needs: ground counts from %.0f%% of the lot, or %s. The project's own choice.", 100*needShare, needAreaText(o.units)))
	return s
}

func (o *Overview) assumed(r Run) section {
	s := section{ID: "assumed", Heading: "What was assumed"}
	for _, a := range r.Sum.Assumed {
		s.Items = append(s.Items, text.OneLine(a))
	}
	if len(s.Items) == 0 {
		s.Lines = []string{"Nothing beyond what is said above."}
	}
	return s
}

func (o *Overview) cautions(r Run) section {
	s := section{ID: "cautions", Heading: "Cautions"}
	for _, c := range cautionsOf(sumTotals(r), r.Sum) {
		s.Items = append(s.Items, text.OneLine(c))
	}
	return s
}
