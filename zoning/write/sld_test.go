package write_test

import (
	"encoding/xml"
	"fmt"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/write"
)

type sldParameter struct {
	Name  string `xml:"name,attr"`
	Value string `xml:",chardata"`
}

type sldText struct {
	XMLName xml.Name `xml:"http://www.opengis.net/sld StyledLayerDescriptor"`
	Version string   `xml:"version,attr"`
	Layer   string   `xml:"NamedLayer>Name"`
	Words   string   `xml:"NamedLayer>UserStyle>Description>Abstract"`
	Rules   []struct {
		Title    string `xml:"http://www.opengis.net/se Description>Title"`
		Property string `xml:"http://www.opengis.net/ogc Filter>PropertyIsEqualTo>PropertyName"`
		Literal  string `xml:"http://www.opengis.net/ogc Filter>PropertyIsEqualTo>Literal"`
		Symbols  []struct {
			Fill   []sldParameter `xml:"Fill>SvgParameter"`
			Stroke []sldParameter `xml:"Stroke>SvgParameter"`
			Mark   string         `xml:"Fill>GraphicFill>Graphic>Mark>WellKnownName"`
			Size   string         `xml:"Fill>GraphicFill>Graphic>Size"`
		} `xml:"http://www.opengis.net/se PolygonSymbolizer"`
	} `xml:"NamedLayer>UserStyle>FeatureTypeStyle>Rule"`
}

// Marks that every reader of Symbology Encoding 1.1 knows (05-077r4, 11.3.2).
var wellKnown = []string{"square", "circle", "triangle", "star", "cross", "x"}

func TestSLDHasARuleForEachBand(t *testing.T) {
	for _, n := range []int{1, 3, zoning.MaxMachines} {
		zm := &zoning.ZoneMap{View: zoning.AsPlanned, Cautions: zoning.Cautions(measure.US)}
		for i := range n {
			zm.Fleet = append(zm.Fleet, zoning.Machine{Key: fmt.Sprintf("m%d<&>", i), Name: `Machine "<&>"`, LimitPct: 30})
		}
		text := bytesOf(t, func(w io.Writer) error { return write.SLD(w, zm) })
		var s sldText
		require.NoError(t, xml.Unmarshal(text, &s))
		assert.Equal(t, "1.1.0", s.Version)
		assert.Equal(t, write.ZonesLayer, s.Layer)
		assert.Contains(t, s.Words, zoning.Cautions(measure.US)[0])
		bands := zm.Fleet.Bands()
		require.Len(t, s.Rules, len(bands))
		looks := map[string]bool{}
		for i, r := range s.Rules {
			assert.Equal(t, "zone", r.Property)
			assert.Equal(t, bands[i].Key, r.Literal)
			if i < n {
				assert.Equal(t, `Machine "<&>", to 30%`, r.Title)
			}
			require.Len(t, r.Symbols, 2)
			fill, _ := palette.Flat(i, n)
			assert.Equal(t, []sldParameter{{"fill", fmt.Sprintf("#%02x%02x%02x", fill.R, fill.G, fill.B)}}, r.Symbols[0].Fill)
			assert.Equal(t, "stroke", r.Symbols[0].Stroke[0].Name)
			assert.Contains(t, wellKnown, r.Symbols[1].Mark)
			looks[r.Symbols[0].Fill[0].Value+r.Symbols[1].Mark] = true
		}
		assert.Len(t, looks, len(bands), "each looks its own")

		zm.View = zoning.ByLimits
		var limits sldText
		require.NoError(t, xml.Unmarshal(bytesOf(t, func(w io.Writer) error { return write.SLD(w, zm) }), &limits))
		assert.Len(t, limits.Rules, len(bands)-2, "no ground waits or needs a machine by limits")
	}
}
