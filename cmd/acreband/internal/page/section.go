package page

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/profile"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/section"
	"github.com/acreband/acreband/zoning/text"
)

// sectionOf is the ground of a map along a line, as the page draws it from the side. Slices of
// figures have one for each place along the line; null is ground of which it is not known.
type sectionOf struct {
	Says     string       `json:"says"`
	Along    figures      `json:"along"`   // meters from the first end
	Heights  figures      `json:"heights"` // meters
	Slopes   figures      `json:"slopes"`  // percent along the line, above 0 where it rises
	Ground   figures      `json:"ground"`  // percent, of the ground in its own direction
	LonLat   []lonLat     `json:"lonLat"`
	Limits   []run        `json:"limits"`
	Zones    []run        `json:"zones"`
	Walk     []run        `json:"walk"` // ground to walk or sight first
	Marks    []markOf     `json:"marks"`
	Bands    []bandOf     `json:"bands"`
	Machines []standingOf `json:"machines"`
	Rests    []figures    `json:"rests"` // see standingOf
}

// run is a stretch of places that have one band: from the first to the last, and the band's
// index, -1 off the lots.
type run [3]int

type lonLat [2]float64

// MarshalJSON writes a place to the centimeter.
func (p lonLat) MarshalJSON() ([]byte, error) {
	return fmt.Appendf(nil, "[%.7f,%.7f]", p[0], p[1]), nil
}

// markOf is a hazard that the line meets. Marks are told in their order along the line.
type markOf struct {
	Name    string  `json:"name"`
	Words   string  `json:"words"`
	Caution string  `json:"caution"`
	FromM   float64 `json:"fromM"`
	ToM     float64 `json:"toM"`
}

type bandOf struct {
	Key   string `json:"key"`
	Name  string `json:"name"`
	Limit string `json:"limit,omitempty"` // of a machine
}

// standingOf is a machine to stand on the line. Rests is the index of how it stands, two figures
// to a place where its middle is: the height of its underside there, and the slope of that in
// percent.
type standingOf struct {
	Key     string  `json:"key"`
	Name    string  `json:"name"`
	LengthM float64 `json:"lengthM"`
	TallM   float64 `json:"tallM"` // 0 where nobody says
	Rests   int     `json:"rests"`
}

// figures are numbers to the second decimal; NaN is written as null.
type figures []float64

func (f figures) MarshalJSON() ([]byte, error) {
	out := []byte{'['}
	for i, v := range f {
		if i > 0 {
			out = append(out, ',')
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			out = append(out, "null"...)
			continue
		}
		out = strconv.AppendFloat(out, math.Round(v*100)/100, 'f', -1, 64)
	}
	return append(out, ']'), nil
}

// mostPlaces is how many places of a line are told: a page has some thousand dots.
const mostPlaces = 20_000

// section answers with the ground along a line of a map.
func (s *Server) section(w http.ResponseWriter, r *http.Request) {
	var from, to [2]float64
	if err := numbers(r, map[string]*float64{"lon": &from[0], "lat": &from[1], "toLon": &to[0], "toLat": &to[1]}); err != nil {
		s.fail(w, r, err)
		return
	}
	ofRead(s, w, r, func(result *Result) (*sectionOf, error) {
		cut, err := section.Of(result.Ground.Elevation.Grid, result.Map, from, to)
		if err != nil {
			return nil, unusable(err)
		}
		if len(cut.DistancesM) > mostPlaces {
			return nil, unusable(errors.New("the line is too long for cells as fine as these: draw a shorter one"))
		}
		return tellSection(cut, result.Map), nil
	})
}

func tellSection(cut *section.Section, zm *zoning.ZoneMap) *sectionOf {
	out := &sectionOf{
		Says: saysOf(cut, zm.Units), Along: cut.DistancesM, Heights: cut.HeightsM, Slopes: cut.AlongPct, Ground: cut.GroundPct,
		Limits: runsOf(cut.Limits), Zones: runsOf(cut.Zones), Walk: []run{}, Marks: []markOf{},
	}
	for _, p := range cut.LonLat {
		out.LonLat = append(out.LonLat, p)
	}
	walk := make([]int, len(cut.WalkFirst))
	for i, w := range cut.WalkFirst {
		if w {
			walk[i] = 1
		}
	}
	for _, r := range runsOf(walk) {
		if r[2] == 1 {
			out.Walk = append(out.Walk, r)
		}
	}
	for _, h := range cut.Hazards {
		out.Marks = append(out.Marks, markOf{h.Kind.Name(), text.OneLine(h.Words), h.Kind.Caution(), h.FromM, h.ToM})
	}
	slices.SortStableFunc(out.Marks, func(a, b markOf) int { return cmp.Compare(a.FromM+a.ToM, b.FromM+b.ToM) })
	for _, b := range zm.Fleet.Bands() {
		o := bandOf{Key: b.Key, Name: text.OneLine(b.Name)}
		if b.Machine >= 0 {
			o.Limit = text.LimitPct(zm.Fleet[b.Machine].SteepestPct())
		}
		out.Bands = append(out.Bands, o)
	}
	lengths := map[float64]int{}
	for _, m := range zm.Fleet {
		length := section.LengthM(m)
		at, known := lengths[length]
		if !known {
			at = len(out.Rests)
			lengths[length] = at
			out.Rests = append(out.Rests, restsOf(cut.Profile, length))
		}
		out.Machines = append(out.Machines, standingOf{m.Key, text.OneLine(m.Name), length, m.HeightM, at})
	}
	return out
}

// restsOf is how something of a length stands with its middle at each place.
func restsOf(p *profile.Profile, lengthM float64) figures {
	out := make(figures, 0, 2*len(p.DistancesM))
	for _, d := range p.DistancesM {
		s, ok := p.Stand(d, lengthM)
		if !ok {
			s.FromZ, s.SlopePct = math.NaN(), math.NaN()
		}
		out = append(out, (s.FromZ+s.ToZ)/2, s.SlopePct)
	}
	return out
}

// runsOf gathers places of one value.
func runsOf(values []int) []run {
	var out []run
	for i, v := range values {
		if n := len(out) - 1; n >= 0 && out[n][2] == v {
			out[n][1] = i
			continue
		}
		out = append(out, run{i, i, v})
	}
	return out
}

// saysOf is a section in one sentence.
func saysOf(cut *section.Section, told measure.Units) string {
	low, high, along, ground, gap := math.Inf(1), math.Inf(-1), 0.0, 0.0, false
	for i, z := range cut.HeightsM {
		if math.IsNaN(z) {
			gap = true
			continue
		}
		low, high = min(low, z), max(high, z)
		if a := math.Abs(cut.AlongPct[i]); a > along {
			along = a
		}
		if g := cut.GroundPct[i]; g > ground {
			ground = g
		}
	}
	words := lengthText(told, cut.LengthM()) + " long"
	if low <= high {
		words += fmt.Sprintf(", %s from its lowest to its highest; steepest along it %.0f%%, the ground itself up to %.0f%%", lengthText(told, high-low), along, ground)
	}
	if gap {
		words += "; part of it has no elevation"
	}
	return words + "."
}

// lengthText writes meters, with those in brackets where people are told in feet.
func lengthText(told measure.Units, m float64) string {
	if told != measure.US {
		return told.Length(m)
	}
	return fmt.Sprintf("%s ft (%s m)", text.Grouped(told.Feet(m), 0), text.Grouped(m, 0))
}
