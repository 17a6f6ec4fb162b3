package sheet

import (
	"fmt"
	"strings"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/text"
)

// How many rasters and assumptions a picture names.
const (
	maxSources = 4
	maxAssumed = 4
)

// Facts are the elevation used, how slope was taken from it, how good heights and
// boundary are, and what was assumed, as the picture says them.
// A map that [zoning.ZoneMap.Check] refuses has none.
func Facts(zm *zoning.ZoneMap) []string {
	if zm.Check() != nil {
		return nil
	}
	return factsOf(totalsOf(zm), zm)
}

// factsOf are the elevation used, how slope was taken from it, how good heights
// and boundary are, and what was assumed.
func factsOf(t totals, zm *zoning.ZoneMap) []string {
	facts := []string{"Elevation: " + rastersText(zm.Sources) + elevationText(zm.Sources)}
	if found := foundLines(zm.Sources); len(found) > 0 {
		facts = append(facts, "Elevation: "+strings.Join(found, "; "))
	}
	if zm.Scale != "" {
		facts = append(facts, "Slope: "+zm.Scale)
	}
	if zm.Error.SigmaM > 0 {
		facts = append(facts, "Error: "+errorText(zm.Error))
	}
	if words := t.roundedText(); words != "" {
		facts = append(facts, t.units.Either("Acres", "Hectares")+": "+words)
	}
	if zm.Boundary != "" {
		facts = append(facts, "Boundary: "+boundaryText(t, zm))
	}
	for i, a := range zm.Assumed {
		if i == maxAssumed {
			return append(facts, fmt.Sprintf("Assumed: %d more, see zones.geojson", len(zm.Assumed)-i))
		}
		facts = append(facts, "Assumed: "+a)
	}
	return facts
}

// rastersText names rasters without their folders.
func rastersText(sources []terrain.Source) string {
	var names []string
	for _, s := range sources {
		name := text.OneLine(s.Path[strings.LastIndexAny(strings.TrimRight(s.Path, `/\`), `/\`)+1:])
		if name != "" {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	more := ""
	if left := len(names) - maxSources; left > 0 {
		names, more = names[:maxSources], fmt.Sprintf(" and %d more", left)
	}
	return strings.Join(names, ", ") + more + ": "
}

func boundaryText(t totals, zm *zoning.ZoneMap) string {
	edge := 0.0
	for _, lot := range zm.Lots {
		edge += lot.EdgeAcres
	}
	return zm.Boundary + ": " + t.areaText(edge) + " lie nearer to the line than that, line not flagged"
}

// growthText says how many acres stand how high, and where that is from.
func growthText(t totals, g *zoning.Growth) string {
	total := g.Total()
	var parts []string
	for i, acres := range total.ByClass {
		parts = append(parts, zoning.GrowthClassWords(t.units, i)+" "+t.acresText(acres))
	}
	parts = append(parts, "not known "+t.acresText(total.Unknown))
	if total.Water > 0 {
		parts = append(parts, "water "+t.acresText(total.Water))
	}
	surveyed := "date not known"
	if g.Surveyed != "" {
		surveyed = "surveyed " + g.Surveyed
	}
	return t.units.Areas() + " by least height: " + strings.Join(parts, ", ") + "; from " + rastersText(g.Sources) + g.How + ", " + surveyed + coverText(t, g)
}

// coverText says which classes of cover the heights propose.
func coverText(t totals, g *zoning.Growth) string {
	if len(g.Cover) == 0 {
		return ""
	}
	date := "no known date"
	if g.Surveyed != "" {
		date = text.OneLine(g.Surveyed)
	}
	var parts []string
	sum := g.CoverTotal()
	for class, word := range zoning.CoverWords() {
		parts = append(parts, word+" "+t.acresText(sum[class]))
	}
	return "; " + t.units.Areas() + " of cover proposed from lidar of " + date + ", by height and closure (common practice, no source), never stem size: " + strings.Join(parts, ", ")
}

func errorText(e zoning.ElevationError) string {
	words := fmt.Sprintf("sure at %.0f%%, with heights good to %.2g m: %s", 100*slope.Certainty, e.SigmaM, e.From)
	if e.Measured {
		words = fmt.Sprintf("sure at %.0f%%; error %s", 100*slope.Certainty, e.From)
	}
	if e.Unseen != "" {
		words += "; " + e.Unseen
	}
	if e.Cautious {
		words += "; zones are drawn inside their limits by that (" + setting.Name("cautious") + ")"
	}
	return words
}

// notes writes notes in small type, folded, and returns where they end.
func (p *page) notes(x, y, width int, notes []string) int {
	return p.paragraphs(x, y, width, smallStyle, palette.SoftInk, p.set(smallStyle, width, notes))
}
