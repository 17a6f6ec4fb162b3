package progress

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/text"
)

// screenWidth is how many characters a line for a terminal may take.
const screenWidth = 80

// WriteText writes a report for people: done and left by zone, shifts, rates against
// plan, what is left by machine, warnings. Several lots are added up.
func (r *Report) WriteText(w io.Writer) error {
	var b strings.Builder
	u := r.Units
	rows := [][]string{{"zone", u.Areas(), "done", "left", "share done"}}
	var all Zone
	for _, z := range r.byBand() {
		rows = append(rows, zoneRow(u, z))
		all.Acres, all.DoneAcres = all.Acres+z.Acres, all.DoneAcres+z.DoneAcres
	}
	all.Band = "all"
	fmt.Fprintf(&b, "done: %s of %s\n\n", area(u, all.DoneAcres), u.AreaText(all.Acres, 2))
	text.ColumnsWithin(&b, append(rows, zoneRow(u, all)), 1, screenWidth)

	rows = [][]string{{"day", "machine", u.Areas(), "hours", u.Areas() + " an hour"}}
	for _, s := range r.Shifts {
		rows = append(rows, []string{s.Day, s.Machine, area(u, s.Acres), figure("%.1f", orNaN(s.Hours)), area(u, s.Acres/orNaN(s.Hours))})
	}
	b.WriteString("\n")
	text.ColumnsWithin(&b, rows, 2, screenWidth)

	if len(r.Paces) > 0 {
		rows = [][]string{{"rates so far", "cover", u.Areas(), "hours", u.Areas() + " an hour", "planned", "of plan"}}
		for _, p := range r.Paces {
			cover := p.Cover
			if cover == "" {
				cover = "all"
			}
			planned := orNaN(p.PlannedPerHour)
			rows = append(rows, []string{p.Machine, cover, area(u, p.Acres), fmt.Sprintf("%.1f", p.Hours),
				area(u, p.PerHour()), area(u, planned), figure("%.0f%%", 100*p.PerHour()/planned)})
		}
		b.WriteString("\n")
		text.ColumnsWithin(&b, rows, 2, screenWidth)
		text.Fold(&b, "", "The rates so far may go into the fleet file. A few days on easy ground are no rate for the rest.", screenWidth)
	}
	if len(r.Left) > 0 {
		rows = [][]string{{"left for", "rate", u.Areas(), "hours", "days"}}
		for _, l := range r.Left {
			by := "so far"
			if l.Planned {
				by = "as planned"
			}
			if math.IsNaN(l.Hours) {
				by = "not known"
			}
			rows = append(rows, []string{l.Machine, by, area(u, l.Acres), figure("%.1f", l.Hours), figure("%.1f", l.Days)})
		}
		b.WriteString("\n")
		text.ColumnsWithin(&b, rows, 2, screenWidth)
	}
	if len(r.Warnings) > 0 {
		b.WriteString("\n")
	}
	for _, s := range r.Warnings {
		text.Fold(&b, "warning    ", s, screenWidth)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func zoneRow(u measure.Units, z Zone) []string {
	return []string{z.Band, area(u, z.Acres), area(u, z.DoneAcres), area(u, z.LeftAcres()),
		figure("%.0f%%", 100*z.DoneAcres/z.Acres)}
}

// area writes acres to a hundredth, as they are told, a dash where there is no figure.
func area(u measure.Units, acres float64) string {
	return figure(fmt.Sprintf("%%.%df", u.Decimals(2)), u.Area(acres))
}

// byBand adds up the zones of all lots.
func (r *Report) byBand() (bands []Zone) {
	at := map[string]int{}
	for _, z := range r.Zones {
		i, seen := at[z.Band]
		if !seen {
			i = len(bands)
			at[z.Band] = i
			bands = append(bands, Zone{Band: z.Band})
		}
		bands[i].Acres += z.Acres
		bands[i].DoneAcres += z.DoneAcres
	}
	return bands
}

func orNaN(v float64) float64 {
	if v == 0 {
		return math.NaN()
	}
	return v
}

// figure writes a number, a dash where there is none.
func figure(format string, v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "-"
	}
	return fmt.Sprintf(format, v)
}

// WriteCSV writes a row for each shift: day, machine, acres, hours, acres an hour,
// acres that the map does not give the machine, class of cover.
func (r *Report) WriteCSV(w io.Writer) error {
	out := text.NewTable(w)
	u := r.Units
	named := func(us string) string { name, _ := u.Property(us); return name }
	out.Row("date", "machine", named("acres"), "hours", named("acres_per_hour"), named("acres_not_its_own"), "cover")
	number := func(v float64) string {
		if math.IsNaN(v) {
			return ""
		}
		return fmt.Sprintf("%.4f", v)
	}
	for _, s := range r.Shifts {
		out.Row(s.Day, s.Machine, number(u.Area(s.Acres)), number(orNaN(s.Hours)), number(u.Area(s.Acres)/orNaN(s.Hours)), number(u.Area(s.OverAcres)), s.Cover)
	}
	return out.Flush()
}

type reportJSON struct {
	Units        measure.Units `json:"units,omitempty"` // none are US
	DoneAcres    float64       `json:"done_acres"`
	LeftAcres    float64       `json:"left_acres"`
	OutsideAcres float64       `json:"outside_lots_acres"`
	Zones        []zoneJSON    `json:"zones"`
	Shifts       []shiftJSON   `json:"shifts"`
	Rates        []paceJSON    `json:"rates"`
	Left         []leftJSON    `json:"left"`
	Warnings     []string      `json:"warnings"`
}

type zoneJSON struct {
	Lot       string  `json:"lot"`
	Band      string  `json:"zone"`
	Acres     float64 `json:"acres"`
	DoneAcres float64 `json:"done_acres"`
	LeftAcres float64 `json:"left_acres"`
}

type shiftJSON struct {
	Date       string   `json:"date"`
	Machine    string   `json:"machine"`
	Acres      float64  `json:"acres"`
	Hours      *float64 `json:"hours"`
	Recorded   bool     `json:"hours_recorded_by_track"`
	NotItsOwn  float64  `json:"acres_not_its_own"`
	CoverClass string   `json:"cover,omitempty"`
}

type paceJSON struct {
	Machine      string   `json:"machine"`
	Cover        string   `json:"cover,omitempty"`
	Acres        float64  `json:"acres"`
	Hours        float64  `json:"hours"`
	PerHour      float64  `json:"acres_per_hour"`
	PlannedHour  *float64 `json:"planned_acres_per_hour"`
	ShareOfPlan  *float64 `json:"share_of_plan"`
	WriteToFleet string   `json:"fleet_rate"`
}

type leftJSON struct {
	Machine string   `json:"machine"`
	Acres   float64  `json:"acres"`
	Hours   *float64 `json:"hours"`
	Days    *float64 `json:"days"`
	Planned bool     `json:"at_planned_rate"`
}

// WriteJSON writes a report for programs; what is not known is null.
func (r *Report) WriteJSON(w io.Writer) error {
	out := reportJSON{
		Units: r.Units, OutsideAcres: round(r.OutsideAcres), Zones: []zoneJSON{}, Shifts: []shiftJSON{}, Rates: []paceJSON{}, Left: []leftJSON{},
		Warnings: append([]string{}, r.Warnings...),
	}
	for _, z := range r.Zones {
		out.DoneAcres += z.DoneAcres
		out.LeftAcres += z.LeftAcres()
		out.Zones = append(out.Zones, zoneJSON{z.Lot, z.Band, round(z.Acres), round(z.DoneAcres), round(z.LeftAcres())})
	}
	out.DoneAcres, out.LeftAcres = round(out.DoneAcres), round(out.LeftAcres)
	for _, s := range r.Shifts {
		out.Shifts = append(out.Shifts, shiftJSON{s.Day, s.Machine, round(s.Acres), number(orNaN(s.Hours)), s.Recorded, round(s.OverAcres), s.Cover})
	}
	for _, p := range r.Paces {
		planned := orNaN(p.PlannedPerHour)
		out.Rates = append(out.Rates, paceJSON{p.Machine, p.Cover, round(p.Acres), round(p.Hours), round(p.PerHour()),
			number(planned), number(p.PerHour() / planned), fmt.Sprintf("%.2fac/h", p.PerHour())})
	}
	for _, l := range r.Left {
		out.Left = append(out.Left, leftJSON{l.Machine, round(l.Acres), number(l.Hours), number(l.Days), l.Planned})
	}
	text, err := json.Marshal(out)
	if err != nil {
		return err
	}
	if text, err = r.Units.JSON(text); err != nil {
		return err
	}
	var indented bytes.Buffer
	err = json.Indent(&indented, text, "", "  ")
	if err != nil {
		return err
	}
	_, err = w.Write(append(indented.Bytes(), '\n'))
	return err
}

func round(v float64) float64 { return math.Round(v*1e9) / 1e9 }

func number(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	v = round(v)
	return &v
}
