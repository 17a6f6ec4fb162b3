package write

import (
	"html"
	"image/color"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-kml/v3"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/text"
)

// KML writes a map by OGC KML 2.2 (07-147r2): a folder for each lot with its
// boundary and its zones, no-go among them, one for the hazards, each with its
// caution, and one for each kind of spot. Words and figures open where a zone, a lot or a
// hazard is touched and stand in its ExtendedData under the names of [Zones], [Lots] and
// [Hazards]. The file refers to nothing outside itself, so it
// serves without a network.
func KML(w io.Writer, zm *zoning.ZoneMap, spots []Spot) error {
	if err := checkOutlined(zm); err != nil {
		return err
	}
	return kmlOf(zm, spots).WriteIndent(w, "", " ")
}

// KMZ writes the same as a KMZ archive.
func KMZ(w io.Writer, zm *zoning.ZoneMap, spots []Spot) error {
	if err := checkOutlined(zm); err != nil {
		return err
	}
	return kml.WriteKMZ(w, map[string]any{"doc.kml": kmlOf(zm, spots)})
}

func kmlOf(zm *zoning.ZoneMap, spots []Spot) *kml.KMLElement {
	doc := kml.Document(
		kml.Name(title(zm)), kml.Open(true),
		noSnippet(), paragraphs("", Remarks(zm)...),
	)
	for band := range zm.Fleet.Bands() {
		if zm.View.Has(zm.Fleet, band) {
			doc.Append(bandStyle(band, len(zm.Fleet)))
		}
	}
	doc.Append(lineStyle(), spotStyle(), hazardStyle())
	for _, lot := range zm.Lots {
		doc.Append(lotFolder(zm, lot))
	}
	if len(zm.Hazards) > 0 {
		doc.Append(hazardFolder(zm))
	}
	for _, kind := range byKind(spots) {
		if len(kind) > 0 {
			doc.Append(spotFolder(kind))
		}
	}
	return kml.KML(doc)
}

// Names of styles within a file.
const (
	lineStyleID = "boundary"
	spotStyleID = "spot"

	hazardStyleID = "hazard"
)

func bandStyleID(band int) string { return "band-" + strconv.Itoa(band) }

// Opacity of ground, under which pictures of it are still seen.
const (
	groundOpacity  = 0xB0
	unknownOpacity = 0x70 // white
)

func bandStyle(band, machines int) kml.Element {
	fill, line := palette.Flat(band, machines)
	fill.A = groundOpacity // the library writes colours as they are stored
	if band == machines+palette.Unknown {
		fill.A = unknownOpacity
	}
	return kml.SharedStyle(bandStyleID(band),
		kml.LineStyle(kml.Color(line), kml.Width(1)),
		kml.PolyStyle(kml.Color(fill)),
		balloon(),
	)
}

func lineStyle() kml.Element {
	return kml.SharedStyle(lineStyleID,
		kml.LineStyle(kml.Color(color.Black), kml.Width(3)),
		kml.PolyStyle(kml.Fill(false)),
		balloon(),
	)
}

func spotStyle() kml.Element {
	return kml.SharedStyle(spotStyleID, kml.LabelStyle(kml.Scale(1)), balloon())
}

func hazardStyle() kml.Element {
	return kml.SharedStyle(hazardStyleID,
		kml.LineStyle(kml.Color(hazardColour), kml.Width(4)),
		kml.PolyStyle(kml.Fill(false)),
		balloon(),
	)
}

// hazardColour is seen on every band's ground and on pictures of it.
var hazardColour = color.RGBA{R: 0xD0, B: 0xD0, A: 0xFF}

// balloon shows an element's description and nothing else: names come from
// strangers' files, and only there are they made harmless.
func balloon() kml.Element { return kml.BalloonStyle(kml.Text("$[description]")) }

// noSnippet keeps a description out of lists of places.
func noSnippet() kml.Element { return kml.Snippet("").WithMaxLines(0) }

// paragraphs is a description in HTML.
func paragraphs(heading string, all ...string) kml.Element {
	var b strings.Builder
	if heading != "" {
		b.WriteString("<h3>" + html.EscapeString(heading) + "</h3>")
	}
	for _, p := range all {
		if p != "" {
			b.WriteString("<p>" + html.EscapeString(p) + "</p>")
		}
	}
	return kml.Description(b.String())
}

func lotFolder(zm *zoning.ZoneMap, lot zoning.LotMap) kml.Element {
	folder := kml.Folder(kml.Name(lotName(lot.Lot)))
	properties := ZoneProperties(zm.Units)
	for _, z := range zonesOf(zm, lot) {
		name := z.band.Name + ": " + areaText(zm, z.zone.Acres)
		folder.Append(kml.Placemark(
			kml.Name(name), noSnippet(),
			paragraphs(z.band.Name+", "+lotName(lot.Lot), append(zoneWords(zm, z), planning)...),
			kml.StyleURL("#"+bandStyleID(z.zone.Band)),
			extendedData(columnsOf(properties), valuesOf(properties, zoneValues(zm, lot, z.zone))),
			polygons(z.zone.Ground),
		))
	}
	words := []string{areaText(zm, lot.Acres), boundaryWords(zm)}
	if zm.Boundary != "" {
		words = append(words, areaText(zm, lot.EdgeAcres)+" lie nearer to the line than that, line not flagged")
	}
	return folder.Append(kml.Placemark(
		kml.Name("Boundary"), noSnippet(),
		paragraphs("Boundary of "+lotName(lot.Lot), append(words, lot.Notes...)...),
		kml.StyleURL("#"+lineStyleID),
		extendedData(columnsOf(LotProperties(zm)), lotValues(zm, lot)),
		polygons(lot.Coverage.Outline()),
	))
}

// extendedData are the values of a row under the names of its columns.
func extendedData(columns []Column, values []any) kml.Element {
	data := kml.ExtendedData()
	for i, c := range columns {
		if cell := cellOf(values[i]); cell != "" {
			data.Append(kml.Data(c.Name, kml.DisplayName(c.Words), kml.Value(cell)))
		}
	}
	return data
}

func spotFolder(spots []Spot) kml.Element {
	folder := kml.Folder(kml.Name(spotHeading(spots[0].Kind)))
	for _, s := range spots {
		folder.Append(kml.Placemark(
			kml.Name(s.Name), noSnippet(), paragraphs(s.Name, s.Words, text.Degrees(s.At)),
			kml.StyleURL("#"+spotStyleID),
			extendedData(columnsOf(SpotProperties()), spotValues(s)),
			kml.Point(kml.Coordinates(at(s.At))),
		))
	}
	return folder
}

func hazardFolder(zm *zoning.ZoneMap) kml.Element {
	folder := kml.Folder(kml.Name(hazardHeading))
	columns := columnsOf(HazardProperties())
	for _, h := range zm.Hazards {
		folder.Append(kml.Placemark(
			kml.Name(h.Kind.Name()), noSnippet(), paragraphs(h.Kind.Name(), h.Words, h.Kind.Caution()),
			kml.StyleURL("#"+hazardStyleID),
			extendedData(columns, hazardValues(h)),
			shape(h.Geometry),
		))
	}
	return folder
}

// shape is a geometry of any kind; nothing where there is none.
func shape(g orb.Geometry) kml.Element {
	switch g := g.(type) {
	case orb.Point:
		return kml.Point(kml.Coordinates(at(g)))
	case orb.LineString:
		return kml.LineString(kml.Tessellate(true), kml.Coordinates(places(g)...))
	case orb.Polygon:
		return polygon(g)
	case orb.MultiPolygon:
		return polygons(g)
	}
	all := kml.MultiGeometry()
	for _, part := range partsOf(g) {
		all.Append(shape(part))
	}
	return all
}

func places(points []orb.Point) []kml.Coordinate {
	out := make([]kml.Coordinate, len(points))
	for k, p := range points {
		out[k] = at(p)
	}
	return out
}

// at rounds to the 9 decimals that outlines have.
func at(p orb.Point) kml.Coordinate {
	return kml.Coordinate{Lon: math.Round(p[0]*1e9) / 1e9, Lat: math.Round(p[1]*1e9) / 1e9}
}

func polygons(mp orb.MultiPolygon) kml.Element {
	if len(mp) == 1 {
		return polygon(mp[0])
	}
	all := kml.MultiGeometry()
	for _, poly := range mp {
		all.Append(polygon(poly))
	}
	return all
}

// polygon lies on the ground, its sides too.
func polygon(poly orb.Polygon) kml.Element {
	out := kml.Polygon(kml.Tessellate(true))
	for i, ring := range poly {
		line := kml.LinearRing(kml.Coordinates(places(ring)...))
		if i == 0 {
			out.Append(kml.OuterBoundaryIs(line))
		} else {
			out.Append(kml.InnerBoundaryIs(line))
		}
	}
	return out
}
