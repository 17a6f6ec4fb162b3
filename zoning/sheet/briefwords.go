package sheet

import (
	"fmt"
	"slices"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/text"
)

func (b *Brief) parts(t totals) briefParts {
	p := briefParts{
		title:     b.title(t),
		elevation: briefPart{items: []string{briefElevation(b.Map)}, each: 2, most: 2, label: "elevation"},
		read:      briefPart{items: b.Read, each: 1, most: 2, label: "read"},
		bring:     briefPart{items: []string{b.bring(t)}, each: 4, most: 4, label: "BRING", style: green},
		stop:      briefPart{items: b.stops(t), each: 2, most: 5, label: "STOP", style: red},
		rungs:     rungTable{most: 7},
		wet:       briefPart{items: b.wet(t), each: 2, most: 2, label: "WET", style: bold},
		left:      briefPart{items: b.notCleared(t), each: 2, most: 3, label: "NOT CLEARED", style: bold},
		dangers:   briefPart{items: b.dangers(), each: 2, most: 6, label: "DANGERS", style: yellow},
		wrote:     briefPart{items: b.wrote(), each: 2, most: 2, label: "wrote"},
		next:      briefPart{each: 2, most: 2, label: "NEXT", style: bold},
	}
	p.rungs.rows, p.rungs.chosen = b.rungs(t)
	if b.Next != "" {
		p.next.items = []string{b.Next}
	}
	return p
}

// title is what the map is of, on what ground.
func (b *Brief) title(t totals) string {
	view := fmt.Sprintf(", %s acres, %s ground", t.acresText(t.acres), groundOf(b.Map))
	return cut(t.name, BriefWidth-len(view)) + view
}

func groundOf(zm *zoning.ZoneMap) zoning.Moisture {
	if zm.Ground == "" {
		return zoning.Dry
	}
	return zm.Ground
}

// briefElevation is what heights a map rests on, and what there is to worry about in them.
func briefElevation(zm *zoning.ZoneMap) string {
	surveyed := "surveyed " + zm.Surveyed
	if zm.Surveyed == "" {
		surveyed = "date not known: the ground may have changed since"
	}
	names := strings.TrimSuffix(rastersText(zm.Sources), ": ")
	return strings.TrimPrefix(fmt.Sprintf("%s, %s; %s", cut(names, 30), elevationText(zm.Sources), surveyed), ", ")
}

// bring is the recommended crew in a sentence.
func (b *Brief) bring(t totals) string {
	p := b.Plan
	switch {
	case p == nil:
		return "not planned"
	case len(p.Options) == 0:
		return fmt.Sprintf("depends on the cover, which is not given for all of %s acres: hours for each class, and no price. Give --cover for one.", t.acresText(p.NetAcres))
	}
	o := p.Options[0]
	if len(o.Crew) == 0 && o.HandAcres == 0 {
		return fmt.Sprintf("no machine: all of %s acres stay standing.", t.acresText(p.NetAcres))
	}
	return fmt.Sprintf("%s: %s of %s acres in %s working days, %s (%s to %s in 8 of 10 cases). An estimate, not a quote.",
		crewWords(o.Crew), t.acresText(p.NetAcres-o.LeftAcres), t.acresText(p.NetAcres), daysWords(o.WorkingDays),
		dollars(o.PriceUSD), dollars(o.Price.P10), dollars(o.Price.P90))
}

// rungs are the crews to choose from, and which of them is recommended; without a price
// they are those by what grows.
func (b *Brief) rungs(t totals) (rows [][]string, chosen int) {
	switch p := b.Plan; {
	case p == nil:
		return nil, 0
	case len(p.Options) > 0:
		return optionRows(t, p.Options), 1
	case len(p.ByCover) > 0:
		return coverRows(t, p.ByCover), 0
	}
	return nil, 0
}

func optionRows(t totals, options []plan.Option) [][]string {
	rows := [][]string{{"crew", "acres", "left", "days", "price", "10 to 90%"}}
	for _, o := range options {
		rows = append(rows, []string{crewWords(o.Crew), t.acresText(clearedAcres(o)), t.acresText(o.LeftAcres), daysWords(o.WorkingDays),
			dollars(o.PriceUSD), dollars(o.Price.P10) + " to " + dollars(o.Price.P90)})
	}
	return rows
}

// clearedAcres are those that a crew's machines and hands work.
func clearedAcres(o plan.Option) float64 {
	acres := o.HandAcres
	for _, m := range o.Crew {
		acres += m.NetAcres
	}
	return acres
}

func coverRows(t totals, by []plan.ByCover) [][]string {
	rows := [][]string{{"if cover is", "left", "hours", "days"}}
	for _, c := range by {
		rows = append(rows, []string{c.Cover.String() + ": " + crewWords(c.Crew), t.acresText(c.LeftAcres), grouped(c.ScheduledH, 1), daysWords(c.WorkingDays)})
	}
	return rows
}

// stops are what makes the answer void, and the warnings that may.
func (b *Brief) stops(t totals) []string {
	stops := Stops(b.Map)
	if b.Failed > 0 {
		stops = append(stops, fmt.Sprintf("%d of %d lots could not be mapped", b.Failed, b.Failed+t.lots))
	}
	if b.Plan != nil {
		for _, u := range b.Plan.Unmet {
			stops = append(stops, fmt.Sprintf("no crew within the limit on %s: %s", u.Goal, u.Reason))
		}
	}
	for _, w := range b.Map.Warnings {
		if !slices.Contains(stops, text.OneLine(w)) {
			stops = append(stops, w)
		}
	}
	return stops
}

// wet tells what rain takes off the crew.
func (b *Brief) wet(t totals) []string {
	if b.Map.Otherwise == nil {
		return nil
	}
	here, other := 0.0, 0.0
	for i, band := range t.bands {
		if band.Machine >= 0 {
			here, other = here+band.acres, other+b.Map.Otherwise[i]
		}
	}
	if groundOf(b.Map) == zoning.Wet {
		return []string{fmt.Sprintf("drawn wet: %s acres for machines; %s when it is dry", t.acresText(here), t.acresText(other))}
	}
	return []string{fmt.Sprintf("%s of these %s acres can be worked wet; %s wait for dry ground", t.acresText(other), t.acresText(here), t.acresText(max(0, here-other)))}
}

// notCleared are the acres that no machine works, by why.
func (b *Brief) notCleared(t totals) []string {
	sum := 0.0
	var why []string
	for _, band := range t.bands {
		if band.Machine < 0 && band.acres > 0 {
			sum += band.acres
			name, _, _ := strings.Cut(text.OneLine(band.Name), ":")
			why = append(why, inText(name)+" "+t.acresText(band.acres))
		}
	}
	if why == nil {
		return []string{"nothing"}
	}
	return []string{fmt.Sprintf("%s acres: %s", t.acresText(sum), strings.Join(why, ", "))}
}

// mostDangers is how many dangers a brief names.
const mostDangers = 3

// dangers are the worst ones on or beside ground of the crew.
func (b *Brief) dangers() []string {
	var keys []string
	if b.Plan != nil && len(b.Plan.Options) > 0 {
		for _, m := range b.Plan.Options[0].Crew {
			keys = append(keys, m.Key)
		}
	}
	var items []string
	for _, d := range CrewDangers(b.Map, keys, mostDangers) {
		items = append(items, d.words())
	}
	if items == nil {
		return []string{"none in the data, which does not see a hole, a stump or a wire: walk it"}
	}
	return items
}

// wrote names the files that were written.
func (b *Brief) wrote() []string {
	if len(b.Files) == 0 {
		return nil
	}
	return []string{strings.TrimRight(b.Dir, `/\`) + ": " + strings.Join(b.Files, ", ")}
}
