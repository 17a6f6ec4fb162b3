package progress

import (
	"fmt"
	"math"
)

// paces gathers the shifts whose hours are known by machine, and by class of cover
// where a shift was of one.
func (r *Report) paces(m *Map, planned []Rate) {
	for _, k := range m.Fleet {
		all := Pace{Machine: k.Key}
		classes := make([]Pace, len(m.Covers))
		for _, s := range r.Shifts {
			if s.Machine != k.Key || s.Hours == 0 {
				continue
			}
			all.Acres, all.Hours = all.Acres+s.Acres, all.Hours+s.Hours
			for i, c := range m.Covers {
				if s.Cover == c {
					classes[i].Acres, classes[i].Hours = classes[i].Acres+s.Acres, classes[i].Hours+s.Hours
				}
			}
		}
		if all.Hours == 0 {
			continue
		}
		all.PlannedPerHour = rateOf(planned, k.Key, "")
		r.Paces = append(r.Paces, all)
		for i, p := range classes {
			if p.Hours > 0 {
				p.Machine, p.Cover, p.PlannedPerHour = k.Key, m.Covers[i], rateOf(planned, k.Key, m.Covers[i])
				r.Paces = append(r.Paces, p)
			}
		}
	}
}

// rateOf is the planned rate of a machine in a class of cover, 0 where there is none.
func rateOf(planned []Rate, machine, cover string) float64 {
	for _, p := range planned {
		if p.Machine == machine && p.Cover == cover {
			return p.AcresPerHour
		}
	}
	return 0
}

// left reckons what the zones of each machine still take.
func (r *Report) left(m *Map, planned []Rate) {
	for k, machine := range m.Fleet {
		l := Left{Machine: machine.Key, Hours: math.NaN(), Days: math.NaN()}
		zones := false
		for _, z := range r.Zones {
			if z.machine == k {
				l.Acres += z.LeftAcres()
				zones = true
			}
		}
		if !zones {
			continue
		}
		rate, perDay := 0.0, math.NaN()
		for _, p := range r.Paces {
			if p.Machine == machine.Key && p.Cover == "" {
				rate, perDay = p.PerHour(), p.Hours/float64(r.days(machine.Key))
			}
		}
		if rate == 0 {
			rate, l.Planned = rateOf(planned, machine.Key, ""), true
		}
		if rate > 0 {
			l.Hours = l.Acres / rate
			l.Days = l.Hours / perDay
		}
		r.Left = append(r.Left, l)
	}
}

// days counts the days on which a machine worked known hours.
func (r *Report) days(machine string) (n int) {
	for _, s := range r.Shifts {
		if s.Machine == machine && s.Hours > 0 {
			n++
		}
	}
	return n
}

// warn says what a reader must know of the numbers.
func (r *Report) warn(m *Map) {
	over := make([]float64, len(m.Fleet))
	for _, s := range r.Shifts {
		over[m.machine(s.Machine)] += s.OverAcres
		if s.Hours == 0 {
			r.Warnings = append(r.Warnings, fmt.Sprintf("%s, %s: no hours: its %s are in no rate", s.Day, s.Machine, m.Units.AreaText(s.Acres, 2)))
		}
		if s.Recorded {
			r.Warnings = append(r.Warnings, fmt.Sprintf("%s, %s: its hours are the time its track recorded, breaks included", s.Day, s.Machine))
		}
	}
	for k, acres := range over {
		if acres >= 0.005 {
			r.Warnings = append(r.Warnings, fmt.Sprintf("%s worked %s that the map does not give it: ground over its limits, closed, or not measured. Find out why before it goes on", m.Fleet[k].Key, m.Units.AreaText(acres, 2)))
		}
	}
	if r.OutsideAcres >= 0.05 {
		r.Warnings = append(r.Warnings, fmt.Sprintf("about %s were worked outside every lot", m.Units.AreaText(r.OutsideAcres, 2)))
	}
}
