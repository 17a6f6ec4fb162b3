package plan

import (
	"fmt"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
)

// Figures are what the owner of a machine knows of its work: how fast, at what cost,
// what it takes to bring it. Money is in dollars.
type Figures struct {
	Key string // of the machine in the fleet

	Rate        [covers]Rate // by class of cover; none where it does not work that cover
	SlopeFactor Curve        // of the rate, along the mean slope in percent
	StemFactor  Curve        // of the rate, along the typical stems in inches

	// Machine and Operator are paid by the scheduled hour, Fuel and Teeth by the
	// productive one. All in $/h.
	Machine, Operator, Fuel, Teeth Range

	Owned       int     // how many there are
	Loads       int     // truck loads that it travels in
	WidthFt     float64 // of the widest load; 0 not known
	HeightFt    float64 // of the highest load; 0 not known
	GrossLb     float64 // of the heaviest load with its truck; 0 not known
	HaulPerMile float64 // $ a loaded mile and load, the way back of an empty truck in it
	HandlingH   float64 // hours to load and unload one load
	PermitUSD   float64 // for a load and way, where it is over width or weight
	WalkMPH     float64 // from zone to zone

	Remote bool   // its operator stands outside it
	Basis  string // where the figures come from

	figuresText
}

// figuresText keeps figures as they were written, and which are nobody's but a
// default's.
type figuresText struct {
	text         map[string]string
	assumed      map[string]bool
	assumedBasis string
}

// note keeps a value. One that reads as the default does is not taken for its owner's:
// a printed file is handed back with most figures as they were.
func (t *figuresText) note(key, value string) {
	if t.text == nil {
		t.text, t.assumed = map[string]string{}, map[string]bool{}
	}
	if t.text[key] != value {
		delete(t.assumed, key)
	}
	t.text[key] = value
}

// assume marks every figure set so far as a default on the basis given, to be listed
// as assumed until its owner sets it.
func (t *figuresText) assume(basis string) {
	t.assumedBasis = basis
	for k := range t.text {
		t.assumed[k] = true
	}
}

func (t figuresText) clone() figuresText {
	c := figuresText{map[string]string{}, map[string]bool{}, t.assumedBasis}
	for k, v := range t.text {
		c.text[k] = v
	}
	for k := range t.assumed {
		c.assumed[k] = true
	}
	return c
}

// list writes the assumed figures in the order of keys, as they were written and in units.
func (t figuresText) list(u measure.Units, keys []string) string {
	var parts []string
	for _, k := range keys {
		if t.assumed[k] && k != basisKey {
			parts = append(parts, k+" "+inUnits(u, t.text[k]))
		}
	}
	return strings.Join(parts, "; ")
}

// basisKey is the key of where figures come from, which is no figure itself.
const basisKey = "basis"

// ownBasis is where its owner has figures from; "" where nobody said.
func (t figuresText) ownBasis() string {
	if t.assumed[basisKey] {
		return ""
	}
	return t.text[basisKey]
}

// MachineKeys are the keys of a machine's figures in a file.
func MachineKeys() []string {
	return []string{"rate_open", "rate_light", "rate_medium", "rate_heavy", "slope_factor", "stem_factor",
		"machine", "operator", "fuel", "teeth", "owned", "loads", "width", "height", "gross_weight", "haul_rate", "handling",
		"permit", "walk_speed", "remote", "basis"}
}

func rateKey(c Cover) string { return "rate_" + c.String() }

// neededKeys are those without which a machine cannot be planned.
var neededKeys = []string{"machine", "operator", "fuel", "teeth", "haul_rate", "handling", "walk_speed"}

// Set reads the value of one key, as its owner's. Errors are [*Error].
func (f *Figures) Set(key, value string) error {
	if err := f.set(key, value); err != nil {
		return inKey(key, err)
	}
	f.note(key, value)
	return nil
}

func (f *Figures) set(key, value string) (err error) {
	for _, c := range Classes() {
		if key == rateKey(c) {
			f.Rate[c], err = rate(value)
			return err
		}
	}
	switch key {
	case "slope_factor":
		f.SlopeFactor, err = slopePercent.curve(value)
	case "stem_factor":
		f.StemFactor, err = inches.curve(value)
	case "machine":
		f.Machine, err = perHour.values(value)
	case "operator":
		f.Operator, err = perHour.values(value)
	case "fuel":
		f.Fuel, err = perHour.values(value)
	case "teeth":
		f.Teeth, err = perHour.values(value)
	case "owned":
		f.Owned, err = count(value, MostMachines)
	case "loads":
		if f.Loads, err = count(value, mostLoads); err == nil && f.Loads == 0 {
			err = &Error{"a machine travels in no load", "write 1 or more"}
		}
	case "width":
		f.WidthFt, err = feet.number(value)
	case "height":
		f.HeightFt, err = feet.number(value)
	case "gross_weight":
		f.GrossLb, err = pounds.number(value)
	case "haul_rate":
		f.HaulPerMile, err = perMile.number(value)
	case "handling":
		f.HandlingH, err = hours.number(value)
	case "permit":
		f.PermitUSD, err = money.number(value)
	case "walk_speed":
		f.WalkMPH, err = milesPerHour.number(value)
	case "remote":
		if f.Remote = value == "yes"; !f.Remote && value != "no" {
			err = &Error{fmt.Sprintf("%q is neither yes nor no", value), "write yes where its operator stands outside the machine"}
		}
	case "basis":
		f.Basis = value
	default:
		return unknownKey(MachineKeys())
	}
	return err
}

// missing says what is not known that a plan needs; "" where nothing is.
func (f *Figures) missing() string {
	for _, k := range neededKeys {
		if _, ok := f.text[k]; !ok {
			return k
		}
	}
	if !slices.ContainsFunc(Classes(), func(c Cover) bool { return f.Rate[c].Likely > 0 }) {
		return "rate_open, rate_light, rate_medium or rate_heavy"
	}
	return ""
}

func unknownKey(known []string) error {
	return &Error{"this is no figure of a plan", "the keys here are " + strings.Join(known, ", ")}
}

// inKey puts a key before what is wrong with its value.
func inKey(key string, err error) error {
	e := err.(*Error)
	return &Error{fmt.Sprintf("%s: %s", key, e.Problem), e.Cure}
}
