//go:build cgo

package write_test

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/write"
)

// quiet keeps warnings from being taken for errors.
func quiet(ec godal.ErrorCategory, code int, msg string) error {
	if ec >= godal.CE_Failure {
		return &failure{msg}
	}
	return nil
}

type failure struct{ words string }

func (f *failure) Error() string { return f.words }

func written(t testing.TB, name string, write func(io.Writer) error) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(file, bytesOf(t, write), 0o644))
	return file
}

func openVector(t testing.TB, file string, drivers ...string) *godal.Dataset {
	t.Helper()
	require.NoError(t, godal.RegisterVector("LIBKML"))
	require.NoError(t, godal.RegisterVector("GPX"))
	ds, err := godal.Open(file, godal.VectorOnly(), godal.Drivers(drivers...), godal.ErrLogger(quiet))
	require.NoError(t, err)
	t.Cleanup(func() { ds.Close() })
	return ds
}

// polygonsOf are the polygons of a geometry, in whatever it gathers them.
func polygonsOf(t testing.TB, g *godal.Geometry) (mp orb.MultiPolygon) {
	t.Helper()
	text, err := g.WKB()
	require.NoError(t, err)
	shape, err := wkb.Unmarshal(text)
	require.NoError(t, err)
	switch s := shape.(type) {
	case orb.Polygon:
		return orb.MultiPolygon{s}
	case orb.MultiPolygon:
		return s
	case orb.Collection:
		for _, p := range s {
			mp = append(mp, p.(orb.Polygon))
		}
	}
	return mp
}

// GDAL finds the zones in KML and in KMZ, with their figures, and the acres that
// their outlines measure are those written.
func TestGDALReadsKML(t *testing.T) {
	m := newMap(t)
	for name, write := range map[string]func(io.Writer) error{
		"zones.kml": func(w io.Writer) error { return write.KML(w, m.zm, spots) },
		"zones.kmz": func(w io.Writer) error { return write.KMZ(w, m.zm, spots) },
	} {
		t.Run(name, func(t *testing.T) {
			layers := openVector(t, written(t, name, write), "LIBKML").Layers()
			require.Len(t, layers, 2+3)
			for i, lot := range m.zm.Lots {
				var acres float64
				for _, z := range lot.Zones {
					f := layers[i].NextFeature()
					require.NotNil(t, f)
					fields := f.Fields()
					assert.Equal(t, lot.Lot, fields["lot"].String())
					assert.Equal(t, rounded(z.Acres), fields["acres"].String())
					ground := polygonsOf(t, f.Geometry())
					assert.InDelta(t, z.Acres, coverage.Acres(ground), 1e-9)
					assert.True(t, f.Geometry().Valid())
					acres += coverage.Acres(ground)
					f.Close()
				}
				boundary := layers[i].NextFeature()
				require.NotNil(t, boundary)
				assert.InDelta(t, acres, coverage.Acres(polygonsOf(t, boundary.Geometry())), 1e-6*acres)
				boundary.Close()
			}
			assert.Equal(t, "Emergency location", layers[2].Name())
		})
	}
}

// OGC's own schema (ogckml22.xsd, as the module that writes KML has it) finds
// nothing wrong, by Xerces in GDAL. What it takes from Atom and xAL, of which
// nothing is written here, is let stand for itself.
func TestKMLIsValidByItsSchema(t *testing.T) {
	if err := godal.RegisterVector("GMLAS"); err != nil {
		t.Skip("this GDAL was built without Xerces, which checks schemas")
	}
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/twpayne/go-kml/v3").Output()
	require.NoError(t, err)
	schema, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(out)), "xsd", "ogckml22.xsd"))
	require.NoError(t, err)
	dir := t.TempDir()
	save := func(name, text string) string {
		file := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
		return file
	}
	xsd := save("ogckml22.xsd", strings.Replace(string(schema), "http://docs.oasis-open.org/election/external/xAL.xsd", "xAL.xsd", 1))
	const open = `<schema xmlns="http://www.w3.org/2001/XMLSchema" targetNamespace="`
	save("atom-author-link.xsd", open+`http://www.w3.org/2005/Atom"><element name="author"/><element name="link"/></schema>`)
	save("xAL.xsd", open+`urn:oasis:names:tc:ciq:xsdschema:xAL:2.0"><element name="AddressDetails"/></schema>`)

	valid := func(file string) error {
		ds, err := godal.Open("GMLAS:"+file, godal.VectorOnly(), godal.Drivers("GMLAS"), godal.ErrLogger(quiet),
			godal.DriverOpenOption("XSD="+xsd, "VALIDATE=YES", "FAIL_IF_VALIDATION_ERROR=YES"))
		if err == nil {
			err = ds.Close()
		}
		return err
	}
	var b bytes.Buffer
	require.NoError(t, write.KML(&b, newMap(t).zm, spots))
	require.NoError(t, valid(save("zones.kml", b.String())))
	wrong := strings.Replace(b.String(), "<open>1</open>", "<open>perhaps</open>", 1)
	require.Error(t, valid(save("wrong.kml", wrong)), "the check can fail")
}

func TestGDALReadsGPX(t *testing.T) {
	m := newMap(t)
	ds := openVector(t, written(t, "spots.gpx", func(w io.Writer) error { return write.GPX(w, m.zm, spots) }), "GPX")
	points := ds.LayerByName("waypoints")
	require.NotNil(t, points)
	n, err := points.FeatureCount()
	require.NoError(t, err)
	assert.Equal(t, len(spots), n)
	points.NextFeature().Close()
	f := points.NextFeature()
	defer f.Close()
	assert.Equal(t, "Check 1", f.Fields()["name"].String())
	assert.Equal(t, "Measure <slope> & note it", f.Fields()["desc"].String())
	tracks := ds.LayerByName("tracks")
	for _, lot := range m.zm.Lots {
		track := tracks.NextFeature()
		require.NotNil(t, track)
		text, err := track.Geometry().WKB()
		require.NoError(t, err)
		shape, err := wkb.Unmarshal(text)
		require.NoError(t, err)
		lines := shape.(orb.MultiLineString)
		poly := orb.Polygon{}
		for _, l := range lines {
			poly = append(poly, orb.Ring(l))
		}
		assert.InDelta(t, lot.Acres, coverage.Acres(orb.MultiPolygon{poly}), 1e-9)
		track.Close()
	}
}

// GDAL finds the names beside a raster of bands. Go has no binding for them, so
// they are read from the VRT that describes it.
func TestGDALReadsBandNames(t *testing.T) {
	m := newMap(t)
	dir := t.TempDir()
	var tif, names bytes.Buffer
	classes := []raster.Class{}
	for i, b := range zoning.Fleet(fleet).Bands() {
		fill, _ := palette.Flat(i, len(fleet))
		classes = append(classes, raster.Class{Name: b.Name, Colour: fill})
	}
	h := raster.Header{Cols: m.cells.Cols, Rows: m.cells.Rows, Place: terrain.Georeference{
		CRS:  `GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`,
		Grid: [6]float64{0, 1e-4, 0, 0, 0, -1e-4},
	}}
	require.NoError(t, raster.WriteClasses(&tif, h, must(write.BandCells(m.zm, m.cells)), classes))
	require.NoError(t, write.BandNames(&names, m.zm))
	file := filepath.Join(dir, "bands.tif")
	require.NoError(t, os.WriteFile(file, tif.Bytes(), 0o644))
	require.NoError(t, os.WriteFile(file+".aux.xml", names.Bytes(), 0o644))

	ds, err := godal.Open(file, godal.RasterOnly(), godal.SiblingFiles(file+".aux.xml"), godal.ErrLogger(quiet))
	require.NoError(t, err)
	defer ds.Close()
	vrt, err := ds.Translate(filepath.Join(dir, "bands.vrt"), []string{"-of", "VRT"}, godal.ErrLogger(quiet))
	require.NoError(t, err)
	require.NoError(t, vrt.Close())
	text, err := os.ReadFile(filepath.Join(dir, "bands.vrt"))
	require.NoError(t, err)
	said := unescaped(strings.ReplaceAll(string(text), "&quot;", `"`))
	for i, b := range zoning.Fleet(fleet).Bands() {
		assert.Contains(t, said, "<Category>"+b.Name+"</Category>")
		var acres float64
		for _, lot := range m.zm.Lots {
			for _, z := range lot.Zones {
				if z.Band == i {
					acres += z.Acres
				}
			}
		}
		at := strings.Index(said, "<Row index=\""+string(rune('0'+i))+"\">")
		require.Positive(t, at)
		row := said[at : at+strings.Index(said[at:], "</Row>")]
		assert.Contains(t, row, "<F>"+b.Key+"</F>")
		assert.Contains(t, row, "<F>"+rounded(acres)[:6])
	}
	assert.Contains(t, said, "thematic")
}
