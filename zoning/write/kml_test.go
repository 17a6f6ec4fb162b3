package write_test

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/text"
	"github.com/acreband/acreband/zoning/write"
)

type kmlFile struct {
	Document struct {
		Name        string `xml:"name"`
		Description string `xml:"description"`
		Styles      []struct {
			ID   string `xml:"id,attr"`
			Poly struct {
				Color string `xml:"color"`
			} `xml:"PolyStyle"`
			Balloon string `xml:"BalloonStyle>text"`
		} `xml:"Style"`
		Folders []struct {
			Name       string         `xml:"name"`
			Placemarks []kmlPlacemark `xml:"Placemark"`
		} `xml:"Folder"`
	}
}

type kmlPlacemark struct {
	Name        string `xml:"name"`
	Description string `xml:"description"`
	StyleURL    string `xml:"styleUrl"`
	Data        []struct {
		Name  string `xml:"name,attr"`
		Value string `xml:"value"`
	} `xml:"ExtendedData>Data"`
	Polygons []kmlPolygon `xml:"MultiGeometry>Polygon"`
	Polygon  *kmlPolygon  `xml:"Polygon"`
	Point    string       `xml:"Point>coordinates"`
}

type kmlPolygon struct {
	Outer string   `xml:"outerBoundaryIs>LinearRing>coordinates"`
	Inner []string `xml:"innerBoundaryIs>LinearRing>coordinates"`
}

// ground reads a placemark's polygons.
func (p kmlPlacemark) ground(t testing.TB) (mp orb.MultiPolygon) {
	t.Helper()
	all := p.Polygons
	if p.Polygon != nil {
		all = append(all, *p.Polygon)
	}
	for _, k := range all {
		poly := orb.Polygon{}
		for _, text := range append([]string{k.Outer}, k.Inner...) {
			var ring orb.Ring
			for _, tuple := range strings.Fields(text) {
				var at orb.Point
				_, err := fmt.Sscanf(tuple, "%g,%g", &at[0], &at[1])
				require.NoError(t, err, tuple)
				ring = append(ring, at)
			}
			poly = append(poly, ring)
		}
		mp = append(mp, poly)
	}
	return mp
}

func readKML(t testing.TB, text []byte) (k kmlFile) {
	t.Helper()
	require.NoError(t, xml.Unmarshal(text, &k))
	return k
}

func TestKMLHoldsTheMap(t *testing.T) {
	m := newMap(t)
	k := readKML(t, bytesOf(t, func(w io.Writer) error { return write.KML(w, m.zm, spots) })).Document
	assert.Equal(t, "Zones of 2 lots, by limits", k.Name)
	for _, c := range append(zoning.Cautions(measure.US), "heights are in meters") {
		assert.Contains(t, unescaped(k.Description), c)
	}
	assert.Contains(t, k.Description, "the elevation: whole &lt; meters")
	assert.Contains(t, k.Description, "Mind the &lt;anchor&gt;.")

	bands := zoning.Fleet(fleet).Bands()
	require.Len(t, k.Styles, len(bands)-2+3, "by limits no ground needs a machine or waits")
	style := func(band int) int {
		if band < len(fleet) {
			return band
		}
		return band - 2
	}
	for i, b := range bands {
		if !m.zm.View.Has(fleet, i) {
			continue
		}
		fill, _ := palette.Flat(i, len(fleet))
		// KML writes colours as opacity, blue, green, red.
		at := k.Styles[style(i)]
		assert.Equal(t, fmt.Sprintf("%02x%02x%02x", fill.B, fill.G, fill.R), at.Poly.Color[2:], b.Key)
		assert.Equal(t, "$[description]", at.Balloon)
	}
	require.Len(t, k.Folders, 2+3)
	for i, lot := range m.zm.Lots {
		f := k.Folders[i]
		assert.Equal(t, lot.Lot, f.Name)
		require.Len(t, f.Placemarks, len(lot.Zones)+1)
		for j, z := range lot.Zones {
			p := f.Placemarks[j]
			assert.Equal(t, bands[z.Band].Name+": "+text.Acres(z.Acres, 2)+" acres", p.Name)
			assert.Equal(t, "#"+k.Styles[style(z.Band)].ID, p.StyleURL)
			assert.Equal(t, z.Ground, p.ground(t), "all 9 decimals")
			data := map[string]string{}
			for _, d := range p.Data {
				data[d.Name] = d.Value
			}
			assert.Equal(t, lot.Lot, data["lot"], "no guard for spreadsheets")
			assert.Equal(t, rounded(z.Acres), data["acres"])
			assert.Equal(t, rounded(z.SlopeMaxPct), data["slope_max_pct"])
			assert.Contains(t, p.Description, "Check the ground first")
			if bands[z.Band].Machine == 0 {
				assert.Contains(t, p.Description, "<h3>Loader &amp; &#34;grapple&#34;, ")
				assert.Contains(t, p.Description, "<p>Limit: 30%</p>")
				assert.Contains(t, p.Description, "<p>Mind the &lt;anchor&gt;.</p>")
			}
		}
		boundary := f.Placemarks[len(lot.Zones)]
		assert.Equal(t, "#boundary", boundary.StyleURL)
		assert.Equal(t, lot.Coverage.Outline(), boundary.ground(t))
		assert.Contains(t, boundary.Description, "sketched (30 ft)")
		assert.Contains(t, boundary.Description, "0.50 acres lie nearer to the line")
	}
	assert.Contains(t, k.Folders[1].Placemarks[len(m.zm.Lots[1].Zones)].Description, "<p>crossed itself</p>")

	var kinds, names []string
	for _, f := range k.Folders[2:] {
		kinds = append(kinds, f.Name)
		for _, p := range f.Placemarks {
			names = append(names, p.Name+" "+p.Point)
		}
	}
	assert.Equal(t, []string{"Emergency location", "Field checks", "gate"}, kinds)
	assert.Equal(t, []string{"Help comes here 0.0001,-0.0003", "Check 1 -0.000512346,0.0002", "检查 2 0.0002,0.0001", "Gate 0.00001,0.00002"}, names)
}

func unescaped(s string) string {
	return strings.NewReplacer("&#39;", "'", "&#34;", `"`, "&lt;", "<", "&gt;", ">", "&amp;", "&").Replace(s)
}

func TestKMLOfOneLotWithoutAName(t *testing.T) {
	m := newMap(t)
	m.zm.Lots = m.zm.Lots[:1]
	m.zm.Lots[0].Lot, m.zm.Boundary = " ", ""
	k := readKML(t, bytesOf(t, func(w io.Writer) error { return write.KML(w, m.zm, nil) })).Document
	assert.Equal(t, "Zones of the parcel, by limits", k.Name)
	require.Len(t, k.Folders, 1)
	last := k.Folders[0].Placemarks[len(k.Folders[0].Placemarks)-1]
	assert.Contains(t, last.Description, "How well its line is known was not said.")
	assert.NotContains(t, last.Description, "nearer to the line")
}

// A phone without a network shows all of it: nothing is fetched.
func TestKMLRefersToNothingOutside(t *testing.T) {
	text := string(bytesOf(t, func(w io.Writer) error { return write.KML(w, newMap(t).zm, spots) }))
	assert.Equal(t, 1, strings.Count(text, "://"), "the namespace")
	assert.NotContains(t, text, "<href>")
}

// OGC KML 2.2, annex C: a KMZ is a zip whose default file is named doc.kml.
func TestKMZ(t *testing.T) {
	m := newMap(t)
	text := bytesOf(t, func(w io.Writer) error { return write.KMZ(w, m.zm, spots) })
	z, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	require.NoError(t, err)
	require.Len(t, z.File, 1)
	assert.Equal(t, "doc.kml", z.File[0].Name)
	assert.Equal(t, zip.Deflate, z.File[0].Method)
	f, err := z.File[0].Open()
	require.NoError(t, err)
	inside, err := io.ReadAll(f)
	require.NoError(t, err)
	var plain bytes.Buffer
	require.NoError(t, write.KML(&plain, m.zm, spots))
	assert.Equal(t, readKML(t, plain.Bytes()), readKML(t, inside))
}
