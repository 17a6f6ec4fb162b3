package page

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// tally is a map's acres over all lots, as the page tells them.
type tally struct {
	units    measure.Units
	decimals int // of acres
	acres    float64
	bands    []bandTally // every band of the fleet
	may      []float64   // acres that each machine may work, whoever gets them
	alone    []float64   // acres that no other machine may
}

type bandTally struct {
	zoning.Band
	acres, sure, sight      float64
	procedure, tether       float64
	pctAcres, pct, steepest float64 // acres of known slope; those times it; NaN for none
}

func tallyOf(zm *zoning.ZoneMap) *tally {
	t := &tally{decimals: zm.AcreDecimals(), units: zm.Units, may: make([]float64, len(zm.Fleet)), alone: make([]float64, len(zm.Fleet))}
	for _, b := range zm.Fleet.Bands() {
		t.bands = append(t.bands, bandTally{Band: b, steepest: math.NaN()})
	}
	for _, lot := range zm.Lots {
		t.acres += lot.Acres
		for _, z := range lot.Zones {
			b := &t.bands[z.Band]
			b.acres += z.Acres
			if z.SureAcres == z.SureAcres {
				b.sure, b.sight = b.sure+z.SureAcres, b.sight+z.SightAcres
			}
			if z.SlopeMeanPct == z.SlopeMeanPct {
				b.pctAcres, b.pct = b.pctAcres+z.Acres, b.pct+z.Acres*z.SlopeMeanPct
				if !(z.SlopeMaxPct <= b.steepest) {
					b.steepest = z.SlopeMaxPct
				}
			}
			b.procedure, b.tether = b.procedure+z.ProcedureAcres, b.tether+z.TetherAcres
		}
		t.count(zm, lot)
	}
	return t
}

// count adds up who may work the cells of a lot.
func (t *tally) count(zm *zoning.ZoneMap, lot zoning.LotMap) {
	n := len(t.may)
	acres := lot.Coverage.AcresBySet(&zm.Cells.Window, 2*n, func(m zoning.Mask) uint64 {
		switch {
		case m&(zoning.NoGo|zoning.Unknown) != 0 || m.First() < 0:
			return 0
		case m&(m-1) == 0: // of one machine alone
			return uint64(m) | uint64(m)<<n
		}
		return uint64(m)
	})
	for k := range n {
		t.may[k] += acres[k]
		t.alone[k] += acres[n+k]
	}
}

// text writes acres in the units of the map, areaText with the word behind them.
func (t *tally) text(acres float64) string {
	return text.Acres(t.units.Area(acres), t.units.Decimals(t.decimals))
}

func (t *tally) areaText(acres float64) string { return t.text(acres) + " " + t.units.Areas() }

// worked are the acres that machines get, and those of them to walk and to sight first.
func (t *tally) worked() (acres, walk, sight float64) {
	for _, b := range t.bands {
		if b.Machine >= 0 {
			acres, walk, sight = acres+b.acres, walk+b.acres-b.sure-b.sight, sight+b.sight
		}
	}
	return acres, walk, sight
}

// says is the map in a sentence or two.
func (t *tally) says(zm *zoning.ZoneMap) string {
	worked, walk, sight := t.worked()
	words := fmt.Sprintf("%s of %s can be worked with these machines", t.text(worked), t.areaText(t.acres))
	if zm.Error.SigmaM > 0 && walk > 0 {
		words += fmt.Sprintf("; walk %s of them first", t.text(walk))
	}
	if zm.Error.SigmaM > 0 && sight > 0 {
		words += fmt.Sprintf("; sight %s from toe or crest", t.text(sight))
	}
	if a := t.bands[zm.Fleet.NoMachineBand()].acres; a > 0 {
		words += fmt.Sprintf(". %s are hand work, or to leave", t.areaText(a))
	} else {
		words += ". None is left to hand work"
	}
	if a := t.bands[zm.Fleet.NoGoBand()].acres; a > 0 {
		words += fmt.Sprintf("; %s are no-go", t.text(a))
	}
	if a := t.bands[zm.Fleet.UnknownBand()].acres; a > 0 {
		words += fmt.Sprintf("; of %s nobody knows the height", t.text(a))
	}
	return words + "."
}

// zones are the rows of the table, those without ground left out but for machines.
func (t *tally) zones(zm *zoning.ZoneMap) []zone {
	var rows []zone
	for _, b := range t.bands {
		machine := b.Machine >= 0
		if b.acres == 0 && (!machine || zm.View == zoning.AsPlanned) {
			continue
		}
		z := zone{Band: b.Key, Name: b.Name, Machine: machine, Ground: b.acres > 0, Acres: t.text(b.acres), Share: text.Share(b.acres, t.acres), Notes: []string{}}
		if b.pctAcres > 0 {
			z.Slopes = fmt.Sprintf("%s on average, steepest %s", text.SlopePct(b.pct/b.pctAcres), text.SlopePct(b.steepest))
		}
		if machine {
			z.Limit = text.LimitPct(zm.Fleet[b.Machine].SteepestPct())
			z.Notes = append(z.Notes, t.notes(zm, b)...)
		}
		rows = append(rows, z)
	}
	return rows
}

// mostLabels is how many pieces are named on the map, the largest of them: with more
// none can be read.
const mostLabels = 2000

// labels name the machine and the acres on each piece of ground, where pieces are
// known.
func (t *tally) labels(zm *zoning.ZoneMap) []label {
	labels := []label{}
	for _, lot := range zm.Lots {
		for _, z := range lot.Zones {
			for _, p := range z.Patches {
				labels = append(labels, label{[2]float64{round7(p.At[0]), round7(p.At[1])},
					fmt.Sprintf("%s %s %s", t.bands[z.Band].Name, t.text(p.Acres), t.units.ShortArea()), math.Round(math.Sqrt(p.Acres * terrain.SquareMetresPerAcre))})
			}
		}
	}
	if len(labels) > mostLabels {
		slices.SortStableFunc(labels, func(a, b label) int { return cmp.Compare(b.SideM, a.SideM) })
		labels = labels[:mostLabels]
	}
	return labels
}

// notes are what is to be known of a machine's ground.
func (t *tally) notes(zm *zoning.ZoneMap, b bandTally) []string {
	m := zm.Fleet[b.Machine]
	if b.acres == 0 {
		return []string{"no ground here goes to it"}
	}
	var notes []string
	if walk := b.acres - b.sure - b.sight; zm.Error.SigmaM > 0 && walk > 0 {
		notes = append(notes, "walk "+t.areaText(walk)+" first")
	}
	if zm.Error.SigmaM > 0 && b.sight > 0 {
		notes = append(notes, "sight "+t.areaText(b.sight)+" from toe or crest")
	}
	if b.procedure > 0 {
		notes = append(notes, fmt.Sprintf("written procedure above %s: %s", text.LimitPct(m.ProcedureAbovePct), t.areaText(b.procedure)))
	}
	if b.tether > 0 {
		notes = append(notes, fmt.Sprintf("on a tether above %s: %s", text.LimitPct(m.TetherAbovePct), t.areaText(b.tether)))
	}
	if zm.Otherwise != nil && zm.View == zoning.ByLimits { // it is of the whole fleet
		other := zoning.Wet
		if zm.Ground == zoning.Wet {
			other = zoning.Dry
		}
		notes = append(notes, fmt.Sprintf("on %s ground: %s", other, t.areaText(zm.Otherwise[b.Machine])))
	}
	return notes
}

// bring says of each machine that gets ground what would be left without it.
func (t *tally) bring(zm *zoning.ZoneMap) []string {
	words := []string{}
	for k, m := range zm.Fleet {
		gets := t.bands[k].acres
		if gets == 0 {
			continue
		}
		say := fmt.Sprintf("%s: gets %s. ", m.Name, t.areaText(gets))
		switch alone := t.alone[k]; {
		case alone <= 0:
			say += "Without it, the others could work all of that."
		case gets-alone < 0.05:
			say += "No other machine here can work them."
		default:
			say += fmt.Sprintf("Without it, %s are left: no other machine here can work them.", t.areaText(alone))
		}
		if more := t.may[k] - gets; more > 0.05 {
			say += fmt.Sprintf(" It could work %s in all.", t.areaText(t.may[k]))
		}
		words = append(words, say)
	}
	if len(words) == 0 {
		words = append(words, "No machine of this fleet can work any of this ground.")
	}
	return words
}

// notesOf gathers what was said about boundaries.
func notesOf(zm *zoning.ZoneMap) []string {
	var notes []string
	for _, lot := range zm.Lots {
		for _, n := range lot.Notes {
			notes = append(notes, strings.TrimSpace(lot.Lot)+": "+n)
		}
	}
	return notes
}
