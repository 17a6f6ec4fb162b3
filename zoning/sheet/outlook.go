package sheet

import (
	"fmt"
	"math"
	"strings"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/text"
)

// outlook is a map's acres in one sentence. Its parts sum to the whole.
type outlook struct {
	acres   float64
	sure    float64 // within the limits of a machine that is loaded
	verify  float64 // so near a limit that they are to be verified on foot
	leave   float64 // no-go, and what no machine loaded works
	unknown float64 // no elevation data
	noError bool    // whether the elevation's error is not known
}

// loaded are the machines that go on the trailer: those of the plan's recommended
// crew, or else the whole fleet.
func (p *Page) loaded() (mask zoning.Mask, names []string, planned bool) {
	brought := map[string]bool{}
	if p.Plan != nil && len(p.Plan.Options) > 0 {
		for _, b := range p.Plan.Options[0].Crew {
			brought[b.Key] = true
		}
		planned = true
	}
	for i, m := range p.Map.Fleet {
		if !planned || brought[m.Key] {
			mask |= 1 << i
			names = append(names, text.OneLine(m.Name))
		}
	}
	return mask, names, planned
}

// outlook sums the acres of faces by whether a machine that is loaded may work them.
// Ground goes to a zone by its first machine; where that one stays home, another may
// work it, and it is as sure as for the first only if its limit is no lower.
func (p *Page) outlook() outlook {
	var o outlook
	loaded, _, _ := p.loaded()
	fleet := p.Map.Fleet
	for _, lot := range p.Map.Lots {
		works, sure := make([]float64, len(fleet)), make([]float64, len(fleet))
		for _, f := range facesOf(lot) {
			b := fleet.Band(f.Mask)
			if fleet.IsMachine(b) && f.Mask&loaded != 0 {
				acres := f.M2 / terrain.SquareMetresPerAcre
				works[b] += acres
				for i, m := range fleet {
					if f.Mask&loaded&(1<<i) != 0 && m.SteepestPct() >= fleet[b].SteepestPct() {
						sure[b] += acres
						break
					}
				}
			}
		}
		for _, z := range lot.Zones {
			o.acres += z.Acres
			switch {
			case z.Band == fleet.UnknownBand():
				o.unknown += z.Acres
				continue
			case !fleet.IsMachine(z.Band):
				o.leave += z.Acres
				continue
			}
			w := min(works[z.Band], z.Acres)
			o.leave += z.Acres - w
			if z.SureAcres != z.SureAcres {
				o.noError = true
				o.sure += w
				continue
			}
			// The acres to verify may all lie in what is worked.
			s := max(0, min(sure[z.Band], z.Acres)-(z.Acres-z.SureAcres))
			o.sure, o.verify = o.sure+s, o.verify+w-s
		}
	}
	if math.Abs(o.leave) < 1e-9*o.acres { // what rounding leaves
		o.leave = 0
	}
	return o
}

// facesOf are the faces of a lot; none without a coverage.
func facesOf(lot zoning.LotMap) []coverage.Face {
	if lot.Coverage == nil {
		return nil
	}
	return lot.Coverage.Faces
}

// sentence says an outlook in words.
func (o outlook) sentence(t totals) string {
	parts := []string{fmt.Sprintf("%s of %s workable with what is loaded", t.acresText(o.sure), t.areaText(o.acres))}
	if o.noError {
		parts = append(parts, "how much of it to walk or sight first is not known")
	} else {
		parts = append(parts, t.acresText(o.verify)+" walk or sight first")
	}
	parts = append(parts, t.acresText(o.leave)+" leave")
	if o.unknown > 0 {
		parts = append(parts, t.acresText(o.unknown)+" no elevation data")
	}
	return strings.Join(parts, "; ") + "."
}

// zoneNumbers tell what a zone is and holds, a line for each thing.
func zoneNumbers(t totals, zm *zoning.ZoneMap, lot zoning.LotMap, z zoning.Zone) []string {
	band := zm.Fleet.Bands()[z.Band]
	first := text.OneLine(band.Name)
	if t.lots > 1 {
		first += ", " + text.OneLine(lot.Lot)
	}
	share := totals{acres: lot.Acres}.shareText(z.Acres)
	out := []string{first, fmt.Sprintf("%s, %s of the parcel", t.areaText(z.Acres), share)}
	if z.SlopeMeanPct == z.SlopeMeanPct {
		out = append(out, fmt.Sprintf("slope: mean %s, greatest %s", slopeText(z.SlopeMeanPct), slopeText(z.SlopeMaxPct)))
	}
	if band.Machine < 0 {
		return append(out, keptOff(t, zm, z)...)
	}
	m := zm.Fleet[band.Machine]
	out = append(out, "limit: up to "+limitText(m.SteepestPct()))
	if s := z.SureAcres; s == s {
		line := fmt.Sprintf("surely within it %s, walk %s first", t.areaText(s), t.areaText(z.Acres-s-z.SightAcres))
		if z.SightAcres > 0 {
			line += ", sight from toe or crest " + t.acresText(z.SightAcres)
		}
		out = append(out, line)
	}
	if z.ProcedureAcres > 0 {
		out = append(out, t.over(z.ProcedureAcres, m.ProcedureAbovePct, "written procedure"))
	}
	if z.TetherAcres > 0 {
		out = append(out, t.over(z.TetherAcres, m.TetherAbovePct, "tether"))
	}
	if z.Crossings > 0 {
		out = append(out, fmt.Sprintf("drainage lines to cross on the access route: %d", z.Crossings))
	}
	return out
}

// keptOff tells for each machine what keeps it off most of a zone that is nobody's.
func keptOff(t totals, zm *zoning.ZoneMap, z zoning.Zone) []string {
	var out []string
	for k, lost := range z.LostAcres {
		most, why := 0.0, zoning.Works
		for reason, acres := range lost {
			if acres > most {
				most, why = acres, zoning.Why(reason)
			}
		}
		if most > 0 {
			out = append(out, fmt.Sprintf("%s kept off by %s: %s", text.OneLine(zm.Fleet[k].Name), zm.Reason(why).Words, t.areaText(most)))
		}
	}
	return out
}
