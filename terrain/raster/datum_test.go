package raster

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDatumsFarFromWGS84AreTold(t *testing.T) {
	for crs, want := range map[string]string{
		"EPSG:4326": "", "EPSG:4269": "", "EPSG:26916": "", "EPSG:6350": "", "EPSG:2227": "", "EPSG:25832": "", "EPSG:3857": "",
		"EPSG:26716":                       "its datum is North_American_Datum_1927: where the shift grid", // NAD27 / UTM 16N
		"EPSG:27700":                       "its datum is Ordnance_Survey_of_Great_Britain_1936: where the shift grid",
		"+proj=utm +zone=16 +ellps=clrk66": "its datum is not known: the ground may be misplaced by 100 m or more",
	} {
		p, err := newPlace(crs)
		require.NoError(t, err, crs)
		if want == "" {
			assert.Empty(t, p.doubt, crs)
		} else {
			assert.Contains(t, p.doubt, want, crs)
		}
		p.close()
	}
}
