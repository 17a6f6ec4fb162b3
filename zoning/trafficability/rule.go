package trafficability

import (
	"fmt"
	"math/bits"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
)

// Rule keeps machines off cells by what is known of each cell alone. The rules of every
// map have this shape (see cellrules.go), and [Ground.Rules] adds others.
//
// Ground that a rule keeps all machines off is left to hand work; what nobody may enter is
// [Ground.Closed].
type Rule struct {
	// Reason is what the rule is called where it is the first that keeps a machine off.
	Reason zoning.Reason
	// Of returns a func that reports whether the rule keeps a machine off a cell, by its
	// index in the ground; nil where it keeps the machine off none. It is called once a
	// machine and state of the ground, and the func once a cell or twice, by several
	// goroutines at once, each with a func of its own.
	Of func(Asked) func(cell int) bool
	// BoomWorks says that such ground may be worked by a boom that stands beside it: only
	// driving on it is ruled out.
	BoomWorks bool
}

// Asked is the machine that a rule is asked about, and the ground.
type Asked struct {
	Ground  *Ground
	Machine zoning.Machine // with its limits on the ground assumed
	Index   int            // of the machine in the fleet
	// AlongPct is the steepest slope that the machine may drive on, in percent: on its
	// tether where anything of the fleet can hold that.
	AlongPct float64
}

// CheckRules returns what is wrong with rules that are added: one without Of, or reasons
// that [zoning.CheckReasons] refuses.
func CheckRules(rules []Rule) error {
	for _, r := range rules {
		if r.Of == nil {
			return fmt.Errorf("the rule %q has no Of, which tells the cells that it keeps machines off", r.Reason.Key)
		}
	}
	return zoning.CheckReasons(Reasons(rules))
}

// Reasons are those of rules, in their order; nil without any.
func Reasons(rules []Rule) (out []zoning.Reason) {
	for _, r := range rules {
		out = append(out, r.Reason)
	}
	return out
}

// askedRule is a rule that keeps some cells from the machine that it was asked about.
type askedRule struct {
	why       zoning.Why
	keepsOff  func(cell int) bool
	byRow     func(off, of []uint64, from int) // the same of a row, where nearly every map asks it
	boomWorks bool
}

// ofRow finds the cells of a set's row, which begins with a cell, that the rule keeps off.
func (a *askedRule) ofRow(off, of []uint64, from int) {
	if a.byRow != nil {
		a.byRow(off, of, from)
		return
	}
	for w, word := range of {
		off[w] = 0
		for ; word != 0; word &= word - 1 {
			if j := bits.TrailingZeros64(word); a.keepsOff(from + w*64 + j) {
				off[w] |= 1 << j
			}
		}
	}
}

// close finds what keeps every machine off alike: of each cell the first of the rules that ask
// nothing of the machine.
func (w *window) close(g *Ground, l *lie, watch *beside.Watch) {
	w.free, w.closed = l.noCells(), make([]zoning.Why, l.cols*l.rows)
	for i := range w.free.bits {
		w.free.bits[i] = w.free.inRow(i % w.free.words)
	}
	off := make([]uint64, w.free.words)
	for _, r := range cellRules {
		if r.why >= zoning.TooSteep {
			break
		}
		rule := askedRule{why: r.why, keepsOff: r.Of(Asked{Ground: g})}
		if rule.keepsOff == nil {
			continue
		}
		rule.byRow = rulesByRow[r.why](Asked{Ground: g})
		for row := range l.rows {
			watch.Did(l.cols)
			free := w.free.row(row)
			rule.ofRow(off, free, row*l.cols)
			each(off, row*l.cols, func(i int) { w.closed[i] = r.why })
			without(free, free, off)
		}
	}
}

// ask asks all rules about the machine, the index-th of the fleet. Those that keep it off no
// cell drop out.
func (p *mover) ask(index int) {
	a := Asked{p.ground, p.machine, index, p.alongPct()}
	add := func(why zoning.Why, r Rule) {
		if keepsOff := r.Of(a); keepsOff != nil {
			p.rules = append(p.rules, askedRule{why: why, keepsOff: keepsOff, boomWorks: r.BoomWorks})
		}
	}
	for _, r := range cellRules {
		if r.why >= zoning.TooSteep {
			add(r.why, r.Rule)
		}
	}
	for n := range p.rules {
		if of := rulesByRow[p.rules[n].why]; of != nil {
			p.rules[n].byRow = of(a)
		}
	}
	for n, r := range p.ground.Rules {
		add(zoning.Why(zoning.Reasons+n), r)
	}
}

// whole reports whether a boom may work a cell that is kept from nobody, wherever the machine stands.
func (p *mover) whole(i int) bool {
	for n := range p.rules {
		if r := &p.rules[n]; !r.boomWorks && r.keepsOff(i) {
			return false
		}
	}
	return !p.underLine(i)
}
