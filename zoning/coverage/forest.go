package coverage

// forest joins things that are numbered from 0 into pieces (union-find): of each the
// parent, itself for the first of a piece.
type forest []int32

// newForest makes a piece of each thing, in the memory that is given.
func newForest(parent []int32) forest {
	for i := range parent {
		parent[i] = int32(i)
	}
	return parent
}

// root is the first thing of a piece.
func (f forest) root(i int32) int32 {
	for f[i] != i {
		f[i] = f[f[i]]
		i = f[i]
	}
	return i
}

// union makes one piece of two.
func (f forest) union(i, j int32) {
	i, j = f.root(i), f.root(j)
	f[max(i, j)] = min(i, j)
}
