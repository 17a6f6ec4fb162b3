package sheet

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// Text on paper went down to 5 points where much was said; a third page takes it now.
func TestSmallestTextOnPaper(t *testing.T) {
	for _, assumed := range []int{0, 300} {
		p := jobPage(t)
		for i := range assumed {
			p.Map.Assumed = append(p.Map.Assumed, fmt.Sprintf("assumption number %d, which goes on for a line or so before it comes to its end", i))
		}
		l, err := p.layOut(true)
		require.NoError(t, err)
		pages := l.printed()
		if assumed > 0 {
			assert.Len(t, pages, 3)
		}
		for n, page := range pages {
			smallest, of := 1e9, ""
			var low []string
			for _, s := range page.Shapes {
				if x, is := s.(drawing.Text); is {
					if x.Size < smallest {
						smallest, of = x.Size, x.Words
					}
					if x.At.Y > page.Height-pageMargin-bodySize {
						low = append(low, x.Words)
					}
				}
			}
			assert.GreaterOrEqual(t, smallest, 7.0, "page %d: %q", n+1, of)
			assert.Equal(t, []string{caution, fmt.Sprintf("page %d of %d", n+1, len(pages))}, low, "nothing lies in the foot")
		}
	}
}
