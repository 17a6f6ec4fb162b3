package sheet

import (
	"bytes"
	"io"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is laid out once for both forms is what each lays out by itself, in whatever order they are
// written, and again: one lot and several, in insets, with names that only a screen shows.
func TestFormsOfOneLayout(t *testing.T) {
	grid, illegible := namedMap(t, "松林 🌲")
	for name, p := range map[string]*Page{
		"a job": jobPage(t), "lots": jobPage(t, scenes()["lots"].lots...), "insets": farParts(t), "names of a screen": {Map: illegible, Grid: grid},
	} {
		html := written(t, p.WriteHTML)
		pdf := written(t, p.WritePDF)
		l := p.Lay()
		for range 2 {
			together := make([]bytes.Buffer, 2)
			errs := make([]error, 2)
			var all sync.WaitGroup
			for i, write := range []func(io.Writer) error{l.WriteHTML, l.WritePDF} {
				all.Go(func() { errs[i] = write(&together[i]) })
			}
			all.Wait()
			require.Equal(t, []error{nil, nil}, errs, name)
			assert.True(t, bytes.Equal(html, together[0].Bytes()), "%s: HTML", name)
			assert.True(t, bytes.Equal(pdf, together[1].Bytes()), "%s: PDF", name)
		}
	}
	assert.Contains(t, string(written(t, (&Page{Map: illegible, Grid: grid}).Lay().WriteHTML)), "松林 🌲")
}

func TestAPageThatCannotBeLaidOut(t *testing.T) {
	p := jobPage(t)
	p.Grid = nil
	l := p.Lay()
	assert.ErrorContains(t, l.WriteHTML(io.Discard), "no elevation to draw")
	assert.ErrorContains(t, l.WritePDF(io.Discard), "no elevation to draw")
	assert.ErrorIs(t, (*Page)(nil).Lay().WriteHTML(io.Discard), errNoLot)
}
