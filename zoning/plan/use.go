package plan

import (
	"maps"
	"math"
	"slices"

	"github.com/acreband/acreband/zoning/plan/internal/lp"
)

// prices are what an hour more of each machine and area, and a dollar more of the
// budget, would save.
type prices struct {
	machine []float64
	area    map[int]float64
	budget  float64
}

// use finds the best use of one crew, and prices for each stage. areas are those whose room has been found to
// count, for this crew or one before; those that this one crowds are added.
func (c *choice) use(k crew, areas map[int]bool) (solution, [lp.Stages]prices, error) {
	for {
		use := c.programme(k, areas)
		m, err := use.Solve(use.start())
		if err != nil {
			return solution{}, [lp.Stages]prices{}, err
		}
		s := use.answer(m)
		crowded := c.crowded(s, use.hours*m.Share[0][1])
		if len(crowded) == 0 {
			return s, [lp.Stages]prices{use.prices(m.Price[lp.FirstStage]), use.prices(m.Price[lp.CostStage])}, nil
		}
		for _, a := range crowded {
			areas[a] = true
		}
	}
}

// programme is the linear programme of a crew. Its first block is the hours of work, as
// a share of the most there can be; then comes a block for each piece. Rows are
// machines, areas that count, and the budget.
type programme struct {
	lp.Programme
	choice *choice
	crew   crew
	hours  float64 // the most
	area   []int   // of the rows after the machines'
	option [][]int // of each piece's columns
	money  float64 // what a unit of the budget's row is; 0 without one
}

func (c *choice) programme(k crew, areas map[int]bool) *programme {
	p := &programme{choice: c, crew: k, hours: max(c.workH(k), 0), area: slices.Sorted(maps.Keys(areas))}
	row := map[int]int{}
	machines := len(c.owned)
	p.Limit = make([]float64, machines+len(p.area))
	work := lp.Column{Cost: c.hourly * p.hours}
	for i, n := range k {
		work.In = append(work.In, lp.Entry{Row: i, A: -float64(n)})
	}
	for r, a := range p.area {
		row[a] = machines + r
		work.In = append(work.In, lp.Entry{Row: machines + r, A: -c.room[a]})
	}
	base, spend, _ := c.base(k)
	idle := lp.Column{}
	budget := len(p.Limit)
	if !math.IsInf(c.budget, 1) {
		p.money = max(c.budget, 1)
		p.Limit = append(p.Limit, (c.budget-spend)/p.money)
		work.In = append(work.In, lp.Entry{Row: budget, A: c.truck * p.hours / p.money})
	}
	// What the crew costs before it works is the same for both columns.
	work.Cost, idle.Cost = work.Cost+base, base
	p.Blocks = append(p.Blocks, []lp.Column{idle, work})
	for i, ways := range c.pieces {
		var columns []lp.Column
		var option []int
		for o, w := range ways {
			if w.by >= 0 && (k[w.by] == 0 || p.hours == 0) {
				continue
			}
			col := lp.Column{Cost: w.cost}
			if c.spared(ways, w) {
				col.First = 1
			}
			if w.by >= 0 {
				col.In = append(col.In, lp.Entry{Row: w.by, A: w.hours / p.hours})
				if r, ok := row[c.area[i]]; ok {
					col.In = append(col.In, lp.Entry{Row: r, A: w.hours / p.hours})
				}
			}
			if p.money > 0 && w.spend > 0 {
				col.In = append(col.In, lp.Entry{Row: budget, A: w.spend / p.money})
			}
			columns, option = append(columns, col), append(option, o)
		}
		p.Blocks, p.option = append(p.Blocks, columns), append(p.option, option)
	}
	return p
}

// start deals with one piece after the other in the cheapest way that still fits,
// working all hours where the budget pays for that.
func (p *programme) start() []int {
	left := slices.Clone(p.Limit)
	fits := func(c lp.Column) bool {
		for _, e := range c.In {
			if e.A > left[e.Row] {
				return false
			}
		}
		return true
	}
	start := make([]int, len(p.Blocks))
	for b, columns := range p.Blocks {
		if b == 0 && fits(columns[1]) {
			start[0] = 1
		} else if b > 0 {
			for i, c := range columns {
				now := columns[start[b]]
				if (c.First < now.First || c.First == now.First && c.Cost < now.Cost) && fits(c) {
					start[b] = i
				}
			}
		}
		for _, e := range columns[start[b]].In {
			left[e.Row] -= e.A
		}
	}
	return start
}

// answer reads an optimum as a solution.
func (p *programme) answer(m lp.Mixture) solution {
	s := solution{crew: p.crew, cost: m.Cost, share: make([][]float64, len(p.option))}
	for i, option := range p.option {
		s.share[i] = make([]float64, len(p.choice.pieces[i]))
		for col, o := range option {
			// What is left of rounding in the arithmetic is no part of a piece.
			if share := m.Share[i+1][col]; share > 1e-9 {
				s.share[i][o] = share
			}
		}
	}
	return s
}

// prices reads what an hour and a dollar are worth off an optimum.
func (p *programme) prices(row []float64) prices {
	out := prices{machine: make([]float64, len(p.crew)), area: map[int]float64{}}
	if p.hours > 0 {
		for i := range p.crew {
			out.machine[i] = row[i] / p.hours
		}
		for r, a := range p.area {
			out.area[a] = row[len(p.crew)+r] / p.hours
		}
	}
	if p.money > 0 {
		out.budget = row[len(row)-1] / p.money
	}
	return out
}

// crowded lists the areas that get more hours than their room allows.
func (c *choice) crowded(s solution, workH float64) []int {
	load := make([]float64, len(c.room))
	for i, share := range s.share {
		for o, part := range share {
			load[c.area[i]] += part * c.pieces[i][o].hours
		}
	}
	var crowded []int
	for a, h := range load {
		if h > c.room[a]*workH*(1+1e-7)+1e-9 {
			crowded = append(crowded, a)
		}
	}
	return crowded
}

// raise raises the bounds of crews by what prices say of them, to +Inf where a crew
// leaves something that is not to be left.
func (c *choice) raise(all []crew, bound []float64, p [lp.Stages]prices) {
	if c.whole {
		c.eachBound(all, bound, p, lp.FirstStage, func(i int, left float64) {
			if left > leastLeft {
				bound[i] = math.Inf(1)
			}
		})
	}
	c.eachBound(all, bound, p, lp.CostStage, func(i int, b float64) { bound[i] = max(bound[i], b) })
}

// leastLeft is the share of a piece that is left: less is what rounding leaves.
const leastLeft = 1e-6

// eachBound visits the crews that may be chosen yet, with what each costs at least. With
// prices λ ≥ 0 on the rows, a crew costs at least what it does when rows may be
// broken at λ:
//
//	base + λ·(what breaks them) + Σ pieces min over ways + min over hours of work
func (c *choice) eachBound(all []crew, bound []float64, of [lp.Stages]prices, st lp.Stage, visit func(i int, b float64)) {
	p := of[st]
	least := c.leastByKinds(p, st)
	rooms := 0.0
	for _, a := range slices.Sorted(maps.Keys(p.area)) {
		rooms += p.area[a] * c.room[a]
	}
	for i, k := range all {
		if math.IsInf(bound[i], 1) {
			continue
		}
		base, spend, _ := c.base(k)
		hour := p.budget*c.truck - rooms
		b := least[k.kinds()]
		if st == lp.CostStage {
			b += base
			hour += c.hourly
		}
		for m, n := range k {
			hour -= p.machine[m] * float64(n)
		}
		b += min(0, hour*max(0, c.workH(k)))
		if p.budget > 0 {
			b += p.budget * (spend - c.budget)
		}
		visit(i, b)
	}
}

// leastByKinds is, for each set of kinds, what the pieces cost at least at prices.
func (c *choice) leastByKinds(p prices, st lp.Stage) []float64 {
	rest := make([]float64, len(c.pieces))
	by := make([][]float64, len(c.owned))
	for k := range by {
		by[k] = slices.Repeat([]float64{math.Inf(1)}, len(c.pieces))
	}
	for i, ways := range c.pieces {
		rest[i] = math.Inf(1)
		for _, o := range ways {
			v := p.budget * o.spend
			switch spared := c.spared(ways, o); {
			case st == lp.CostStage && spared:
				continue
			case st == lp.CostStage:
				v += o.cost
			case spared:
				v++
			}
			if o.by < 0 {
				rest[i] = min(rest[i], v)
				continue
			}
			by[o.by][i] = v + (p.machine[o.by]+p.area[c.area[i]])*o.hours
		}
	}
	least := make([]float64, 1<<len(c.owned))
	depth := make([][]float64, len(by))
	for k := range depth {
		depth[k] = make([]float64, len(rest))
	}
	var visit func(k, set int, so []float64)
	visit = func(k, set int, so []float64) {
		if k == len(by) {
			for _, v := range so {
				least[set] += v
			}
			return
		}
		visit(k+1, set, so)
		with := depth[k]
		for i, v := range so {
			with[i] = min(v, by[k][i])
		}
		visit(k+1, set|1<<k, with)
	}
	visit(0, 0, rest)
	return least
}
