package plan

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// Plan is what to bring, how long it takes and what it costs. It is an estimate, not
// a quote.
type Plan struct {
	Units      measure.Units // that its words are in; its figures are acres and feet all the same
	WholeAcres bool          // whether its words tell whole acres: its ground has cells too coarse for tenths

	Ladder      []Rung // the crews to choose from, by acres; none where cover is not given
	Recommended int    // index in Ladder; -1 where that has none
	Why         string // why that rung, in a sentence

	Options []Option  // side by side, the recommended one first; none where cover is not given
	ByCover []ByCover // where cover is not given: hours for each class, and no price

	BreakEven []BreakEven
	RuledOut  []RuledOut
	Excluded  []Excluded // ground that no option works
	Permits   []Permit   // loads over the limits of the road, of every machine that may come

	GrossAcres, NetAcres, VerifyAcres float64
	ApartFt                           float64 // what machines keep apart
	HandPerAcre                       float64 // $/ac, for comparison

	Assumptions []string // every figure that is a default, by machine
	Bases       []string // where their owner has the others from, where he says
	Notes       []string // what the plan does not count, and how it counts
	Cautions    []Caution

	workers map[pieceKey]Worker // by the chosen rung
	landing [2]float64          // where machines unload, on the plane of the map
	cover   Cover               // of ground of which no cover polygon tells the class
}

// RuledOut is a machine that cannot be brought, and why.
type RuledOut struct {
	Key    string `json:"machine"`
	Reason string `json:"reason"`
}

// Permit is a machine's load that is over a limit of the road.
type Permit struct {
	Key   string // of the machine
	Words string // its name, and what of it is over which limit
}

// Excluded is ground that no option works.
type Excluded struct {
	Zone  string
	Acres float64
	Why   string
}

// planner holds what all choices of one plan share.
type planner struct {
	site     *Site
	job      *Job
	kinds    []kind
	ruledOut []RuledOut
	v        values
	areas    areas
	walk     []float64
}

var errNoBook = &Error{"there is no site or no book of figures to plan with", "give both: a book has the figures of machines and job"}

// Make plans a job: a site whose pieces a map of this fleet gave, and the figures of
// its owner. Errors are [*Error] where the input is at fault.
func Make(site *Site, fleet zoning.Fleet, book *Book) (*Plan, error) {
	if site == nil || book == nil {
		return nil, errNoBook
	}
	if err := fleet.Check(); err != nil {
		return nil, &Error{err.Error(), "give a fleet that can be used"}
	}
	if err := book.Job.check(); err != nil {
		return nil, err
	}
	if err := site.check(len(fleet)); err != nil {
		return nil, err
	}
	for _, f := range book.machines() {
		if err := f.check(); err != nil {
			return nil, err
		}
	}
	kinds, ruledOut := site.unloaded(whichMayCome(site.Units, fleet, book))
	owned := 0
	for _, k := range kinds {
		owned += k.owned
	}
	if owned > MostMachines {
		return nil, &Error{fmt.Sprintf("%d machines to choose from are more than %d", owned, MostMachines),
			"lower owned: to what may come to this job"}
	}
	p := &planner{site: site, job: &book.Job, kinds: kinds, ruledOut: ruledOut, v: valuesOf(book.cost(), kinds, &book.Job, likeliest), walk: site.walkM()}
	if err := checkModel(p.v.cost, p.v); err != nil {
		return nil, err
	}
	if err := checkEase(p.v.cost, kinds, site); err != nil {
		return nil, err
	}
	p.areas = areasOf(site, apartM(fleet, book.Job.TreeFt))
	plan := &Plan{Units: site.Units, WholeAcres: site.WholeAcres, Recommended: -1, RuledOut: ruledOut, ApartFt: p.areas.apartM / zoning.MetresPerFoot,
		HandPerAcre: book.Job.HandPerAcre.Likely, Notes: append(notes(site.Units, &book.Job), site.Notes...)}
	p.assume(plan)
	for _, k := range kinds {
		if k.permit != "" {
			plan.Permits = append(plan.Permits, Permit{k.machine.Key, k.machine.Name + " " + k.permit})
		}
	}
	p.sum(plan)
	if p.coverMissing() {
		if err := p.planByCover(plan); err != nil {
			return nil, err
		}
	} else if err := p.planOptions(plan); err != nil {
		return nil, err
	}
	p.caution(plan)
	return plan, nil
}

// Limits of the road for a load without a permit: from memory; the state's rule
// governs.
const (
	permitWidthFt = 8.5
	permitGrossLb = 80000
)

// whichMayCome parts machines that may be brought from those that may not.
func whichMayCome(u measure.Units, fleet zoning.Fleet, book *Book) ([]kind, []RuledOut) {
	var kinds []kind
	var out []RuledOut
	for i, m := range fleet {
		f := book.Machine(m.Key)
		if why := whyNot(u, f, m.Key, &book.Job); why != "" {
			out = append(out, RuledOut{m.Key, why})
			continue
		}
		k := kind{fleet: i, machine: m, figures: f, owned: f.Owned,
			moveH: 2 * (book.Job.HaulMiles/book.Job.HaulMPH + f.HandlingH*float64(f.Loads))}
		switch {
		case f.WidthFt > permitWidthFt && f.GrossLb > permitGrossLb:
			k.permit = fmt.Sprintf("travels %s wide and at %s: over %s and %s", widthText(u, f.WidthFt), weightText(u, f.GrossLb), widthText(u, permitWidthFt), weightText(u, permitGrossLb))
		case f.WidthFt > permitWidthFt:
			k.permit = fmt.Sprintf("travels %s wide: over %s", widthText(u, f.WidthFt), widthText(u, permitWidthFt))
		case f.GrossLb > permitGrossLb:
			k.permit = fmt.Sprintf("travels at %s: over %s", weightText(u, f.GrossLb), weightText(u, permitGrossLb))
		}
		kinds = append(kinds, k)
	}
	return kinds, out
}

// whyNot says why a machine cannot be brought; "" where it can.
func whyNot(u measure.Units, f *Figures, key string, j *Job) string {
	if f == nil {
		return "no rates and costs are given: write them under plan: " + key
	}
	missing := f.missing()
	switch {
	case missing != "":
		return "its " + missing + " is not given: write it under plan: " + key
	case f.Owned == 0:
		return "none is owned"
	case j.BridgeLb > 0 && f.GrossLb == 0:
		return "its gross weight is not given, and a bridge has a posted weight"
	case f.GrossLb > j.BridgeLb && j.BridgeLb > 0:
		return fmt.Sprintf("its load weighs %s and the bridge is posted for %s", weightText(u, f.GrossLb), weightText(u, j.BridgeLb))
	case j.GateFt > 0 && f.WidthFt == 0:
		return "its width is not given, and there is a gate"
	case f.WidthFt > j.GateFt && j.GateFt > 0:
		return fmt.Sprintf("it is %s wide and the gate %s", widthText(u, f.WidthFt), widthText(u, j.GateFt))
	}
	return ""
}

// sum adds up the acres and lists the ground that is no work of machines.
func (p *planner) sum(plan *Plan) {
	noGo, unknown := zoning.NoGoKey, zoning.UnknownKey
	acres := map[string]float64{}
	kept := 0.0
	for _, piece := range p.site.Pieces {
		plan.GrossAcres += piece.GrossAcres
		switch {
		case piece.May&zoning.NoGo != 0:
			acres[noGo] += piece.GrossAcres
			continue
		case piece.May&zoning.Unknown != 0:
			acres[unknown] += piece.GrossAcres
			continue
		}
		plan.NetAcres += piece.NetAcres
		plan.VerifyAcres += piece.VerifyAcres
		kept += piece.GrossAcres - piece.NetAcres
	}
	for _, e := range []Excluded{{noGo, acres[noGo], "closed to machines"},
		{unknown, acres[unknown], "no elevation data"}, {"", kept, "not to be cleared: gross less net"}} {
		if e.Acres >= leastExcludedAcres {
			plan.Excluded = append(plan.Excluded, e)
		}
	}
}

// leastExcludedAcres is ground too small to speak of.
const leastExcludedAcres = 0.001

// halfDays rounds hours up to half days of work.
func halfDays(h, dayH float64) float64 { return roundedUp(2*h/dayH) / 2 }

// roundedUp rounds up what is more than rounding above a whole number; none stays
// none, with no sign.
func roundedUp(x float64) float64 { return max(0, math.Ceil(x-ofSums)) }
