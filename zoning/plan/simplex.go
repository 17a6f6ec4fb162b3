package plan

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
	lp     *blockLP
	key    []int    // of each block
	basis  []member // the working basis
	inRow  []float64
	x      []float64 // values of the working basis
	keyX   []float64
	stage  stage
	least  stage             // where it began
	price  [stages][]float64 // duals; zero or less
	lu     mat.LU
	matrix *mat.Dense
	tol    [stages]float64
	at     int // where pricing goes on
}

// solve finds an optimum from a start: a column of each block with which every row is
// within its limit.
func (lp *blockLP) solve(start []int) (mixture, error) {
	rows := len(lp.limit)
	s := &simplex{lp: lp, key: append([]int(nil), start...), basis: make([]member, rows), inRow: make([]float64, rows),
		x: make([]float64, rows), keyX: make([]float64, len(lp.blocks)), stage: costStage}
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
	for _, b := range lp.blocks {
		for _, c := range b {
			greatest = max(greatest, math.Abs(c.cost))
			if c.first > 0 {
				s.stage = firstStage
			}
		}
	}
	s.least = s.stage
	s.tol = [stages]float64{1e-9, 1e-11 * (1 + greatest)}
	stuck := 0
	for range 1000 + 100*(rows+len(lp.blocks)) {
		s.refactor()
		enter, ok := s.entering(stuck > 2*rows+50)
		if !ok && s.stage == firstStage {
			s.stage, stuck = costStage, 0
			continue
		}
		if !ok {
			return s.result(), nil
		}
		if s.pivot(enter, stuck > 2*rows+50) > 1e-12 {
			stuck = 0
		} else {
			stuck++
		}
	}
	return mixture{}, errNoOptimum
}

// refactor builds the working basis afresh, so that no error builds up, and solves for
// its values and duals.
func (s *simplex) refactor() {
	rows := len(s.lp.limit)
	for i := range s.keyX {
		s.keyX[i] = 1
	}
	if rows == 0 {
		return
	}
	rhs := mat.NewVecDense(rows, append([]float64(nil), s.lp.limit...))
	for b, k := range s.key {
		for _, e := range s.lp.blocks[b][k].in {
			rhs.SetVec(e.row, rhs.AtVec(e.row)-e.a)
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
	for st := s.least; st < stages; st++ {
		costs := mat.NewVecDense(rows, nil)
		for r, m := range s.basis {
			if m.block >= 0 {
				block := s.lp.blocks[m.block]
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
	block := s.lp.blocks[m.block]
	for _, e := range block[m.col].in {
		s.inRow[e.row] += e.a
	}
	for _, e := range block[s.key[m.block]].in {
		s.inRow[e.row] -= e.a
	}
	return s.inRow
}

// worth is a column's cost of a stage at the prices.
func (s *simplex) worth(c column, st stage) float64 {
	v := c.of(st)
	for _, e := range c.in {
		v -= s.price[st][e.row] * e.a
	}
	return v
}

// entering finds a column that lowers the cost: the best of the first block that has
// one, going round, or the very first by Bland's rule, which never cycles.
func (s *simplex) entering(bland bool) (member, bool) {
	n := len(s.lp.blocks)
	for step := range n {
		b := (s.at + step) % n
		if bland {
			b = step
		}
		block := s.lp.blocks[b]
		key := block[s.key[b]]
		least, best := s.worth(key, s.stage)-s.tol[s.stage], -1
		first := s.worth(key, firstStage) + s.tol[firstStage]
		for c := range block {
			if v := s.worth(block[c], s.stage); v < least && s.worth(block[c], firstStage) <= first {
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
		if p > s.tol[s.stage] && s.price[firstStage][r] >= -s.tol[firstStage] {
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
	const least = 1e-9
	far, leave, strength := math.Inf(1), -1, 0.0 // leave: a row of the basis, or rows+block
	consider := func(x, rate float64, who int) {
		if rate <= least {
			return
		}
		t := max(x, 0) / rate
		closer := t < far-1e-12
		if closer || t < far+1e-12 && !bland && rate > strength {
			far, leave, strength = min(far, t), who, rate
		}
	}
	for r, m := range s.basis {
		consider(s.x[r], way[r], r)
		if m.block >= 0 {
			fall(m.block, -way[r])
		}
	}
	for _, b := range touched {
		consider(s.keyX[b], falls[b], rows+b)
	}
	s.swap(enter, leave)
	return far
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
func (s *simplex) result() mixture {
	var m mixture
	for st, price := range s.price {
		for _, p := range price {
			m.price[st] = append(m.price[st], max(0, -p))
		}
	}
	for b, block := range s.lp.blocks {
		share := make([]float64, len(block))
		share[s.key[b]] = max(0, s.keyX[b])
		m.share = append(m.share, share)
	}
	for r, k := range s.basis {
		if k.block >= 0 {
			m.share[k.block][k.col] = max(0, s.x[r])
		}
	}
	for b, block := range s.lp.blocks {
		for c, share := range m.share[b] {
			m.cost += share * block[c].cost
		}
	}
	return m
}
