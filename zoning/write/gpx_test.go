package write_test

import (
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/write"
)

// gpxOrder are the children of each element in the order that GPX 1.1's schema
// (topografix.com/GPX/1/1, from memory) asks for.
var gpxOrder = map[string][]string{
	"gpx":      {"metadata", "wpt", "rte", "trk", "extensions"},
	"metadata": {"name", "desc", "author", "copyright", "link", "time", "keywords", "bounds", "extensions"},
	"wpt":      {"ele", "time", "magvar", "geoidheight", "name", "cmt", "desc", "src", "link", "sym", "type", "fix"},
	"trk":      {"name", "cmt", "desc", "src", "link", "number", "type", "extensions", "trkseg"},
	"trkseg":   {"trkpt", "extensions"},
}

func TestGPXIsInOrder(t *testing.T) {
	m := newMap(t)
	m.zm.Lots[0].Lot = "\x00\x01 control"
	text := bytesOf(t, func(w io.Writer) error { return write.GPX(w, m.zm, spots) })
	type open struct {
		name string
		at   int
	}
	path := []open{{"", 0}}
	in := xml.NewDecoder(strings.NewReader(string(text)))
	seen := 0
	for {
		token, err := in.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch e := token.(type) {
		case xml.StartElement:
			assert.Equal(t, "http://www.topografix.com/GPX/1/1", e.Name.Space)
			top := &path[len(path)-1]
			if order, ok := gpxOrder[top.name]; ok {
				at := -1
				for i, name := range order {
					if name == e.Name.Local {
						at = i
					}
				}
				require.GreaterOrEqual(t, at, top.at, "%s in %s", e.Name.Local, top.name)
				top.at = at
				seen++
			}
			for _, a := range e.Attr {
				if strings.HasSuffix(a.Name.Local, "lat") || strings.HasSuffix(a.Name.Local, "lon") {
					_, err := strconv.ParseFloat(a.Value, 64)
					require.NoError(t, err)
					assert.NotContains(t, a.Value, "e", "no exponent: xsd:decimal")
				}
			}
			path = append(path, open{name: e.Name.Local})
		case xml.EndElement:
			path = path[:len(path)-1]
		}
	}
	assert.Greater(t, seen, 40)
}

type gpxText struct {
	Version  string `xml:"version,attr"`
	Creator  string `xml:"creator,attr"`
	Metadata struct {
		Name   string `xml:"name"`
		Desc   string `xml:"desc"`
		Bounds struct {
			MinLat float64 `xml:"minlat,attr"`
			MinLon float64 `xml:"minlon,attr"`
			MaxLat float64 `xml:"maxlat,attr"`
			MaxLon float64 `xml:"maxlon,attr"`
		} `xml:"bounds"`
	} `xml:"metadata"`
	Wpt []struct {
		Lat  float64 `xml:"lat,attr"`
		Lon  float64 `xml:"lon,attr"`
		Name string  `xml:"name"`
		Desc string  `xml:"desc"`
		Type string  `xml:"type"`
	} `xml:"wpt"`
	Trk []struct {
		Name string `xml:"name"`
		Desc string `xml:"desc"`
		Type string `xml:"type"`
		Seg  []struct {
			Pt []struct {
				Lat float64 `xml:"lat,attr"`
				Lon float64 `xml:"lon,attr"`
			} `xml:"trkpt"`
		} `xml:"trkseg"`
	} `xml:"trk"`
}

func TestGPXHoldsSpotsAndLines(t *testing.T) {
	m := newMap(t)
	var g gpxText
	require.NoError(t, xml.Unmarshal(bytesOf(t, func(w io.Writer) error { return write.GPX(w, m.zm, spots) }), &g))
	assert.Equal(t, "1.1", g.Version)
	assert.NotEmpty(t, g.Creator)
	for _, c := range zoning.Cautions(measure.US) {
		assert.Contains(t, g.Metadata.Desc, c)
	}
	require.Len(t, g.Wpt, len(spots))
	assert.Equal(t, "Help comes here", g.Wpt[0].Name)
	assert.Equal(t, "Emergency location", g.Wpt[0].Type)
	assert.Equal(t, "Measure <slope> & note it", g.Wpt[1].Desc)
	assert.Equal(t, [2]float64{-0.000512346, 0.0002}, [2]float64{g.Wpt[1].Lon, g.Wpt[1].Lat})
	require.Len(t, g.Trk, 2)
	all := orb.MultiPoint{}
	for i, lot := range m.zm.Lots {
		assert.Equal(t, lot.Lot, g.Trk[i].Name)
		assert.Contains(t, g.Trk[i].Desc, "sketched (30 ft)")
		poly := orb.Polygon{}
		for _, s := range g.Trk[i].Seg {
			var ring orb.Ring
			for _, p := range s.Pt {
				ring = append(ring, orb.Point{p.Lon, p.Lat})
				all = append(all, ring[len(ring)-1])
			}
			poly = append(poly, ring)
		}
		assert.Equal(t, lot.Coverage.Outline(), orb.MultiPolygon{poly})
	}
	for _, w := range g.Wpt {
		all = append(all, orb.Point{w.Lon, w.Lat})
	}
	b, want := g.Metadata.Bounds, all.Bound()
	assert.Equal(t, want, orb.Bound{Min: orb.Point{b.MinLon, b.MinLat}, Max: orb.Point{b.MaxLon, b.MaxLat}})
}

// GPX has longitudes below 180 only.
func TestGPXAtTheAntimeridian(t *testing.T) {
	m := newMap(t)
	text := bytesOf(t, func(w io.Writer) error {
		return write.GPX(w, m.zm, []write.Spot{{Kind: "hazard", Name: "x", At: orb.Point{180, -1e-9}}})
	})
	assert.Contains(t, string(text), `<wpt lat="-0.000000001" lon="-180">`)
}
