package plan

// BreakEven says from how many acres a machine pays.
type BreakEven struct {
	Key, Name string
	Brought   bool    // whether the crew has it
	Ever      bool    // false where an acre with it costs more than one without
	Acres     float64 // from so many net acres it pays to bring one
	OnlyAcres float64 // net acres that the crew would not work without it
	Against   string  // what bringing it is weighed against
}

// breakEven finds the acres at which bringing one machine costs as much as hand work, or
// as much as an acre is worth, where that is said. Its rate is that of the ground that no
// other machine of the crew works, or where there is none, of all that it may work. A machine
// that stays away, though the crew works all that it may, is set against the one of the crew
// that it could come instead of.
func (p *planner) breakEven(with crew) []BreakEven {
	against, perAcre := "what "+p.site.Units.AnArea()+" is worth", p.job.worth()/p.job.markup()
	if p.job.Rest == Hand && (perAcre == 0 || p.v.hand < perAcre) {
		against, perAcre = "hand work", p.v.hand
	}
	var out []BreakEven
	for i, k := range p.kinds {
		all := p.groundOf(i, func(Piece) bool { return true })
		if all.acres == 0 {
			continue
		}
		only := p.groundOf(i, func(piece Piece) bool { return !p.othersWork(i, with, piece) })
		b := BreakEven{Key: k.machine.Key, Name: k.machine.Name, Brought: with[i] > 0, OnlyAcres: only.acres, Against: against}
		switch an := all.perAcre(); {
		case with[i] == 0 && only.acres == 0:
			if !p.instead(&b, i, with) {
				continue
			}
		case perAcre == 0:
			continue
		default:
			if only.acres > 0 {
				an = only.perAcre()
			}
			if an < perAcre {
				b.Ever, b.Acres = true, p.v.movesUSD(i)/(perAcre-an)
			}
		}
		out = append(out, b)
	}
	return out
}

// instead sets a machine against the first of the crew that works ground which it may work:
// from so many acres it comes cheaper in that one's place. It reports whether there is one.
func (p *planner) instead(b *BreakEven, i int, with crew) bool {
	for o, n := range with {
		if n == 0 {
			continue
		}
		both := func(mine, other int) costed {
			return p.groundOf(mine, func(piece Piece) bool { _, ok := p.v.load(other, p.kinds[other], piece, 0); return ok })
		}
		mine, its := both(i, o), both(o, i)
		if mine.acres == 0 {
			continue
		}
		b.Against = "the " + p.kinds[o].machine.Name + " in its place"
		if saved := its.perAcre() - mine.perAcre(); saved > 0 {
			b.Ever, b.Acres = true, max(0, p.v.movesUSD(i)-p.v.movesUSD(o))/saved
		}
		return true
	}
	return false
}

// costed is net acres and what they cost by one machine, support truck in it, moves apart.
type costed struct{ acres, usd float64 }

func (g costed) perAcre() float64 { return g.usd / g.acres }

// groundOf is the ground that a machine may work, of pieces that are of it.
func (p *planner) groundOf(i int, of func(Piece) bool) (g costed) {
	for n, piece := range p.site.Pieces {
		if w, ok := p.v.load(i, p.kinds[i], piece, p.walk[n]); ok && of(piece) {
			g.acres, g.usd = g.acres+piece.NetAcres, g.usd+w.usd+p.v.truck*w.scheduled
		}
	}
	return g
}

func (p *planner) othersWork(i int, with crew, piece Piece) bool {
	for o, n := range with {
		if n > 0 && o != i {
			if _, ok := p.v.load(o, p.kinds[o], piece, 0); ok {
				return true
			}
		}
	}
	return false
}
