package raster

import (
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Vertical units, as [Options] name them.
const (
	Metre        = "m"
	Foot         = "ft"
	USSurveyFoot = "us-ft"
)

// unitM is the length in metres of each vertical unit. The US survey foot is
// 1200/3937 m (85 FR 62698).
var unitM = map[string]float64{Metre: 1, Foot: 0.3048, USSurveyFoot: 1200.0 / 3937}

// CheckUnit refuses what is not a vertical unit.
func CheckUnit(unit string) error {
	if _, ok := unitM[unit]; !ok && unit != "" {
		return fmt.Errorf("elevation unit %q; write m, ft or us-ft", unit)
	}
	return nil
}

// unitNamed reads the ways in which rasters write a unit of height.
func unitNamed(name string) (unit string, ok bool) {
	name = strings.NewReplacer("_", " ", "-", " ").Replace(strings.ToLower(strings.TrimSpace(name)))
	switch name {
	case "m", "metre", "metres", "meter", "meters", "mtr":
		return Metre, true
	case "ft", "foot", "feet", "international foot", "international feet", "intl ft":
		return Foot, true
	case "us ft", "ftus", "us foot", "us feet", "us survey foot", "us survey feet", "foot us", "survey foot", "survey feet", "sft":
		return USSurveyFoot, true
	}
	return "", false
}

// unitOfFactor finds the unit of a CRS axis from its length in metres. The two
// feet differ by two parts in a million.
func unitOfFactor(text string) (unit string, ok bool) {
	f, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return "", false
	}
	for unit, m := range unitM {
		if f > m*(1-5e-7) && f < m*(1+5e-7) {
			return unit, true
		}
	}
	return "", false
}

// unitType reads the unit of the first band from a VRT.
func unitType(r io.Reader) (string, error) {
	var vrt struct {
		Band []struct {
			UnitType string `xml:"UnitType"`
		} `xml:"VRTRasterBand"`
	}
	d := xml.NewDecoder(r)
	d.Strict = false
	if err := d.Decode(&vrt); err != nil {
		return "", err
	}
	if len(vrt.Band) == 0 {
		return "", nil
	}
	return vrt.Band[0].UnitType, nil
}
