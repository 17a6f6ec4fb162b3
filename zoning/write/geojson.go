package write

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
)

// GeoJSON writes a zone map as an RFC 7946 FeatureCollection: a feature
// for each band of each lot, and a summary member. Coordinates have 9 decimals,
// so that the acres written beside an outline are what it measures.
func GeoJSON(w io.Writer, m *zoning.ZoneMap) error {
	if err := m.Check(); err != nil {
		return err
	}
	return writeCollection(w, summarise(m), func(out *bufio.Writer) error {
		before := "\n"
		if err := writeFeatures(out, m, before); err != nil {
			return err
		}
		if slices.ContainsFunc(m.Lots, func(l zoning.LotMap) bool { return len(l.Zones) > 0 }) {
			before = ",\n"
		}
		return writeHazards(out, m.Hazards, nil, before)
	})
}

// Features writes the features of a zone map's zones alone, as they stand in
// [GeoJSON]: one a line, with commas between.
func Features(w io.Writer, m *zoning.ZoneMap) error {
	if err := m.Check(); err != nil {
		return err
	}
	out := bufio.NewWriterSize(w, 1<<16)
	if err := writeFeatures(out, m, ""); err != nil {
		return err
	}
	return out.Flush()
}

// HazardFeatures writes the hazards of a lot's map as features, as [Features] does
// its zones. They stand with the lot around which they were found: neighbours may
// tell of the same ground.
func HazardFeatures(w io.Writer, m *zoning.ZoneMap) error {
	if err := m.Check(); err != nil {
		return err
	}
	out := bufio.NewWriterSize(w, 1<<16)
	if err := writeHazards(out, m.Hazards, lotTold(m), ""); err != nil {
		return err
	}
	return out.Flush()
}

// writeCollection writes a FeatureCollection around features, which begin with a
// new line where there are any.
func writeCollection(w io.Writer, s summary, features func(*bufio.Writer) error) error {
	out := bufio.NewWriterSize(w, 1<<16)
	text, err := s.text()
	if err != nil {
		return err
	}
	out.WriteString("{\n  \"type\": \"FeatureCollection\",\n  \"summary\": ")
	out.Write(text)
	out.WriteString(",\n  \"features\": [")
	if err := features(out); err != nil {
		return err
	}
	out.WriteString("\n  ]\n}\n")
	return out.Flush()
}

func writeFeatures(out *bufio.Writer, m *zoning.ZoneMap, before string) error {
	f := featureWriter{geometryWriter: geometryWriter{out: out}}
	properties := ZoneProperties(m.Units)
	all := make([]told, len(properties))
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			for i, v := range zoneValues(m, lot, z) {
				all[i] = told{properties[i], v}
			}
			if err := f.write(before, all, z.Ground); err != nil {
				return fmt.Errorf("lot %s: %w", lot.Lot, err)
			}
			before = ",\n"
		}
	}
	return nil
}

// writeHazards writes hazards as features of a lot; of none where they are a map's.
func writeHazards(out *bufio.Writer, hazards []zoning.Hazard, lot []told, before string) error {
	f := featureWriter{geometryWriter: geometryWriter{out: out}}
	properties := HazardProperties()
	for _, h := range hazards {
		all := lot[:len(lot):len(lot)]
		for i, v := range hazardValues(h) {
			all = append(all, told{properties[i], v})
		}
		if err := f.write(before, all, h.Geometry); err != nil {
			return fmt.Errorf("hazard %s: %w", h.Kind, err)
		}
		before = ",\n"
	}
	return nil
}

// lotTold is what tells with which lot the hazards of a lot's map stand.
func lotTold(m *zoning.ZoneMap) (out []told) {
	if len(m.Lots) == 0 || m.Lots[0].Lot == "" {
		return nil
	}
	of := toldZone{m: m, lot: m.Lots[0]}
	for _, p := range zoneProperties[:2] { // lot and feature_no
		out = append(out, told{p.Property, p.value(of)})
	}
	return out
}

// told is a property with its value.
type told struct {
	Property
	value any
}

// featureWriter writes features, one a line.
type featureWriter struct {
	geometryWriter
	text []byte
}

func (f *featureWriter) write(before string, properties []told, shape orb.Geometry) error {
	f.text = append(f.text[:0], `    {"type": "Feature", "properties": {`...)
	first := true
	for _, p := range properties {
		if p.value == nil && !p.null {
			continue
		}
		if !first {
			f.text = append(f.text, ',')
		}
		first = false
		f.text = append(append(append(f.text, '"'), p.Name...), `":`...) // a name needs no escapes
		var err error
		if f.text, err = appendValue(f.text, p.value); err != nil {
			return err
		}
	}
	f.text = append(f.text, `}, "geometry": `...)
	f.out.WriteString(before)
	f.out.Write(f.text)
	if err := f.shape(shape); err != nil {
		return err
	}
	f.out.WriteString("}")
	return nil
}

// appendValue writes a value as encoding/json does, figures without its detour.
func appendValue(b []byte, value any) ([]byte, error) {
	switch v := value.(type) {
	case int64:
		return strconv.AppendInt(b, v, 10), nil
	case float64:
		if size := math.Abs(v); v == 0 || size >= 1e-6 && size < 1e21 { // beyond, it has an exponent
			return strconv.AppendFloat(b, v, 'f', -1, 64), nil
		}
	}
	text, err := json.Marshal(value)
	return append(b, text...), err
}

// number is a JSON number with at most 9 decimals; null where it is NaN.
type number float64

func (n number) MarshalJSON() ([]byte, error) {
	v := float64(n)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(math.Round(v*1e9) / 1e9)
}

func degrees(p orb.Point) [2]number { return [2]number{number(p[0]), number(p[1])} }
