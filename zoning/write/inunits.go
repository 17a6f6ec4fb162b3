package write

import (
	"encoding/json"
	"math"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
)

// inUnits are properties as they are called in units: what is in acres may be in hectares.
func inUnits(u measure.Units, properties []Property) []Property {
	out := make([]Property, len(properties))
	for i, p := range properties {
		if name, _ := u.Property(p.Name); name != p.Name {
			p.Name, p.Unit, p.Words = name, u.Areas(), strings.ReplaceAll(p.Words, measure.US.Areas(), u.Areas())
		}
		out[i] = p
	}
	return out
}

// toldIn are values of properties, in US units, as they are told in units.
func toldIn(u measure.Units, properties []Property, values []any) []any {
	if u == measure.US {
		return values
	}
	for i, p := range properties {
		_, times := u.Property(p.Name)
		switch v := values[i].(type) {
		case nil:
		case float64:
			values[i] = math.Round(v*times*1e9) / 1e9
		default:
			if p.Kind == Nested {
				values[i] = nestedIn{u, p.Name, v}
			}
		}
	}
	return values
}

// nestedIn is a nested value of a property that is told in units.
type nestedIn struct {
	units measure.Units
	name  string // of the property, in US units
	value any
}

// MarshalJSON writes the value.
func (n nestedIn) MarshalJSON() ([]byte, error) {
	text, err := json.Marshal(n.value)
	if err != nil {
		return nil, err
	}
	return n.units.PropertyJSON(n.name, text)
}
