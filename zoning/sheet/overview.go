package sheet

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/text"
)

// Overview is the sheet of many lots. Lots are added one by one, and gone through a
// second time when they are drawn; of each a few dozen bytes are kept.
type Overview struct {
	fleet  zoning.Fleet
	mapped int
	failed int
	acres  float64
	groups []needGroup // by need
	walk   int         // lots to be walked first

	failures []OverviewLot // the first, without their outlines
	boxes    lotBoxes
	hazards  bool // whether any lot has some
	sure     bool // whether it is known of any ground whether it is sure

	decimals int           // of acres; set where a run is written, as units are
	units    measure.Units // of the run
}

// OverviewLot is a lot of an [Overview].
type OverviewLot struct {
	zoning.LotMap // its zones need no ground, nor it a coverage

	Hazards int              // that are told of with the lot
	Outline orb.MultiPolygon // WGS84 longitude and latitude; nil where it is not known
	Failure string           // why it was not mapped; "" where it was
}

// needGroup is the lots of one need.
type needGroup struct {
	lots   int
	acres  float64
	listed []listedLot // those that ask most, in that order
}

// listedLot is a lot in the list.
type listedLot struct {
	OverviewLot
	harderPct int // of its ground, for the machine of its need and those after it, or for none
	walk      bool
}

// mostListed is how many lots of one need, and how many that failed, are listed.
const mostListed = 40

// NewOverview is one of no lots, for maps of a fleet.
func NewOverview(fleet zoning.Fleet) *Overview {
	return &Overview{fleet: fleet, groups: make([]needGroup, needs(len(fleet)))}
}

// Add adds a lot. The same lots in the same order give the same sheet. Zones of a band that
// the fleet does not have are an error.
func (o *Overview) Add(lot OverviewLot) error {
	if err := o.checkLot(lot); err != nil {
		return err
	}
	o.boxes.add(lot.Outline, lot.Failure == "")
	lot.Outline = nil
	if lot.Failure != "" {
		if o.failed++; o.failed <= mostListed {
			o.failures = append(o.failures, lot)
		}
		return nil
	}
	o.mapped++
	o.acres += lot.Acres
	o.hazards = o.hazards || lot.Hazards > 0
	o.sure = o.sure || slices.ContainsFunc(lot.Zones, func(z zoning.Zone) bool { return z.SureAcres == z.SureAcres })
	n := lotNeed(lot.LotMap, len(o.fleet))
	l := listedLot{OverviewLot: lot, harderPct: harderPct(lot.LotMap, n.machine()), walk: toWalk(lot.LotMap)}
	if l.walk {
		o.walk++
	}
	g := &o.groups[n]
	g.lots++
	g.acres += lot.Acres
	g.list(l)
	return nil
}

// list takes a lot into the list of its group, if it asks more than those there.
func (g *needGroup) list(l listedLot) {
	at, _ := slices.BinarySearchFunc(g.listed, l, func(a, b listedLot) int {
		if a.harderPct == b.harderPct {
			return -1 // in the order of the file
		}
		return cmp.Compare(b.harderPct, a.harderPct)
	})
	if at == mostListed {
		return
	}
	g.listed = slices.Insert(g.listed, at, l)
	g.listed = g.listed[:min(len(g.listed), mostListed)]
}

// harderPct is the part of a lot, in whole percent, that machines before one do not
// work.
func harderPct(lot zoning.LotMap, machine int) int {
	easier := 0.0
	for _, z := range lot.Zones {
		if z.Band < machine {
			easier += z.Acres
		}
	}
	if !(lot.Acres > 0) {
		return 100
	}
	return int(math.Round(100 - 100*easier/lot.Acres))
}

// verifyAcres are a lot's acres that are to be verified on foot.
func verifyAcres(lot zoning.LotMap) float64 {
	sum := 0.0
	for _, z := range lot.Zones {
		if verify := z.Acres - z.SureAcres; verify > 0 { // not where it is not known
			sum += verify
		}
	}
	return sum
}

func toWalk(lot zoning.LotMap) bool { return verifyAcres(lot) > walkShare*lot.Acres }

// name is what the list and the map call a lot.
func (l *OverviewLot) name() string { return text.OneLine(l.Lot) }

// easy is how many lots the first machine of the fleet is enough for.
func (o *Overview) easy() int { return o.groups[needOf(0, nothingElse)].lots }

// withRest is how many lots have such ground that is nobody's.
func (o *Overview) withRest(rest int) int {
	lots := 0
	for n, g := range o.groups {
		if need(n).rest() == rest {
			lots += g.lots
		}
	}
	return lots
}
