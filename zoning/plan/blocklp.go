package plan

// blockLP is a linear programme of blocks: each block takes a mixture of its columns,
// with shares that sum to 1, so that every row stays within its limit at least
// cost. It is solved by the primal simplex method with generalised upper bounds
// (Dantzig and Van Slyke 1967): one column of each block is its key, and only the
// others in the basis are kept in a working basis, as large as there are rows. So
// 500 pieces of ground and a dozen machines need systems of a dozen equations.
//
// Columns may have a cost that comes first: of all mixtures with the least of it the
// cheapest is taken. It is made least before the other; then only columns enter
// that do not raise it, those whose reduced first cost is zero.
type blockLP struct {
	blocks [][]column
	limit  []float64 // of each row
}

// column is one way to deal with a block.
type column struct {
	cost, first float64
	in          []entry // no row twice
}

// of is a column's cost at a stage.
func (c column) of(s stage) float64 {
	if s == firstStage {
		return c.first
	}
	return c.cost
}

// stage is which cost is being made least.
type stage int

const (
	firstStage stage = iota
	costStage
	stages
)

type entry struct {
	row int
	a   float64
}

// mixture is an optimum: the shares of every block's columns, its cost, and what a
// unit of each row's limit is worth at each stage (zero or more).
type mixture struct {
	share [][]float64
	cost  float64
	price [stages][]float64
}
