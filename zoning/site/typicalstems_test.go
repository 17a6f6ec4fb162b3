package site_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/site"
)

const inch = 0.0254

// A cover tells its typical stem beside its thickest; a typical one that is thicker is a
// slip of the pen.
func TestACoverTellsItsTypicalStem(t *testing.T) {
	says := func(stem, typical string) (site.Feature, error) {
		return site.Describe(site.Cover, func(a string) string { return map[string]string{"stem": stem, "typical": typical}[a] })
	}
	f, err := says("8in", "3in")
	require.NoError(t, err)
	assert.InDelta(t, 8*inch, f.StemM, 1e-12)
	assert.InDelta(t, 3*inch, f.TypicalM, 1e-12)
	f, err = says("", "3in")
	require.NoError(t, err)
	assert.Zero(t, f.StemM)
	_, err = says("8in", "8in")
	require.NoError(t, err)
	_, err = says("3in", "8in")
	assert.ErrorContains(t, err, "its typical stem, 8 in, is thicker than its thickest, 3 in")
}

// A machine must handle what is typical of each cover; of one that tells no typical stem,
// its thickest. Where covers lie over each other the greatest counts.
func TestTheStemThatMustBeHandled(t *testing.T) {
	g := field(t, 4, 1, 10, 0)
	left := orb.Polygon{ring(g, 0, 0, 1, 0, 1, 1, 0, 1)}
	both := orb.Polygon{ring(g, 0, 0, 4, 0, 4, 1, 0, 1)}
	lay := func(features ...site.Feature) *site.Ground {
		got, err := site.Lay(features, g)
		require.NoError(t, err)
		return got
	}
	got := lay(site.Feature{Kind: site.Cover, Geometry: left, StemM: 0.3, TypicalM: 0.1})
	assert.Equal(t, []float32{0.3, 0.1, 0.1}, []float32{got.StemM[0], got.TypicalM[0], got.CommonStemM[0]})
	assert.True(t, math.IsNaN(float64(got.CommonStemM[3])))
	got = lay(site.Feature{Kind: site.Cover, Geometry: left, StemM: 0.3, TypicalM: 0.1}, site.Feature{Kind: site.Cover, Geometry: both, StemM: 0.2})
	assert.Equal(t, []float32{0.2, 0.2, 0.2, 0.2}, got.CommonStemM)
	assert.Equal(t, float32(0.3), got.StemM[0])
	assert.Equal(t, float32(0.1), got.TypicalM[0])
}
