package raster

import (
	"fmt"
	"math"
	"strings"

	"github.com/airbusgeo/godal"
)

// place relates a raster's coordinates to WGS84 longitude and latitude.
type place struct {
	name       string // for people
	wkt        string // its horizontal part
	datum      string
	heights    string // name of its vertical CRS
	geographic bool
	isWGS84    bool
	doubt      string  // what is uncertain about its datum, "" where nothing is
	vertical   string  // unit of its vertical CRS, "" where it has none
	badUnit    string  // the vertical unit where it is none of ours
	unitM      float64 // length of its horizontal unit; 0 where that is an angle
	sr         *godal.SpatialRef
	forward    *godal.Transform // raster to WGS84
	backward   *godal.Transform // WGS84 to raster, made when asked for
}

func wgs84() (*godal.SpatialRef, error) {
	return godal.NewSpatialRefFromEPSG(4326, godal.ErrLogger(quiet))
}

// newPlace reads a CRS in any form that GDAL takes: a code such as EPSG:26916,
// or WKT.
func newPlace(definition string) (*place, error) {
	whole, err := godal.NewSpatialRef(definition, godal.ErrLogger(quiet))
	if err != nil {
		return nil, fmt.Errorf("unknown CRS %q: write a code such as EPSG:26916, or WKT", shorten(definition))
	}
	defer whole.Close()
	p := &place{}
	p.heights, _ = whole.AttrValue("VERT_CS", 0)
	if text, ok := whole.AttrValue("VERT_CS|UNIT", 1); ok {
		if p.vertical, ok = unitOfFactor(text); !ok {
			p.badUnit, _ = whole.AttrValue("VERT_CS|UNIT", 0)
		}
	}
	wkt, err := whole.WKT(godal.ErrLogger(quiet))
	if err != nil {
		return nil, fmt.Errorf("reading the CRS: %w", err)
	}
	flat, ok := horizontal(wkt)
	if !ok {
		return nil, fmt.Errorf("CRS %q places nothing on the earth", shorten(definition))
	}
	p.wkt = flat
	p.sr, err = godal.NewSpatialRefFromWKT(flat, godal.ErrLogger(quiet))
	if err != nil {
		return nil, fmt.Errorf("reading the CRS: %w", err)
	}
	datum, _ := p.sr.AttrValue("DATUM", 0)
	p.datum, p.doubt = datum, datumDoubt(datum)
	p.geographic = p.sr.Geographic()
	root := "PROJCS"
	if p.geographic {
		root = "GEOGCS"
	}
	p.name, _ = p.sr.AttrValue(root, 0)
	if code := p.sr.AuthorityCode(root); code != "" {
		p.name += " (" + p.sr.AuthorityName(root) + ":" + code + ")"
	}
	if !p.geographic {
		text, _ := p.sr.AttrValue("PROJCS|UNIT", 1)
		if _, err := fmt.Sscan(text, &p.unitM); err != nil || !(p.unitM > 0) {
			return nil, fmt.Errorf("CRS %s has no usable unit of length (%q)", p.name, text)
		}
	}
	target, err := wgs84()
	if err != nil {
		return nil, err
	}
	defer target.Close()
	p.isWGS84 = p.geographic && p.sr.IsSame(target)
	if !p.isWGS84 {
		p.forward, err = godal.NewTransform(p.sr, target, godal.ErrLogger(quiet))
		if err != nil {
			return nil, fmt.Errorf("CRS %s has no way to WGS84: %w", p.name, err)
		}
	}
	return p, nil
}

// closeDatums lie within about 2 m of WGS84 (EPSG dataset: accuracies of the ways
// between them, from memory), far less than any boundary from a map is known to.
var closeDatums = []string{"wgs_1984", "world_geodetic_system_1984", "wgs 84", "north_american_datum_1983", "nad83", "nad_1983",
	"european_terrestrial_reference_system_1989", "geocentric_datum_of_australia", "new_zealand_geodetic_datum_2000",
	"canadian_spatial_reference_system", "international_terrestrial_reference_frame", "itrf", "jgd2011", "japanese_geodetic_datum_20"}

// datumDoubt says how far ground may be misplaced because of a datum.
func datumDoubt(datum string) string {
	name := strings.ToLower(datum)
	for _, d := range closeDatums {
		if strings.Contains(strings.ReplaceAll(name, " ", "_"), strings.ReplaceAll(d, " ", "_")) {
			return ""
		}
	}
	if name == "" || strings.Contains(name, "unknown") || strings.Contains(name, "not_specified") || strings.Contains(name, "not specified") {
		return "its datum is not known: the ground may be misplaced by 100 m or more against the boundary"
	}
	return fmt.Sprintf("its datum is %s: where the shift grid for it is not installed, the ground may be misplaced by 10 m or more against the boundary", datum)
}

// horizontal takes the horizontal part out of a WKT 1 definition.
func horizontal(wkt string) (string, bool) {
	start := -1
	for _, root := range []string{"PROJCS[", "GEOGCS["} {
		if i := strings.Index(wkt, root); i >= 0 && (start < 0 || i < start) {
			start = i
		}
	}
	if start < 0 {
		return "", false
	}
	depth, quoted := 0, false
	for i := start; i < len(wkt); i++ {
		switch c := wkt[i]; {
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '[':
			depth++
		case c == ']':
			if depth--; depth == 0 {
				return wkt[start : i+1], true
			}
		}
	}
	return "", false
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return s
}

func (p *place) close() {
	if p.forward != nil {
		p.forward.Close()
	}
	if p.backward != nil {
		p.backward.Close()
	}
	p.sr.Close()
}

// toWGS84 transforms raster coordinates in place; what cannot be placed
// becomes NaN.
func (p *place) toWGS84(x, y []float64) {
	if p.forward != nil {
		transform(p.forward, x, y)
	}
}

// fromWGS84 is the way back.
func (p *place) fromWGS84(x, y []float64) error {
	if p.isWGS84 {
		return nil
	}
	if p.backward == nil {
		source, err := wgs84()
		if err != nil {
			return err
		}
		defer source.Close()
		if p.backward, err = godal.NewTransform(source, p.sr, godal.ErrLogger(quiet)); err != nil {
			return fmt.Errorf("CRS %s cannot be reached from WGS84: %w", p.name, err)
		}
	}
	transform(p.backward, x, y)
	return nil
}

func transform(t *godal.Transform, x, y []float64) {
	if len(x) == 0 {
		return
	}
	ok := make([]bool, len(x))
	_ = t.TransformEx(x, y, nil, ok) // ok tells which failed
	for i := range ok {
		if !ok[i] || math.IsInf(x[i], 0) || math.IsInf(y[i], 0) {
			x[i], y[i] = math.NaN(), math.NaN()
		}
	}
}
