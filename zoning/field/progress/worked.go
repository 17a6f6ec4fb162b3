package progress

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field/fieldfile"
)

// MaxGapM is the longest way between two fixes of a track that counts as driven
// straight: 500 ft (planning value, no source).
const MaxGapM = 500 * zoning.MetresPerFoot

// Worked is ground that a machine worked on a day.
type Worked struct {
	Line    int    // of its file
	Day     string // as 2026-05-04
	Machine string // its key in the fleet
	Hours   float64
	// Recorded tells that Hours are the time a track recorded, breaks included.
	Recorded bool

	Ground    orb.MultiPolygon
	Tracks    orb.MultiLineString // stretches without a break
	CutWidthM float64             // of the tracks
}

// Hours are those of a machine on a day. They go before those of [Worked].
type Hours struct {
	Line         int
	Day, Machine string
	Hours        float64
}

// Rate is how fast a machine works.
type Rate struct {
	Machine      string
	Cover        string // class of cover; "" is any
	AcresPerHour float64
}

// Map is the zone map that was worked from.
type Map struct {
	Units measure.Units // that people are told in

	Cells *zoning.Cells
	Fleet zoning.Fleet
	Lots  []zoning.LotMap

	// Cover is, for each cell, the index of its class in Covers; nil where the cover
	// is not known.
	Cover  []uint8
	Covers []string
}

// Zone is how much of one band of one lot is done.
type Zone struct {
	Lot, Band        string
	Acres, DoneAcres float64
	ByMachine        []float64 // DoneAcres by machine, in fleet order
	machine          int       // whose zone it is; -1 for none
}

// LeftAcres is what is not done.
func (z Zone) LeftAcres() float64 { return max(z.Acres-z.DoneAcres, 0) }

// Shift is what one machine did on one day.
type Shift struct {
	Day, Machine string
	Hours        float64 // 0 where not known
	Recorded     bool
	Acres        float64 // done first on this shift, in lots
	// OverAcres are those on ground that the map does not give the machine.
	OverAcres float64
	Cover     string // class of at least 90% of its acres; "" where mixed or not known
	byCover   []float64
}

// Pace is the rate of a machine, in one class of cover or in all.
type Pace struct {
	Machine, Cover string
	Acres, Hours   float64
	PlannedPerHour float64 // acres an hour; 0 where not planned
}

// PerHour is acres an hour.
func (p Pace) PerHour() float64 { return p.Acres / p.Hours }

// Report is what was done against what was planned.
type Report struct {
	Units measure.Units // that it is told in; its figures are acres all the same

	Zones  []Zone  // in the order of lots and bands
	Shifts []Shift // by day, then in fleet order
	Paces  []Pace  // by machine: all cover first, then by class
	Left   []Left  // by machine
	// OutsideAcres were worked outside every lot.
	OutsideAcres float64
	Warnings     []string
}

// Left is what a machine's zones still hold.
type Left struct {
	Machine string
	Acres   float64
	Hours   float64 // at the rate so far, or as planned where there is none; NaN where neither is known
	Days    float64 // of as many hours as those worked so far; NaN where not known
	Planned bool    // whether Hours are by the planned rate
}

func (m *Map) check() error {
	if err := m.Cells.Check(); err != nil {
		return err
	}
	if m.Cover != nil && len(m.Cover) != m.Cells.Cols*m.Cells.Rows {
		return fmt.Errorf("the cover is of another size than %d × %d cells", m.Cells.Cols, m.Cells.Rows)
	}
	for _, c := range m.Cover {
		if int(c) >= len(m.Covers) {
			return fmt.Errorf("a cell has cover %d of %d", c, len(m.Covers))
		}
	}
	if err := m.Fleet.Check(); err != nil {
		return err
	}
	bands := len(m.Fleet.Bands())
	for _, lot := range m.Lots {
		if lot.Coverage == nil {
			return fmt.Errorf("lot %s has no coverage; take it from a map as MapLot made it", lot.Lot)
		}
		for _, z := range lot.Zones {
			if z.Band < 0 || z.Band >= bands {
				return fmt.Errorf("lot %s has a zone of band %d; the fleet makes %d bands", lot.Lot, z.Band, bands)
			}
		}
	}
	return nil
}

// check returns what of worked ground cannot be counted.
func (w Worked) check() error {
	if err := checkHours(w.Line, w.Machine, w.Day, w.Hours); err != nil {
		return err
	}
	for _, line := range w.Tracks {
		for _, p := range line {
			if !fieldfile.OnEarth(p) {
				return fmt.Errorf("line %d: longitude %g, latitude %g is no spot on earth", w.Line, p[0], p[1])
			}
		}
	}
	for _, poly := range w.Ground {
		for _, ring := range poly {
			for _, p := range ring {
				if !fieldfile.OnEarth(p) {
					return fmt.Errorf("line %d: longitude %g, latitude %g is no spot on earth", w.Line, p[0], p[1])
				}
			}
		}
	}
	return nil
}

func checkHours(line int, machine, day string, hours float64) error {
	if !(hours >= 0) || math.IsInf(hours, 0) {
		return fmt.Errorf("line %d: %s worked %g hours on %s; write 0 for not known", line, machine, hours, day)
	}
	return nil
}

func (m *Map) machine(key string) int {
	for i, k := range m.Fleet {
		if k.Key == key {
			return i
		}
	}
	return -1
}

func (m *Map) keys() string {
	var keys []string
	for _, k := range m.Fleet {
		keys = append(keys, k.Key)
	}
	return strings.Join(keys, ", ")
}

func acresOf(m2 float64) float64 { return m2 / terrain.SquareMetresPerAcre }
