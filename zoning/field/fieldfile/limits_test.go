package fieldfile_test

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/field/fieldfile"
)

// Text was parsed whatever stood in it: cells by the million, each with a table of its
// own; brackets and elements inside each other.
func TestTextIsHeldToLimitsBeforeItIsParsed(t *testing.T) {
	_, err := fieldfile.Table("f", []byte(strings.Repeat("a\n", 2<<20)), []string{"id"})
	assert.EqualError(t, err, "f:1048578: the file has more than 1048576 values and signs; give the part of it that belongs to this job, exported anew")
	_, _, err = fieldfile.ReadGeoJSON("f", []byte(`{"features":`+strings.Repeat("[", 200<<10)))
	assert.ErrorContains(t, err, "f:1: more than 32 brackets or elements lie inside each other")
	_, _, err = fieldfile.ReadGPX("f", []byte("<gpx>\n"+strings.Repeat("<trk>", 40<<10)))
	assert.ErrorContains(t, err, "f:2: more than 32 brackets or elements lie inside each other")
}

// Lines were counted from the beginning for each element, and a track was kept twice
// before its first spot was looked at.
func TestLinesAndTracksOfLargeFiles(t *testing.T) {
	const n = 100_000 // 5 GB of counting, it was
	spots, _, err := fieldfile.ReadGPX("f", []byte("<gpx>\n"+strings.Repeat("<wpt lat=\"1\" lon=\"2\"><name>a</name></wpt>\n", n)+"</gpx>"))
	require.NoError(t, err)
	require.Len(t, spots, n)
	assert.Equal(t, []int{2, n + 1}, []int{spots[0].Line, spots[n-1].Line})

	_, _, err = fieldfile.ReadGPX("f", []byte("<gpx><trk><trkseg>"+strings.Repeat("<trkpt/>", 1<<20)+"</trkseg></trk></gpx>"))
	assert.ErrorContains(t, err, "f:1: a spot lacks lat or lon")
}

// Names and types, stretches and what stands beside them.
func TestTracksAreReadInParts(t *testing.T) {
	_, tracks, err := fieldfile.ReadGPX("f", []byte(`<gpx><rte><rtept lat="9" lon="9"/></rte><trk><name> a
b </name><desc>x</desc><type>t</type><trkseg/><trkseg><trkpt lat="1" lon="2"><ele>3</ele><time>2026-05-04T13:05:00Z</time></trkpt><extensions><x><trkpt lat="5" lon="6"/></x></extensions></trkseg></trk><trk/></gpx>`))
	require.NoError(t, err)
	require.Len(t, tracks, 2)
	assert.Equal(t, []string{"a b", "t"}, []string{tracks[0].Name, tracks[0].Type})
	require.Len(t, tracks[0].Stretches, 2)
	assert.Empty(t, tracks[0].Stretches[0])
	require.Len(t, tracks[0].Stretches[1], 1)
	assert.Equal(t, orb.Point{2, 1}, tracks[0].Stretches[1][0].At)
	assert.Equal(t, 13, tracks[0].Stretches[1][0].Time.Hour())
	_, _, err = fieldfile.ReadGPX("f", []byte(`<gpx><trk><trkseg><trkpt lat="1" lon="2"><time>noon</time></trkpt></trkseg></trk></gpx>`))
	assert.ErrorContains(t, err, `f:1: a spot of the track has the time "noon"`)
}
