// Package lp solves the linear programme of plans: which share of each piece of ground
// each kind of machine works.
package lp

// Programme is a linear programme of blocks: each block takes a mixture of its columns,
// with shares that sum to 1, so that every row stays within its limit at least
// cost. It is solved by the primal simplex method with generalised upper bounds
// (Dantzig and Van Slyke 1967): one column of each block is its key, and only the
// others in the basis are kept in a working basis, as large as there are rows. So
// 500 pieces of ground and a dozen machines need systems of a dozen equations.
//
// Columns may have a cost that comes first: of all mixtures with the least of it the
// cheapest is taken. It is made least before the other; then only columns enter
// that do not raise it, those whose reduced first cost is zero.
type Programme struct {
	Blocks [][]Column
	Limit  []float64 // of each row
}

// Column is one way to deal with a block.
type Column struct {
	Cost, First float64
	In          []Entry // no row twice
}

// of is a column's cost at a stage.
func (c Column) of(s Stage) float64 {
	if s == FirstStage {
		return c.First
	}
	return c.Cost
}

// Stage is which cost is being made least.
type Stage int

// The stages.
const (
	FirstStage Stage = iota // [Column.First]
	CostStage               // [Column.Cost]
	Stages                  // how many there are
)

// Entry is what a unit of a column takes of a row.
type Entry struct {
	Row int
	A   float64
}

// Mixture is an optimum: the shares of every block's columns, its cost, and what a
// unit of each row's limit is worth at each stage (zero or more).
type Mixture struct {
	Share [][]float64
	Cost  float64
	Price [Stages][]float64
}
