package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// Dangers stood on a filled black lozenge, which on ski hills is a grade of slope.
func TestDangerSignIsNoSlopeGrade(t *testing.T) {
	shapes := dangerSign(drawing.Point{X: 20, Y: 30}, 1, "2")
	require.Len(t, shapes, 3)
	for _, s := range shapes[:2] {
		p := s.(drawing.Path)
		require.Len(t, p.Lines[0], 8, "eight corners, not four")
		assert.InDelta(t, p.Lines[0][5].Y, p.Lines[0][6].Y, 1e-9, "a flat side on top, no corner")
		assert.NotEqual(t, palette.Ink, p.Fill.Colour, "outlined, not filled")
	}
	assert.Equal(t, "2", shapes[2].(drawing.Text).Words)
	assert.Equal(t, palette.Ink, shapes[2].(drawing.Text).Colour)
}

// The map for messages bore numbers that only the sheet explained.
func TestMessageListsItsDangersByNumber(t *testing.T) {
	p, _, err := jobPage(t).ready(true)
	require.NoError(t, err)
	page := drawing.Page{Width: messageWide}
	p.dangersInMessage(&column{page: &page, width: messageWide, scale: 1})
	var words []string
	for _, s := range page.Shapes {
		if x, is := s.(drawing.Text); is {
			words = append(words, x.Words)
		}
	}
	require.Equal(t, worstDangers, len(p.dangers))
	assert.Equal(t, "Worst dangers", words[0])
	for _, n := range []string{"1", "2", "3"} {
		assert.Contains(t, words, n)
	}
	assert.Contains(t, words[2], p.dangers[0].words[:20])
}
