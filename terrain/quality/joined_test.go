package quality

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// seamWords are what a look says of seams.
func seamWords(t *testing.T, g *terrain.Grid, e *terrain.Elevation) (out []string) {
	t.Helper()
	look, err := NewLook(t.Context(), g)
	require.NoError(t, err)
	if e != nil {
		look = look.Of(e)
	}
	doubts, err := look.Doubts(t.Context(), true)
	require.NoError(t, err)
	for _, d := range doubts {
		if d.Kind == DoubtSeam {
			out = append(out, d.Words)
		}
	}
	return out
}

// A second tile that lies west or north of the first begins at negative columns and rows, which
// no raster has: a seam in it is named by its place.
func TestASeamIsNotNamedByLinesThatDoNotExist(t *testing.T) {
	g := gentle(t, 400, 300, 1, func(h float64, c, r int) float64 { return h + 0.5*over(c > 99) })
	require.Len(t, seamWords(t, g, nil), 1)
	assert.Contains(t, seamWords(t, g, nil)[0], "between columns 99 and 100: ")
	one := &terrain.Elevation{Sources: []terrain.Source{{Cols: 400, Rows: 300}}}
	assert.Contains(t, seamWords(t, g, one)[0], "between columns 99 and 100: ")
	one.Sources[0].Cols = 100
	assert.Regexp(t, `between two columns near -?[0-9.]+, -?[0-9.]+: `, seamWords(t, g, one)[0])
	g.Col0 = -100
	assert.Regexp(t, `between two columns near -?[0-9.]+, -?[0-9.]+: `, seamWords(t, g, nil)[0], "column -1")
}

// Where two tiles meet the step is told of as theirs: not once more as a seam in one of them.
func TestASeamBetweenSourcesIsNotToldTwice(t *testing.T) {
	for _, along := range []string{"columns", "rows"} {
		east := func(c, r int) bool { return along == "columns" && c > 99 || along == "rows" && r > 99 }
		g := gentle(t, 400, 300, 1, func(h float64, c, r int) float64 { return h + 0.5*over(east(c, r)) })
		e := &terrain.Elevation{Grid: g, Sources: []terrain.Source{{Cols: 400, Rows: 300}, {Cols: 400, Rows: 300}}, From: make([]uint16, len(g.Z))}
		require.Len(t, seamWords(t, g, e), 1, "both from one source")
		for i := range e.From {
			if east(i%g.Stride, i/g.Stride) {
				e.From[i] = 1
			}
		}
		assert.Empty(t, seamWords(t, g, e), along)
		for i := range e.From { // they meet elsewhere
			e.From[i] = uint16(over(i%g.Stride > 200))
		}
		assert.Len(t, seamWords(t, g, e), 1, along)
	}
}
