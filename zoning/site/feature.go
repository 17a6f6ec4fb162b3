package site

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/units"
)

// Feature is one shape of a site file and what the file says of it. What is not
// said, or does not go with the kind, is zero.
type Feature struct {
	Kind  Kind
	Name  string
	Place int // counts the features of the file from 1

	// Geometry is a point, line or polygon, or several of one of them, in WGS84
	// longitude and latitude, longitude first. It is cut in two at the
	// antimeridian (RFC 7946); polygons are valid by the OGC rules.
	Geometry orb.Geometry

	Setback  Setback
	BearsKPa float64 // the pressure that soft ground bears

	Class        Class   // how thick the growth of a cover is
	StemM, TallM float64 // its thickest stem and its tallest growth, in meters
	TypicalM     float64 // its typical stem, in meters
	StemsPerAcre float64

	KV float64 // voltage of a line in kV; 0 where nobody says
	// What is posted at a gate or bridge, or on the road to where the trailer unloads.
	WidthM, WeightKg, HeightM float64

	Notes []string // what was repaired or assumed, in words

	// From is the map that the shape was taken from; "" of what was drawn for the job, which
	// goes before it, see [Yield] and [Lay].
	From Source
}

// Source is a map that others drew.
type Source string

// OpenStreetMap is drawn by volunteers, and never complete.
const OpenStreetMap Source = "OpenStreetMap"

// Lent reports whether the shape was taken from a map that others drew.
func (f Feature) Lent() bool { return f.From != "" }

// Title names the feature for people: feature 3 (Pond).
func (f Feature) Title() string { return Title(f.Place, f.Name) }

// Title names a feature by its place and its name, which may be "".
func Title(place int, name string) string {
	t := fmt.Sprintf("feature %d", place)
	if name != "" {
		t += " (" + name + ")"
	}
	return t
}

// Class is how thick a cover is.
type Class uint8

// Classes of cover, from thin to thick. NoClass is where nobody says.
const (
	NoClass Class = iota
	Open
	Light
	Medium
	Heavy
)

var classWords = []string{"", "open", "light", "medium", "heavy"}

// String is the class's word; "" for NoClass, and its number where there is no such class.
func (c Class) String() string {
	if c > Heavy {
		return fmt.Sprintf("Class(%d)", uint8(c))
	}
	return classWords[c]
}

// Describe makes a feature without geometry of what a file says of it: value
// gives each of [Attributes] as it is written, "" where it is not. A value that
// cannot be read, or one that the kind needs and lacks, is refused with a
// [*units.Error]. So is a setback where the kind takes none; other attributes
// that do not go with the kind are not looked at, since tables have columns for
// everything.
func Describe(kind Kind, value func(attribute string) string) (Feature, error) {
	f := Feature{Kind: kind, Name: value("name")}
	takesSetback := false
	for _, a := range specOf(kind).attributes {
		takesSetback = takesSetback || a == "setback"
		if text := strings.TrimSpace(value(a)); text != "" {
			if err := f.set(a, text); err != nil {
				return Feature{}, err
			}
		}
	}
	if text := strings.TrimSpace(value("setback")); text != "" && !takesSetback {
		return Feature{}, &units.Error{
			Problem: fmt.Sprintf("setback %q does not go with %s", text, kind),
			Cure:    "leave it empty, and draw what to keep away from as no-go",
		}
	}
	if err := f.lacks(); err != nil {
		return Feature{}, err
	}
	return f, nil
}

// set reads one attribute.
func (f *Feature) set(attribute, text string) (err error) {
	switch attribute {
	case "setback":
		f.Setback, err = ParseSetback(text)
	case "bears":
		f.BearsKPa, err = units.Pressure(text)
	case "stem":
		f.StemM, err = units.Length(text)
	case "typical":
		f.TypicalM, err = units.Length(text)
	case "tall":
		f.TallM, err = units.Length(text)
	case "stems":
		f.StemsPerAcre, err = units.StemDensity(text)
	case "class":
		f.Class, err = classOf(text)
	case "kv":
		f.KV, err = units.Voltage(text)
	case "width":
		f.WidthM, err = units.Length(text)
	case "weight":
		f.WeightKg, err = units.Weight(text)
	case "height":
		f.HeightM, err = units.Length(text)
	}
	if err != nil {
		return err.(*units.Error).Of(attribute)
	}
	return nil
}

func classOf(word string) (Class, error) {
	for c := Open; c <= Heavy; c++ {
		if strings.EqualFold(word, c.String()) {
			return c, nil
		}
	}
	return NoClass, &units.Error{Problem: fmt.Sprintf("%q is no class of cover", word), Cure: "write " + strings.Join(classWords[1:], ", ")}
}

const inchM = zoning.MetresPerFoot / 12

// lacks tells what a kind needs and the file does not say.
func (f Feature) lacks() error {
	lack := func(problem, cure string) error { return &units.Error{Problem: problem, Cure: cure} }
	switch {
	case f.Kind == SoftGround && f.BearsKPa == 0:
		return lack("it does not say what the soft ground bears", "add bears, such as 6psi, or draw it as no-go")
	case f.Kind == Cover && f.Class == NoClass && f.StemM == 0 && f.TypicalM == 0 && f.TallM == 0 && f.StemsPerAcre == 0:
		return lack("it says nothing of the cover", "add class, stem, typical, tall or stems, such as class medium, stem 6in, typical 3in, tall 20ft, stems 300/ac")
	case f.Kind == Cover && f.StemM > 0 && f.TypicalM > f.StemM:
		return lack(fmt.Sprintf("its typical stem, %.3g in, is thicker than its thickest, %.3g in", f.TypicalM/inchM, f.StemM/inchM), "write the thickest as stem and what most are as typical")
	case f.Kind == Gate && f.WidthM == 0:
		return lack("it does not say how wide the gate is", "add width, such as 12ft")
	case f.Kind == Bridge && f.WeightKg == 0:
		return lack("it does not say what weight is posted", "add weight, such as 20tons")
	case f.KV > TableMaxKV && f.Setback == Setback{}:
		return lack(fmt.Sprintf("kv %g kV is beyond the %d kV at which 29 CFR 1926.1408 Table A ends", f.KV, TableMaxKV),
			"ask the line's owner for its clearance and add it as setback")
	}
	return nil
}

// Fits refuses a geometry that a kind cannot be drawn as.
func (k Kind) Fits(g orb.Geometry) error {
	if g == nil {
		return &units.Error{Problem: string(k) + " has no geometry", Cure: "draw where it lies"}
	}
	drawn := specOf(k).drawn
	if drawn == anyShape || g.Dimensions() == 2 || drawn == lineOrArea && g.Dimensions() == 1 {
		return nil
	}
	is := [...]string{"a point", "a line"}[g.Dimensions()]
	cure := "draw it as a polygon"
	if drawn == lineOrArea {
		cure = "draw it as a line or a polygon"
	}
	return &units.Error{Problem: fmt.Sprintf("%s is drawn as %s", k, is), Cure: cure}
}
