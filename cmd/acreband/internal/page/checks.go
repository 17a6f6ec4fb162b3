package page

import (
	"fmt"
	"math"
	"slices"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/text"
)

// check is something to look at before machines come.
type check struct {
	Words   string      `json:"words"`
	Caution string      `json:"caution"`
	At      *[2]float64 `json:"at,omitempty"` // longitude and latitude; null where it is no one spot
}

// worst lists hazards, the worst first (common practice, no source), with how many
// of each the page shows.
var worst = []struct {
	kind zoning.HazardKind
	most int
}{
	{zoning.LineNear, 2}, {zoning.BuriedLine, 2}, {zoning.PeopleNear, 2}, {zoning.DropOff, 2}, {zoning.SteepAbove, 1}, {zoning.SteepBelow, 1},
	{zoning.NoElevation, 1}, {zoning.BankLikely, 1}, {zoning.PinchPoint, 2}, {zoning.ThickStems, 2}, {zoning.Drainage, 1}, {zoning.Depression, 1}, {zoning.ProposedStrip, 1},
}

// checks are what to look at first, and how many hazards more there are; those of machines
// that do not come are left out.
func (t *tally) checks(zm *zoning.ZoneMap, p *plan.Plan) (first []check, more int) {
	crew := chosenRung(p)
	first = []check{}
	for _, w := range worst {
		shown := 0
		for _, h := range zm.Hazards {
			if h.Kind != w.kind || h.Machine != "" && crew != nil && !comes(crew, h.Machine) {
				continue
			}
			if shown++; shown > w.most {
				more++
				continue
			}
			at := h.Geometry.Bound().Center()
			first = append(first, check{h.Words, h.Kind.Caution(), &[2]float64{round7(at[0]), round7(at[1])}})
		}
	}
	first = append(first, t.slopesToMeasure(zm)...)
	if !zm.Access.Checked {
		first = append(first, check{Words: "The access route: nobody asked whether a machine gets from the trailer to its ground.",
			Caution: "Say where the trailer unloads (staging, under “On the ground”), or walk the access route."})
	}
	return first, more
}

// comes reports whether a machine is one of a crew.
func comes(r *plan.Rung, key string) bool {
	return slices.ContainsFunc(r.Crew, func(b plan.Brought) bool { return b.Key == key })
}

// slopesToMeasure are the acres whose slope decides who may work them.
func (t *tally) slopesToMeasure(zm *zoning.ZoneMap) []check {
	var out []check
	for k, m := range zm.Fleet {
		b := t.bands[k]
		if verify := b.acres - b.sure; zm.Error.SigmaM > 0 && verify >= 0.05 {
			out = append(out, check{
				Words:   fmt.Sprintf("%s: on %s the slope is so near to its limit of %s, or the heights are so rough, that it may be over it.", m.Name, t.areaText(verify), text.LimitPct(m.SteepestPct())),
				Caution: "Measure the slope there with a clinometer before it goes."})
		}
		if b.procedure >= 0.05 {
			out = append(out, check{
				Words:   fmt.Sprintf("%s: %s are steeper than %s.", m.Name, t.areaText(b.procedure), text.LimitPct(m.ProcedureAbovePct)),
				Caution: "A written procedure for the site, before work starts."})
		}
	}
	if a := t.bands[zm.Fleet.UnknownBand()].acres; a > 0 {
		out = append(out, check{Words: fmt.Sprintf("%s have no elevation data.", t.areaText(a)), Caution: zoning.NoElevation.Caution()})
	}
	return out
}

// round7 keeps a centimetre of a degree.
func round7(deg float64) float64 { return math.Round(deg*1e7) / 1e7 }
