package measure

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
)

// propertyUnit is a unit that the name of a property may hold as a word of its own, what stands
// there in metric, and how many of that one of it is.
type propertyUnit struct {
	us, metric string
	times      float64
}

// propertyUnits are all of them: files of data name no other unit of the US system.
var propertyUnits = []propertyUnit{
	{"acres", "hectares", 1 / AcresPerHectare},
	{"acre", "hectare", AcresPerHectare}, // of a figure for each
	{"ft", "m", MetresPerFoot},
	{"miles", "km", MetresPerMile / 1000},
	{"lb", "kg", KgPerPound},
}

// Property is how a property of files that is called so in US units is called in these, and what its
// figures are multiplied by: "track_loader_acres" is "track_loader_hectares" in metric. Of several units
// the last counts, for a machine may be called after another. A name without one stays, and so do
// its figures.
func (u Units) Property(us string) (name string, times float64) {
	if !u.metric() {
		return us, 1
	}
	words := strings.Split(us, "_")
	for i, w := range slices.Backward(words) {
		for _, unit := range propertyUnits {
			if w == unit.us {
				words[i] = unit.metric
				return strings.Join(words, "_"), unit.times
			}
		}
	}
	return us, 1
}

// JSON is data written in US units in these: members are renamed as [Units.Property] says, and all
// numbers in them, in lists and objects too, become those of the other unit, to 9 decimals. What
// is within such a member keeps its names: they are of zones and reasons. In US units data is
// returned as it is.
func (u Units) JSON(data []byte) ([]byte, error) { return u.PropertyJSON("", data) }

// PropertyJSON is the value of a property that is called so in US units, as [Units.JSON] makes it.
func (u Units) PropertyJSON(us string, data []byte) ([]byte, error) {
	if !u.metric() {
		return data, nil
	}
	_, times := u.Property(us)
	in := json.NewDecoder(bytes.NewReader(data))
	in.UseNumber()
	var out bytes.Buffer
	if err := u.value(&out, in, times); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// value copies the next value, its numbers multiplied.
func (u Units) value(out *bytes.Buffer, in *json.Decoder, times float64) error {
	token, err := in.Token()
	if err != nil {
		return err
	}
	switch v := token.(type) {
	case json.Delim:
		return u.members(out, in, v, times)
	case json.Number:
		return number(out, v, times)
	}
	return plain(out, token)
}

// members copies a list or an object that was opened.
func (u Units) members(out *bytes.Buffer, in *json.Decoder, open json.Delim, times float64) error {
	out.WriteString(open.String())
	for first := true; in.More(); first = false {
		if !first {
			out.WriteByte(',')
		}
		of := times
		if open == '{' {
			key, err := in.Token()
			if err != nil {
				return err
			}
			name := key.(string)
			if times == 1 {
				name, of = u.Property(name)
			}
			if err := plain(out, name); err != nil {
				return err
			}
			out.WriteByte(':')
		}
		if err := u.value(out, in, of); err != nil {
			return err
		}
	}
	closed, err := in.Token()
	if err != nil {
		return err
	}
	out.WriteString(closed.(json.Delim).String())
	return nil
}

func number(out *bytes.Buffer, n json.Number, times float64) error {
	if times == 1 {
		out.WriteString(n.String())
		return nil
	}
	v, err := n.Float64()
	if err != nil {
		return fmt.Errorf("the number %s: %w", n, err)
	}
	const decimals = 1e9
	return plain(out, math.Round(v*times*decimals)/decimals)
}

// plain writes a value that holds no other, with its characters as they are.
func plain(out *bytes.Buffer, v any) error {
	to := json.NewEncoder(out)
	to.SetEscapeHTML(false)
	if err := to.Encode(v); err != nil {
		return err
	}
	out.Truncate(out.Len() - 1) // the end of the line
	return nil
}
