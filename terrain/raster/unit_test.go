package raster

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// inUnit is the hill with heights in a unit of so many metres.
func inUnit(metres float64, crs string) dem {
	d := hillDEM()
	d.kind, d.crs = godal.Float64, crs
	d.stored = func(c, r int) float64 { return hill(c, r) / metres }
	if strings.HasPrefix(crs, "EPSG:4326") {
		d.grid = northUp(-84.3, 36.3, 1.0/10800)
	}
	return d
}

// edited makes a VRT of a raster and replaces what a pattern finds in its XML.
func edited(t testing.TB, file, pattern, by string) string {
	t.Helper()
	vrt := file
	if !strings.HasSuffix(file, ".vrt") {
		vrt = translated(t, file, "edited.vrt", "-of", "VRT")
	}
	text, err := os.ReadFile(vrt)
	require.NoError(t, err)
	find := regexp.MustCompile(pattern)
	require.Regexp(t, find, string(text))
	require.NoError(t, os.WriteFile(vrt, find.ReplaceAll(text, []byte(by)), 0o600))
	return vrt
}

// declaring makes a VRT of a raster whose band declares a unit.
func declaring(t testing.TB, file, unit string) string {
	return edited(t, file, `<VRTRasterBand [^>]*>(\s*<UnitType>[^<]*</UnitType>)?`, `<VRTRasterBand dataType="Float64" band="1"><UnitType>`+unit+`</UnitType>`)
}

// undeclaring makes a VRT of a raster whose band declares none, though GDAL
// gives a GeoTIFF's band the unit of its vertical CRS.
func undeclaring(t testing.TB, file string) string {
	return edited(t, file, `\s*<UnitType>[^<]*</UnitType>`, "")
}

const (
	foot       = 0.3048        // exactly, since 1959
	surveyFoot = 1200.0 / 3937 // 85 FR 62698
)

// inFathoms makes a VRT of a raster with a vertical CRS in a unit that is none
// of ours.
func inFathoms(t *testing.T, file string) string {
	sr, err := godal.NewSpatialRef("EPSG:26916")
	require.NoError(t, err)
	defer sr.Close()
	wkt, err := sr.WKT()
	require.NoError(t, err)
	chart := `COMPD_CS["a chart",` + wkt + `,VERT_CS["low water",VERT_DATUM["low water",2005],UNIT["fathom",1.8288],AXIS["Up",UP]]]`
	return edited(t, file, `<SRS[^>]*>[^<]*</SRS>`, "<SRS>"+strings.ReplaceAll(chart, `"`, "&quot;")+"</SRS>")
}

// Where the unit of heights comes from, and that heights come out in metres.
func TestUnitOfHeights(t *testing.T) {
	require.NoError(t, registerFew())
	const utm, feet, degrees = "EPSG:26916", "EPSG:2227", "EPSG:4326"
	const navd88m, navd88ftUS, navd88ft = "+5703", "+6360", "+8228"
	for _, c := range []struct {
		name     string
		metres   float64 // of the stored unit
		crs      string
		band     string
		given    string
		unit     string
		from     string
		assumed  bool
		warnings []string
	}{
		{"nothing, metre grid", 1, utm, "", "", "m", "assumed", true, nil},
		{"nothing, degree grid", 1, degrees, "", "", "m", "assumed", true, nil},
		{"band, metres", 1, utm, "metre", "", "m", "band unit", false, nil},
		{"band, feet", foot, utm, "ft", "", "ft", "band unit", false, nil},
		{"band, survey feet", surveyFoot, degrees, "US survey foot", "", "us-ft", "band unit", false, nil},
		{"band, on a grid of feet", 1, feet, "m", "", "m", "band unit", false, nil},
		{"given, nothing declared", foot, utm, "", "ft", "ft", "elevation-unit", false, nil},
		{"given, on a grid of feet", surveyFoot, feet, "", "us-ft", "us-ft", "elevation-unit", false, nil},
		{"given, as the band says", foot, utm, "foot", "ft", "ft", "elevation-unit", false, nil},
		{"given, against the band", 1, utm, "ft", "m", "m", "elevation-unit", false, []string{"it declares heights in ft; elevation-unit m overrules that"}},
		{"given, against the vertical CRS", 1, utm + navd88ft, "m", "m", "m", "elevation-unit", false, []string{"it declares heights in ft; elevation-unit m overrules that"}},
		{"given, the band unknown", 1, utm, "cubits", "m", "m", "elevation-unit", false, []string{`its band declares the unit "cubits", which is none of m, ft, us-ft`}},
		{"vertical CRS, metres", 1, utm + navd88m, "", "", "m", "", false, nil},
		{"vertical CRS, survey feet", surveyFoot, utm + navd88ftUS, "", "", "us-ft", "", false, nil},
		{"vertical CRS, feet", foot, utm + navd88ft, "", "", "ft", "", false, nil},
		{"vertical CRS, survey feet on a grid of them", surveyFoot, feet + navd88ftUS, "", "", "us-ft", "", false, nil},
		{"vertical CRS, feet on degrees", foot, degrees + navd88ft, "", "", "ft", "", false, nil},
		{"both agree", surveyFoot, utm + navd88ftUS, "us-ft", "", "us-ft", "band unit", false, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := inUnit(c.metres, c.crs).write(t, "hill.tif")
			if c.band != "" {
				file = declaring(t, file, c.band)
			}
			r, e := readWhole(t, file, Options{Unit: c.given})
			s := r.Source
			assert.Equal(t, c.unit, s.Unit)
			assert.Equal(t, map[string]float64{"m": 1, "ft": foot, "us-ft": surveyFoot}[c.unit], s.UnitM)
			if c.from != "" {
				assert.Equal(t, c.from, s.UnitFrom)
			} else {
				assert.Contains(t, []string{"band unit", "vertical CRS"}, s.UnitFrom, "GDAL gives a GeoTIFF's band the unit of its vertical CRS")
			}
			assert.Equal(t, c.warnings, s.Warnings)
			if c.assumed {
				assert.Equal(t, []string{"heights are in meters: the raster does not say (elevation-unit overrules)"}, s.Assumed)
			} else {
				assert.Empty(t, s.Assumed)
			}
			for row := range hillRows {
				for col := range hillCols {
					require.InDelta(t, hill(col, row), e.Grid.At(col, row), 1e-5)
				}
			}
			assert.NotContains(t, s.CRS, "NAVD88")
		})
	}
}

func TestUnitThatMustBeAsked(t *testing.T) {
	require.NoError(t, registerFew())
	for _, c := range []struct {
		name, crs, band string
		says            []string
	}{
		{"a grid of feet", "EPSG:2227", "", []string{"not declared", "1 unit = 0.3048006"}},
		{"a band unit unknown here", "EPSG:26916", "cubits", []string{`the band says "cubits"`}},
		{"though the vertical CRS says metres", "EPSG:26916+5703", "cubits", []string{`the band says "cubits"`}},
		{"band against vertical CRS", "EPSG:26916+6360", "m", []string{"the band says m, the vertical CRS us-ft"}},
		{"feet against survey feet", "EPSG:26916+6360", "ft", []string{"the band says ft, the vertical CRS us-ft"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := inUnit(1, c.crs).write(t, "hill.tif")
			if c.band != "" {
				file = declaring(t, file, c.band)
			}
			err := mustRefuse(t, file, Options{}, append(c.says, "elevation-unit")...)
			assert.ErrorIs(t, err, ErrUnit)
			for _, unit := range []string{Metre, Foot, USSurveyFoot} {
				opened(t, file, Options{Unit: unit})
			}
		})
	}
}

// A band's unit written into the GeoTIFF itself, not only into a VRT, and a
// vertical CRS in either version of GeoTIFF.
func TestUnitInAGeoTIFF(t *testing.T) {
	file := translated(t, declaring(t, inUnit(foot, "EPSG:26916").write(t, "a.tif"), "ft"), "b.tif", "-of", "GTiff")
	r, e := readWhole(t, file, Options{})
	assert.Equal(t, [2]string{"ft", "band unit"}, [2]string{r.Source.Unit, r.Source.UnitFrom})
	assert.InDelta(t, hill(7, 9), e.Grid.At(7, 9), 1e-5)

	for _, version := range []string{"1.0", "1.1"} {
		d := inUnit(surveyFoot, "EPSG:26916+6360")
		d.options = []string{"GEOTIFF_VERSION=" + version}
		r, e := readWhole(t, d.write(t, "c.tif"), Options{})
		assert.Equal(t, "us-ft", r.Source.Unit, version)
		assert.Equal(t, "NAD83 / UTM zone 16N (EPSG:26916)", r.Source.CRS, version)
		assert.InDelta(t, hill(7, 9), e.Grid.At(7, 9), 1e-5)
	}
}

// A horizontal CRS given by hand does not lose the raster's own heights.
func TestCRSGivenKeepsTheVerticalUnit(t *testing.T) {
	vrt := undeclaring(t, inUnit(surveyFoot, "EPSG:26916+6360").write(t, "a.tif"))
	r := opened(t, vrt, Options{})
	assert.Equal(t, [2]string{"us-ft", "vertical CRS"}, [2]string{r.Source.Unit, r.Source.UnitFrom})
	r = opened(t, vrt, Options{CRS: "EPSG:26917"})
	assert.Equal(t, [2]string{"us-ft", "vertical CRS"}, [2]string{r.Source.Unit, r.Source.UnitFrom})
	r = opened(t, vrt, Options{CRS: "EPSG:26916+5703"})
	assert.Equal(t, [2]string{"m", "vertical CRS"}, [2]string{r.Source.Unit, r.Source.UnitFrom})

	vrt = inFathoms(t, inUnit(1, "EPSG:26916").write(t, "b.tif"))
	mustRefuse(t, vrt, Options{}, `the vertical CRS says "fathom"`, "elevation-unit")
	mustRefuse(t, vrt, Options{CRS: "EPSG:26917"}, `the vertical CRS says "fathom"`, "elevation-unit")
	r = opened(t, vrt, Options{Unit: Foot})
	assert.Equal(t, [2]string{"ft", "elevation-unit"}, [2]string{r.Source.Unit, r.Source.UnitFrom})
}

func TestUnitNames(t *testing.T) {
	for name, want := range map[string]string{
		"m": Metre, "metre": Metre, "Meters": Metre, " METRE ": Metre,
		"ft": Foot, "foot": Foot, "feet": Foot, "International Foot": Foot,
		"us-ft": USSurveyFoot, "US survey foot": USSurveyFoot, "us_survey_foot": USSurveyFoot, "ftUS": USSurveyFoot, "Foot_US": USSurveyFoot,
		"": "", "cm": "", "dm": "", "yard": "", "feet above sea level": "", "mm": "", "km": "", "degree": "",
	} {
		got, ok := unitNamed(name)
		assert.Equal(t, want, got, name)
		assert.Equal(t, want != "", ok, name)
	}
	for text, want := range map[string]string{
		"1": Metre, "0.3048": Foot, "0.304800609601219": USSurveyFoot, "0.3048006096": USSurveyFoot, "0.9144": "", "1.8288": "", "": "", "0.30479841": "", // Clarke's foot
	} {
		got, _ := unitOfFactor(text)
		assert.Equal(t, want, got, text)
	}
	for _, unit := range []string{"", Metre, Foot, USSurveyFoot} {
		assert.NoError(t, CheckUnit(unit))
	}
	assert.EqualError(t, CheckUnit("feet"), `elevation unit "feet"; write m, ft or us-ft`)
}
