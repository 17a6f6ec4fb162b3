package osm

import (
	"context"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The server is asked for every key that rules are about, in boxes on a grid: two lots side by
// side ask the same, and neither tells where its lines run. The language is that of the
// Overpass API's own guide.
func TestQueriesOfALot(t *testing.T) {
	got, err := Queries(lotBox)
	require.NoError(t, err)
	require.Len(t, got, 1)
	assert.True(t, strings.HasPrefix(got[0], `[out:xml][timeout:60][maxsize:67108864][bbox:44.99,0.00,45.01,0.02];(nwr["building"];nwr["building:part"];nwr["power"];`), got[0])
	assert.True(t, strings.HasSuffix(got[0], `);(._;>;);out body;`), got[0])
	for _, r := range rules {
		assert.Equal(t, 1, strings.Count(got[0], `nwr["`+r.key+`"];`))
	}
	beside := orb.Bound{Min: orb.Point{0.0091, 44.9992}, Max: orb.Point{0.0113, 45.0001}}
	again, err := Queries(beside)
	require.NoError(t, err)
	assert.Equal(t, got, again)

	got, err = Queries(orb.Bound{Min: orb.Point{0.005, 45.005}, Max: orb.Point{0.199, 45.199}})
	require.NoError(t, err)
	assert.Len(t, got, 9, "with 200 m around it, 0.2 degrees end in the third tile of 0.1 degrees each way")
	_, err = Queries(orb.Bound{Min: orb.Point{0, 45}, Max: orb.Point{3, 47}})
	assert.EqualError(t, err, "the lots lie as far apart as 651 boxes of 0.1 degrees, and a server that is lent is asked for 200: give an extract of their ground")
	_, err = Queries(orb.MultiPoint{}.Bound())
	assert.Error(t, err)
}

// Answers to several questions are one map: what lies in two of them is told once.
func TestAnswersAreOneMap(t *testing.T) {
	whole := extractOf(t, village().xml(), Options{})
	half, rest := &drawnMap{village().elements[:40]}, &drawnMap{village().elements[20:]}
	x, err := ReadAnswers(t.Context(), [][]byte{half.xml(), rest.xml()}, Options{Lots: lotBox})
	require.NoError(t, err)
	assert.Equal(t, whole, x)

	x, err = ReadAnswers(t.Context(), [][]byte{[]byte(`<osm version="0.6"></osm>`)}, Options{Lots: lotBox})
	require.NoError(t, err)
	assert.Empty(t, x.Features)
	assert.Equal(t, []string{"OpenStreetMap shows nothing that is minded within 656 ft of the lots; an empty map is no proof of empty ground"}, x.Notes)

	_, err = ReadAnswers(t.Context(), [][]byte{half.xml(), []byte(`<osm version="0.6"><remark>runtime error: Query run out of memory</remark></osm>`)}, Options{Lots: lotBox})
	assert.ErrorContains(t, err, "is not whole, its server says: runtime error: Query run out of memory")
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = ReadAnswers(ctx, [][]byte{half.xml()}, Options{Lots: lotBox})
	assert.ErrorIs(t, err, context.Canceled)
}
