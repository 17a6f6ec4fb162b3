package sheet

import (
	"fmt"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// otherGround names the state of the ground that a map is not drawn for.
func otherGround(zm *zoning.ZoneMap) zoning.Moisture {
	if zm.Ground == zoning.Wet {
		return zoning.Dry
	}
	return zoning.Wet
}

// writeWorkable tells what keeps each machine off ground, how the ground is got to,
// and what to look out for.
func writeWorkable(b *strings.Builder, t totals, zm *zoning.ZoneMap) {
	if zm.Otherwise == nil {
		return
	}
	writeProse(b, "ground", string(zm.Ground)+" ("+string(otherGround(zm))+" beside it)")
	for k, reasons := range zm.LostAcres() {
		var lost []string
		for why, acres := range reasons {
			if acres >= 0.005 {
				lost = append(lost, fmt.Sprintf("%s %s", zm.Reason(zoning.Why(why)).Words, t.acresText(acres)))
			}
		}
		if lost != nil {
			writeProse(b, "held back", zm.Fleet[k].Name+", "+t.units.Areas()+" lost to: "+strings.Join(lost, ", "))
		}
	}
	writeProse(b, "access", accessText(t, zm))
	if h := hazardsText(zm.Hazards); h != "" {
		writeProse(b, "hazards", h)
	}
}

// mostPockets is how many pieces that are cut off are written out.
const mostPockets = 4

func accessText(t totals, zm *zoning.ZoneMap) string {
	words, from := "not checked", "cut off from the largest piece: "
	switch n := len(zm.Access.Staging); {
	case zm.Access.Checked && n == 1:
		words, from = "held to the access routes from 1 place where the trailer unloads", "cut off: "
	case zm.Access.Checked:
		words, from = fmt.Sprintf("held to the access routes from %d places where the trailer unloads", n), "cut off: "
	case slices.Contains(zm.Cautions, zoning.AccessNotChecked):
		words = "not checked: no " + setting.Name("staging") + " was given"
	}
	var pieces []string
	for _, p := range zm.Access.Pockets {
		if len(pieces) == mostPockets {
			pieces = append(pieces, fmt.Sprintf("%d more", len(zm.Access.Pockets)-mostPockets))
			break
		}
		pieces = append(pieces, fmt.Sprintf("%s of the %s at %s", t.areaText(p.Acres), inText(zm.Fleet[p.Machine].Name), text.Degrees(p.At)))
	}
	if pieces != nil {
		words += "; " + from + strings.Join(pieces, "; ")
	}
	for i, p := range zm.Access.Proposed {
		words += fmt.Sprintf("; staging %d to look at: %s opens %s", i+1, text.Degrees(p.At), t.areaText(p.Acres))
		if p.SavedM > 0 {
			words += fmt.Sprintf(" and saves %s of way", t.units.Length(p.SavedM))
		}
		if p.RoadM != nil {
			words += fmt.Sprintf(", %s from a road", t.units.Length(*p.RoadM))
		}
	}
	return words
}

// inText is a machine's name within a sentence.
func inText(name string) string {
	if len(name) > 1 && name[0] >= 'A' && name[0] <= 'Z' && name[1] >= 'a' && name[1] <= 'z' {
		return string(name[0]+'a'-'A') + name[1:]
	}
	return name
}

var hazardWords = []struct {
	kind      zoning.HazardKind
	one, many string
}{
	{zoning.LineNear, "overhead line", "overhead lines"},
	{zoning.BuriedLine, "buried line", "buried lines"},
	{zoning.PeopleNear, "place where people may be within the thrown-object distance", "places where people may be within the thrown-object distance"},
	{zoning.DropOff, "drop-off", "drop-offs"},
	{zoning.BankLikely, "place where a bank is likely", "places where banks are likely"},
	{zoning.SteepAbove, "steep slope above a zone", "steep slopes above zones"},
	{zoning.SteepBelow, "steep slope below a zone", "steep slopes below zones"},
	{zoning.NoElevation, "place without elevation beside a zone", "places without elevation beside zones"},
	{zoning.PinchPoint, "pinch point on an access route", "pinch points on access routes"},
	{zoning.ThickStems, "cover with stems thicker than a machine handles", "covers with stems thicker than a machine handles"},
	{zoning.Drainage, "drainage line", "drainage lines"},
	{zoning.Depression, "low spot", "low spots"},
	{zoning.ProposedStrip, "proposed strip along drainage", "proposed strips along drainage"},
}

func hazardsText(hazards []zoning.Hazard) string {
	var words []string
	for _, h := range hazardWords {
		n := 0
		for _, found := range hazards {
			if found.Kind == h.kind {
				n++
			}
		}
		switch {
		case n == 1:
			words = append(words, "1 "+h.one)
		case n > 1:
			words = append(words, fmt.Sprintf("%s %s", grouped(float64(n), 0), h.many))
		}
	}
	return strings.Join(words, ", ")
}

// whatText says in a few words what a picture's zones are.
func whatText(zm *zoning.ZoneMap) string {
	if zm.Otherwise == nil {
		return "ground within each machine's slope limit"
	}
	access := "access not checked"
	if zm.Access.Checked {
		access = "access checked"
	}
	if zm.View == zoning.AsPlanned {
		return "what the crew clears, " + string(zm.Ground) + " ground, " + access
	}
	return "where each machine may work, " + string(zm.Ground) + " ground, " + access
}
