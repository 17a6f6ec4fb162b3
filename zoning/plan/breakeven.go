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
// as much as an acre is worth; none where neither is said. Its rate is that of the ground that no other
// machine of the crew works, or where there is none, of all that it may work.
func (p *planner) breakEven(with crew) []BreakEven {
	against, perAcre := "what an acre is worth", p.job.worth()/p.job.markup()
	if p.job.Rest == Hand && (perAcre == 0 || p.v.hand < perAcre) {
		against, perAcre = "hand work", p.v.hand
	}
	if perAcre == 0 {
		return nil
	}
	var out []BreakEven
	for i, k := range p.kinds {
		var only, all, onlyUSD, allUSD float64
		for n, piece := range p.site.Pieces {
			w, ok := p.v.load(i, k, piece, p.walk[n])
			if !ok {
				continue
			}
			usd := w.usd + p.v.truck*w.scheduled
			all, allUSD = all+piece.NetAcres, allUSD+usd
			if !p.othersWork(i, with, piece) {
				only, onlyUSD = only+piece.NetAcres, onlyUSD+usd
			}
		}
		if all == 0 {
			continue
		}
		b := BreakEven{Key: k.machine.Key, Name: k.machine.Name, Brought: with[i] > 0, OnlyAcres: only, Against: against}
		an := allUSD / all
		if only > 0 {
			an = onlyUSD / only
		}
		if an < perAcre {
			b.Ever, b.Acres = true, p.v.movesUSD(i)/(perAcre-an)
		}
		out = append(out, b)
	}
	return out
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
