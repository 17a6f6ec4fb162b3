package progress

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/acreband/acreband/zoning"
)

// oneCover is the share of a shift's acres that must be of one class for the shift
// to tell the rate in that class.
const oneCover = 0.9

// Cutting widths that a head may have: 1 to 50 ft.
const (
	minCutM = 1 * zoning.MetresPerFoot
	maxCutM = 50 * zoning.MetresPerFoot
)

// Tally counts worked ground. Worked ground and hours are taken by day, those of one
// day in the order given. planned may be nil. It returns an error where a machine is
// not of the fleet, a track has no cutting width of 1 to 50 ft, a place is not on earth, or
// hours or rates are below 0 or no number.
func Tally(m Map, worked []Worked, hours []Hours, planned []Rate) (*Report, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	for _, w := range worked {
		if err := w.check(); err != nil {
			return nil, err
		}
	}
	for _, h := range hours {
		if err := checkHours(h.Line, h.Machine, h.Day, h.Hours); err != nil {
			return nil, err
		}
	}
	for _, p := range planned {
		if !(p.AcresPerHour >= 0) || math.IsInf(p.AcresPerHour, 0) {
			return nil, fmt.Errorf("the planned rate of %s is %g acres an hour; write 0 for none", p.Machine, p.AcresPerHour)
		}
	}
	r := &Report{Units: m.Units}
	worked = slices.Clone(worked)
	slices.SortStableFunc(worked, func(a, b Worked) int { return cmp.Compare(a.Day, b.Day) })
	if err := r.shifts(&m, worked, hours); err != nil {
		return nil, err
	}
	owner, err := r.mark(&m, worked)
	if err != nil {
		return nil, err
	}
	r.count(&m, owner)
	r.paces(&m, planned)
	r.left(&m, planned)
	r.warn(&m)
	return r, nil
}

// shifts lists days and machines with their hours.
func (r *Report) shifts(m *Map, worked []Worked, hours []Hours) error {
	add := func(line int, day, machine string) (*Shift, error) {
		if m.machine(machine) < 0 {
			return nil, fmt.Errorf("line %d: machine %q is not in the fleet; use one of %s", line, machine, m.keys())
		}
		if i := r.shift(day, machine); i >= 0 {
			return &r.Shifts[i], nil
		}
		r.Shifts = append(r.Shifts, Shift{Day: day, Machine: machine, byCover: make([]float64, len(m.Covers))})
		return &r.Shifts[len(r.Shifts)-1], nil
	}
	for _, h := range hours {
		s, err := add(h.Line, h.Day, h.Machine)
		if err != nil {
			return err
		}
		s.Hours += h.Hours
	}
	counted := len(r.Shifts)
	for _, w := range worked {
		s, err := add(w.Line, w.Day, w.Machine)
		if err != nil {
			return err
		}
		if r.shift(w.Day, w.Machine) >= counted {
			s.Hours += w.Hours
			s.Recorded = s.Recorded || w.Recorded
		}
	}
	slices.SortFunc(r.Shifts, func(a, b Shift) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), m.machine(a.Machine)-m.machine(b.Machine))
	})
	return nil
}

func (r *Report) shift(day, machine string) int {
	return slices.IndexFunc(r.Shifts, func(s Shift) bool { return s.Day == day && s.Machine == machine })
}

// mark finds for every cell the shift that worked it first, from 1; 0 is none.
func (r *Report) mark(m *Map, worked []Worked) ([]int32, error) {
	owner := make([]int32, len(m.Cells.Masks))
	ground := window{m.Cells}
	for _, w := range worked {
		shift := int32(r.shift(w.Day, w.Machine) + 1)
		cells := 0
		visit := func(i int) {
			cells++
			if owner[i] == 0 {
				owner[i] = shift
			}
		}
		for _, poly := range w.Ground {
			ground.inPolygon(poly, visit)
		}
		if len(w.Tracks) > 0 && !(w.CutWidthM >= minCutM && w.CutWidthM <= maxCutM) {
			return nil, fmt.Errorf("line %d: the track of %s on %s has a cutting width of %s; give that of its head, from 1ft to 50ft", w.Line, w.Machine, w.Day, m.Units.Size(w.CutWidthM))
		}
		gaps, gapM := 0, 0.0
		for _, t := range w.Tracks {
			n, long := ground.alongTrack(t, w.CutWidthM, visit)
			gaps, gapM = gaps+n, gapM+long
		}
		if gaps > 0 {
			r.Warnings = append(r.Warnings, fmt.Sprintf("%s, %s: gaps of the track longer than %s were not counted as worked: %d, %s in all",
				w.Day, w.Machine, m.Units.Length(MaxGapM), gaps, m.Units.Length(gapM)))
		}
		if cells == 0 {
			r.Warnings = append(r.Warnings, fmt.Sprintf("%s, %s (line %d): covers no cell of the map: check its coordinates and width", w.Day, w.Machine, w.Line))
		}
		if len(w.Tracks) > 0 {
			in := ground.lengths([2]float64{float64(m.Cells.Cols) / 2, float64(m.Cells.Rows) / 2})
			if cellM := math.Sqrt(max(in.e, in.g)); cellM > w.CutWidthM/2 {
				r.Warnings = append(r.Warnings, fmt.Sprintf("%s, %s: cells of %.1f m are coarse for a cut of %.1f m: %s along its track are rough", w.Day, w.Machine, cellM, w.CutWidthM, m.Units.Areas()))
			}
		}
	}
	return owner, nil
}

// count shares the acres of zones out over their cells.
func (r *Report) count(m *Map, owner []int32) {
	bands := m.Fleet.Bands()
	inLots := 0.0
	for _, lot := range m.Lots {
		zones, cells := make([]Zone, len(bands)), make([]float64, len(bands))
		for b := range zones {
			zones[b] = Zone{Lot: lot.Lot, Band: bands[b].Key, machine: bands[b].Machine, ByMachine: make([]float64, len(m.Fleet))}
		}
		for _, z := range lot.Zones {
			zones[z.Band].Acres = z.Acres
		}
		m.eachCell(lot, func(_, band int, share float64) { cells[band] += share })
		m.eachCell(lot, func(i, band int, share float64) {
			if i < 0 || owner[i] == 0 {
				return
			}
			acres := zones[band].Acres * share / cells[band]
			zones[band].DoneAcres += acres
			inLots += acres
			s := &r.Shifts[owner[i]-1]
			s.Acres += acres
			k := m.machine(s.Machine)
			zones[band].ByMachine[k] += acres
			if m.Cells.Masks[i]&(zoning.Unknown|zoning.NoGo) != 0 || m.Cells.Masks[i]&(1<<k) == 0 {
				s.OverAcres += acres
			}
			if m.Cover != nil {
				s.byCover[m.Cover[i]] += acres
			}
		})
		for _, z := range zones {
			if z.Acres > 0 {
				r.Zones = append(r.Zones, z)
			}
		}
	}
	all := 0.0
	for i, shift := range owner {
		if shift > 0 {
			col, row := float64(i%m.Cells.Cols+m.Cells.Col0)+0.5, float64(i/m.Cells.Cols+m.Cells.Row0)+0.5
			all += acresOf(m.Cells.Frame.MetricAt(col, row).CellAreaM2())
		}
	}
	r.OutsideAcres = max(all-inLots, 0)
	for i := range r.Shifts {
		s := &r.Shifts[i]
		for k, acres := range s.byCover {
			if s.Acres > 0 && acres >= oneCover*s.Acres {
				s.Cover = m.Covers[k]
			}
		}
	}
}

// eachCell visits the cells of a lot with their band; i is -1 outside the window.
func (m *Map) eachCell(lot zoning.LotMap, visit func(i, band int, share float64)) {
	lot.Coverage.EachCell(func(col, row int, share float64) {
		if col < 0 || row < 0 || col >= m.Cells.Cols || row >= m.Cells.Rows {
			visit(-1, m.Fleet.UnknownBand(), share)
			return
		}
		i := row*m.Cells.Cols + col
		visit(i, m.Fleet.Band(m.Cells.Masks[i]), share)
	})
}
