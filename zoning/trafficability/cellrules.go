package trafficability

import "github.com/acreband/acreband/zoning"

// cellRules are the rules of every map that look at a cell alone, in the order in which they
// are asked. Those before TooSteep ask nothing of the machine, and are asked once for all: see
// [window.close].
var cellRules = []struct {
	why zoning.Why
	Rule
}{
	{zoning.Closed, Rule{Of: closed}},
	{zoning.InSetback, Rule{Of: inSetback}},
	{zoning.NotMeasured, Rule{Of: notMeasured}},
	{zoning.TooSteep, Rule{Of: tooSteep, BoomWorks: true}},
	{zoning.TooGreatAStep, Rule{Of: tooGreatAStep, BoomWorks: true}},
	{zoning.TooSoft, Rule{Of: tooSoft, BoomWorks: true}},
	{zoning.TooMuchGrowth, Rule{Of: tooMuchGrowth}},
	{zoning.LeaveTrees, Rule{Of: leaveTrees}},
	{zoning.OverPosting, Rule{Of: overPosting, BoomWorks: true}},
}

// rulesByRow are those that nearly every map asks, of the cells of a row at once: see
// [askedRule.ofRow]. What one returns may be nil where the rule has more to ask.
var rulesByRow = map[zoning.Why]func(Asked) func(off, of []uint64, from int){
	zoning.Closed: closedByRow, zoning.InSetback: inSetbackByRow, zoning.NotMeasured: notMeasuredByRow,
	zoning.TooSteep: tooSteepByRow, zoning.TooGreatAStep: tooGreatAStepByRow,
}

func closed(a Asked) func(int) bool { return marked(a.Ground.Closed) }

func inSetback(a Asked) func(int) bool { return marked(a.Ground.Setback) }

func closedByRow(a Asked) func(off, of []uint64, from int) { return markedByRow(a.Ground.Closed) }

func inSetbackByRow(a Asked) func(off, of []uint64, from int) { return markedByRow(a.Ground.Setback) }

func markedByRow(cells []bool) func(off, of []uint64, from int) {
	if cells == nil {
		return nil
	}
	return func(off, of []uint64, from int) {
		pack(off, cells[from:min(from+64*len(off), len(cells))])
		for w, asked := range of {
			off[w] &= asked
		}
	}
}

// marked are the cells that are marked; nil marks none.
func marked(cells []bool) func(int) bool {
	if cells == nil {
		return nil
	}
	return func(i int) bool { return cells[i] }
}

func notMeasured(a Asked) func(int) bool {
	squared := a.Ground.Field.Squared
	return func(i int) bool { return squared[i] != squared[i] }
}

func notMeasuredByRow(a Asked) func(off, of []uint64, from int) {
	squared := a.Ground.Field.Squared
	return func(off, of []uint64, from int) {
		asSteep(off, squared[from:min(from+64*len(off), len(squared))], 0) // every number is
		without(off, of, off)
	}
}

// tooSteep is so on a tether, too: where none reaches is found once it is asked for.
func tooSteep(a Asked) func(int) bool {
	squared, along := a.Ground.Field.Squared, riseSquared(a.AlongPct)
	return func(i int) bool { return squared[i] >= along }
}

func tooSteepByRow(a Asked) func(off, of []uint64, from int) {
	squared, along := a.Ground.Field.Squared, riseSquared(a.AlongPct)
	return func(off, of []uint64, from int) {
		below(off, squared[from:min(from+64*len(off), len(squared))], along)
		without(off, of, off) // those of them that are measured, and no others are asked about
	}
}

// tooGreatAStep asks what the plane under the machine hides, and banks that cells show as slope.
func tooGreatAStep(a Asked) func(int) bool {
	firm, machine := a.Ground.Firm, zoning.Mask(1)<<a.Index
	steps, most := a.Ground.StepM, float32(a.Machine.StepM)
	if most == 0 {
		steps = nil
	}
	switch {
	case firm == nil && steps == nil:
		return nil
	case steps == nil:
		return func(i int) bool { return firm[i]&machine == 0 }
	}
	return func(i int) bool { return steps[i] > most || firm != nil && firm[i]&machine == 0 }
}

func tooGreatAStepByRow(a Asked) func(off, of []uint64, from int) {
	firm, machine := a.Ground.Firm, zoning.Mask(1)<<a.Index
	if a.Ground.StepM != nil && a.Machine.StepM > 0 || firm == nil {
		return nil
	}
	return func(off, of []uint64, from int) {
		for w, asked := range of {
			off[w] = 0
			if asked == 0 {
				continue
			}
			for j, may := range firm[from+w*64 : min(from+w*64+64, len(firm))] {
				off[w] |= uint64(bit(may&machine == 0)) << j
			}
			off[w] &= asked
		}
	}
}

// tooSoft asks where the ground is known to be soft only; there a machine whose pressure
// nobody told is too heavy.
func tooSoft(a Asked) func(int) bool {
	bears, presses := a.Ground.BearsKPa, a.Machine.PressureKPa
	if bears == nil {
		return nil
	}
	return func(i int) bool {
		return bears[i] == bears[i] && !(presses > 0 && float32(presses) <= bears[i])
	}
}

// tooMuchGrowth asks where growth is known only.
func tooMuchGrowth(a Asked) func(int) bool {
	tall, thick := a.Ground.GrowthM, a.Ground.StemsM
	// As the cells keep them: 6 in is no more than 6 in.
	mostTall, mostThick := float32(a.Machine.TallestM), float32(a.Machine.StemM)
	if mostTall == 0 {
		tall = nil
	}
	if mostThick == 0 {
		thick = nil
	}
	if tall == nil && thick == nil {
		return nil
	}
	return func(i int) bool {
		return tall != nil && tall[i] > mostTall || thick != nil && thick[i] > mostThick
	}
}

func leaveTrees(a Asked) func(int) bool {
	if a.Machine.Work != zoning.Production {
		return nil
	}
	return marked(a.Ground.Keep)
}
