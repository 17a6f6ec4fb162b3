package terrain

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// 40 m around a place, 8 cells where those are more, 64 where cells are tiny or no size.
func TestWideCells(t *testing.T) {
	for size, want := range map[[2]float64]int{{1, 1}: 40, {1, 2}: 40, {3, 1.5}: 27, {5, 5}: 8, {30, 30}: 8, {0.625, 1}: 64, {0.1, 0.1}: 64, {0, 1}: 64, {-1, 1}: 64} {
		assert.Equal(t, want, WideCells(size), "%v", size)
	}
}
