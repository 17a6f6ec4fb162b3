package sheet

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
	"github.com/acreband/acreband/zoning/text"
)

// longestName is how many letters of a lot's name are drawn.
const longestName = 200

// numberWords explain the numbers that stand for names.
const numberWords = "# before a number stands for the lot at that place of its file, whose name is in letters that cannot be drawn here: see zones.geojson"

// legibleName is a lot's name in letters that the fonts hold, or its number where it has
// others, and reports whether it is the number.
func legibleName(lot string, place int) (name string, numbered bool) {
	name = text.OneLine(lot)
	if utf8.RuneCountInString(name) > longestName {
		name = string([]rune(name)[:longestName]) + "…"
	}
	name, whole := drawing.Spelled(name)
	if lot != "" && (!whole || name == "") {
		return "#" + strconv.Itoa(place), true
	}
	return name, false
}

// legible is a map whose lots go by names in letters that the fonts hold: by the lot's
// number in its file, such as #12, where a name is in others, also in what is said of
// it. It reports whether any lot goes by its number. The map given stays as it is, and is given
// back where all its names are legible.
func legible(zm *zoning.ZoneMap) (drawn *zoning.ZoneMap, numbered bool) {
	type pair struct{ from, to string }
	var changed []pair
	out, same := *zm, true
	out.Lots = slices.Clone(zm.Lots)
	for i, lot := range out.Lots {
		name, byNumber := legibleName(lot.Lot, cmp.Or(lot.Place, i+1))
		numbered = numbered || byNumber
		same = same && name == lot.Lot
		if out.Lots[i].Lot = name; name != lot.Lot && text.OneLine(lot.Lot) != "" {
			changed = append(changed, pair{lot.Lot, name})
		}
	}
	switch {
	case same:
		return zm, false
	case changed == nil:
		return &out, numbered
	}
	// The longest first: a name may begin like another.
	slices.SortStableFunc(changed, func(a, b pair) int { return cmp.Compare(len(b.from), len(a.from)) })
	var names []string
	for _, c := range changed {
		names = append(names, c.from, c.to)
	}
	r := strings.NewReplacer(names...)
	replaced := func(texts []string) []string {
		texts = slices.Clone(texts)
		for i, t := range texts {
			texts[i] = r.Replace(t)
		}
		return texts
	}
	out.Warnings = replaced(zm.Warnings)
	for i := range out.Lots {
		out.Lots[i].Notes = replaced(out.Lots[i].Notes)
	}
	return &out, numbered
}
