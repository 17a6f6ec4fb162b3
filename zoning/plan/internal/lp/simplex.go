package lp

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

var errNoOptimum = errors.New("the choice of machines did not settle; this is a fault of the program")

// member is a column of the basis: block and column, or a row's slack with block -1.
type member struct{ block, col int }

// simplex is the state of a solution.
type simplex struct {
	lp     *Programme
	key    []int    // of each block
	basis  []member // the working basis
	inRow  []float64
	x      []float64 // values of the working basis
	keyX   []float64
	stage  Stage
	least  Stage             // where it began
	price  [Stages][]float64 // duals; zero or less
	lu     mat.LU
	matrix *mat.Dense
	tol    [Stages]float64
	at     int // where pricing goes on
}

// Solve finds an optimum from a start: a column of each block with which every row is
// within its limit. It fails only where the arithmetic runs in circles.
func (lp *Programme) Solve(start []int) (Mixture, error) {
	rows := len(lp.Limit)
	s := &simplex{lp: lp, key: append([]int(nil), start...), basis: make([]member, rows), inRow: make([]float64, rows),
		x: make([]float64, rows), keyX: make([]float64, len(lp.Blocks)), stage: CostStage}
	for i := range s.price {
		s.price[i] = make([]float64, rows)
	}
	if rows > 0 {
		s.matrix = mat.NewDense(rows, rows, nil)
	}
	for r := range s.basis {
		s.basis[r] = member{-1, r}
	}
	greatest := 0.0
	for _, b := range lp.Blocks {
		for _, c := range b {
			greatest = max(greatest, math.Abs(c.Cost))
			if c.First > 0 {
				s.stage = FirstStage
			}
		}
	}
	s.least = s.stage
	s.tol = [Stages]float64{1e-9, 1e-11 * (1 + greatest)}
	wait := patience{most: 2*rows + 50}
	for range 1000 + 100*(rows+len(lp.Blocks)) {
		s.refactor()
		enter, ok := s.entering(wait.over())
		if !ok && s.stage == FirstStage {
			s.stage, wait.idle = CostStage, 0
			continue
		}
		if !ok {
			return s.result(), nil
		}
		wait.count(s.pivot(enter, wait.over()))
	}
	return Mixture{}, errNoOptimum
}

// refactor builds the working basis afresh, so that no error builds up, and solves for
// its values and duals.
func (s *simplex) refactor() {
	rows := len(s.lp.Limit)
	for i := range s.keyX {
		s.keyX[i] = 1
	}
	if rows == 0 {
		return
	}
	rhs := mat.NewVecDense(rows, append([]float64(nil), s.lp.Limit...))
	for b, k := range s.key {
		for _, e := range s.lp.Blocks[b][k].In {
			rhs.SetVec(e.Row, rhs.AtVec(e.Row)-e.A)
		}
	}
	for r, m := range s.basis {
		for i, a := range s.reduced(m) {
			s.matrix.Set(i, r, a)
		}
	}
	s.lu.Factorize(s.matrix)
	// A condition number is reported as an error; the pivots are chosen to keep it low.
	_ = s.lu.SolveVecTo(mat.NewVecDense(rows, s.x), false, rhs)
	for st := s.least; st < Stages; st++ {
		costs := mat.NewVecDense(rows, nil)
		for r, m := range s.basis {
			if m.block >= 0 {
				block := s.lp.Blocks[m.block]
				costs.SetVec(r, block[m.col].of(st)-block[s.key[m.block]].of(st))
			}
		}
		_ = s.lu.SolveVecTo(mat.NewVecDense(rows, s.price[st]), true, costs)
	}
	for r, m := range s.basis {
		if m.block >= 0 {
			s.keyX[m.block] -= s.x[r]
		}
	}
}

// reduced is a column less its block's key, in a buffer used again.
func (s *simplex) reduced(m member) []float64 {
	clear(s.inRow)
	if m.block < 0 {
		s.inRow[m.col] = 1
		return s.inRow
	}
	block := s.lp.Blocks[m.block]
	for _, e := range block[m.col].In {
		s.inRow[e.Row] += e.A
	}
	for _, e := range block[s.key[m.block]].In {
		s.inRow[e.Row] -= e.A
	}
	return s.inRow
}

// worth is a column's cost of a stage at the prices.
func (s *simplex) worth(c Column, st Stage) float64 {
	v := c.of(st)
	for _, e := range c.In {
		v -= s.price[st][e.Row] * e.A
	}
	return v
}

// entering finds a column that lowers the cost: the best of the first block that has
// one, going round, or the very first by Bland's rule, which never cycles.
func (s *simplex) entering(bland bool) (member, bool) {
	n := len(s.lp.Blocks)
	for step := range n {
		b := (s.at + step) % n
		if bland {
			b = step
		}
		block := s.lp.Blocks[b]
		key := block[s.key[b]]
		least, best := s.worth(key, s.stage)-s.tol[s.stage], -1
		first := s.worth(key, FirstStage) + s.tol[FirstStage]
		for c := range block {
			if v := s.worth(block[c], s.stage); v < least && s.worth(block[c], FirstStage) <= first {
				least, best = v, c
				if bland {
					break
				}
			}
		}
		if best >= 0 {
			s.at = b + 1
			return member{b, best}, true
		}
	}
	for r, p := range s.price[s.stage] {
		if p > s.tol[s.stage] && s.price[FirstStage][r] >= -s.tol[FirstStage] {
			return member{-1, r}, true
		}
	}
	return member{}, false
}

// pivot brings a column into the basis and returns how far it goes.
func (s *simplex) pivot(enter member, bland bool) float64 {
	rows := len(s.basis)
	way := make([]float64, rows)
	if rows > 0 {
		_ = s.lu.SolveVecTo(mat.NewVecDense(rows, way), false, mat.NewVecDense(rows, append([]float64(nil), s.reduced(enter)...)))
	}
	falls := map[int]float64{} // how fast a key's share falls, by block
	var touched []int
	fall := func(block int, by float64) {
		if _, ok := falls[block]; !ok {
			touched = append(touched, block)
		}
		falls[block] += by
	}
	if enter.block >= 0 {
		fall(enter.block, 1)
	}
	limit := ratio{far: math.Inf(1), leave: -1, bland: bland}
	for r, m := range s.basis {
		limit.consider(s.x[r], way[r], r)
		if m.block >= 0 {
			fall(m.block, -way[r])
		}
	}
	for _, b := range touched {
		limit.consider(s.keyX[b], falls[b], rows+b)
	}
	s.swap(enter, limit.leave)
	return limit.far
}

// swap puts a column in the place of another. Where a key leaves, another column of its
// block becomes the key.
func (s *simplex) swap(enter member, leave int) {
	rows := len(s.basis)
	switch b := leave - rows; {
	case leave < 0: // no limit is met: the entering column is a slack without effect
	case b < 0:
		s.basis[leave] = enter
	case b == enter.block:
		s.key[b] = enter.col
	default:
		for r, m := range s.basis {
			if m.block == b {
				s.key[b], s.basis[r] = m.col, enter
				return
			}
		}
	}
}

// result reads the optimum off the basis.
func (s *simplex) result() Mixture {
	var m Mixture
	for st, price := range s.price {
		for _, p := range price {
			m.Price[st] = append(m.Price[st], max(0, -p))
		}
	}
	for b, block := range s.lp.Blocks {
		share := make([]float64, len(block))
		share[s.key[b]] = max(0, s.keyX[b])
		m.Share = append(m.Share, share)
	}
	for r, k := range s.basis {
		if k.block >= 0 {
			m.Share[k.block][k.col] = max(0, s.x[r])
		}
	}
	for b, block := range s.lp.Blocks {
		for c, share := range m.Share[b] {
			m.Cost += share * block[c].Cost
		}
	}
	return m
}
