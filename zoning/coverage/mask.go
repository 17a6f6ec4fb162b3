package coverage

import "math/bits"

// Mask is the label of a cell: bit i says that class i may have it. The first
// class of a mask gets the cell.
type Mask uint16

// Marks of cells that no class may have.
const (
	// Unknown marks a cell of which nothing is known.
	Unknown Mask = 1 << 15
	// NoGo marks a cell that is closed.
	NoGo Mask = 1 << 14
	// Wanting marks a cell that waits for a class which is not there. Like [Waiting] it
	// is a value of its own, to be compared and not to be joined with others.
	Wanting = Unknown | NoGo | 1
	// Waiting marks a cell that a class may have later.
	Waiting = Unknown | NoGo | 2
)

// MaxClasses is how many classes there may be: the bits of a [Mask] that are
// free for them.
const MaxClasses = 14

// First returns the first class of the mask, or -1 where none may have the cell.
func (m Mask) First() int {
	if m == 0 || m&(Unknown|NoGo) != 0 {
		return -1
	}
	return bits.TrailingZeros16(uint16(m))
}

// Class returns which of n classes gets the cell: 0 to n-1; n where it is [Wanting], n+1
// where it is [Waiting], n+2 where none may have it, n+3 where it is unknown, n+4 where it
// is closed.
func (m Mask) Class(n int) int {
	switch {
	case m == Wanting:
		return n
	case m == Waiting:
		return n + 1
	case m&NoGo != 0:
		return n + 4
	case m&Unknown != 0:
		return n + 3
	}
	if i := m.First(); i >= 0 {
		return i
	}
	return n + 2
}
