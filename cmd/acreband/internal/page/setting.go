package page

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/text"
)

// Setting is what somebody changed on the page, all of it: what is left out is as
// the server was started.
type Setting struct {
	Limits   []Limit         `json:"limits"`
	By       string          `json:"by"`     // who raises limits above the fleet file's
	Reason   string          `json:"reason"` // and why
	Ground   zoning.Moisture `json:"ground"`
	Cautious *bool           `json:"cautious"`
	Costs    []Cost          `json:"costs"`
	Cover    *string         `json:"cover"` // what grows where nobody says: a class, or ""
	Terms
	View  string          `json:"view"`  // plan, where a crew is chosen, or limits
	Units string          `json:"units"` // us or metric: what is told, and what plain numbers are read in
	Site  json.RawMessage `json:"site"`  // a GeoJSON collection, as a site file

	Files []Use `json:"files"` // that were dropped, and what each is
}

// Limit is a limit of a machine, written with its unit.
type Limit struct {
	Machine string `json:"machine"` // its key
	Limit   string `json:"limit"`   // its key in fleet files, one of those of limits
	Value   string `json:"value"`
}

// Cost is a figure of a machine in the plan, or of the job where Machine is "", as it
// is written in a fleet file.
type Cost struct {
	Machine string `json:"machine"`
	Figure  string `json:"figure"`
	Value   string `json:"value"`
}

// limits of a machine that may be changed: those for wet ground after those for any, and
// across after along.
var limits = func() (out []zoning.Spec) {
	for _, s := range zoning.Specs() {
		if s.ForOneMap != "" {
			out = append(out, s)
		}
	}
	order := func(s zoning.Spec) (at int) {
		if s.Ground == zoning.Wet {
			at = 2
		}
		if s.Across() {
			at++
		}
		return at
	}
	slices.SortStableFunc(out, func(a, b zoning.Spec) int { return order(a) - order(b) })
	return out
}()

// Names and reasons are no longer than this, in letters.
const (
	mostName   = 80
	mostReason = 300
)

// judged is a fleet and options as a setting changes them, and what is to be said of
// that on every output.
type judged struct {
	fleet            zoning.Fleet
	options          mapping.Options
	byLimits         bool     // whether the map is drawn so, crew or not
	raised, overrule []string // raised above the fleet file; changed otherwise
}

func (c *Config) judge(s Setting) (judged, error) {
	j := judged{fleet: slices.Clone(c.Fleet), options: c.Judge}
	var err error
	if j.options.Units, err = c.unitsNamed(s.Units); err != nil {
		return j, err
	}
	switch s.Ground {
	case "":
	case zoning.Dry, zoning.Wet:
		j.options.Ground = s.Ground
	default:
		return j, atField("ground", "the ground is dry or wet, not %q", s.Ground)
	}
	switch s.View {
	case "":
		j.byLimits = c.ByLimits
	case zoning.AsPlanned.String(), zoning.ByLimits.String():
		j.byLimits = s.View == zoning.ByLimits.String()
	default:
		return j, atField("view", "a map is drawn by plan or by limits, not by %q", s.View)
	}
	if s.Cautious != nil {
		j.options.Cautious = *s.Cautious
	}
	by, reason := plainText(s.By, mostName), plainText(s.Reason, mostReason)
	asked := make([]map[zoning.Limit]float64, len(c.Fleet))
	for _, l := range s.Limits {
		if err := j.ask(asked, l, by, reason); err != nil {
			return j, err
		}
	}
	return j, j.change(asked)
}

// change gives the machines the limits that were asked of them, and what goes with them.
func (j *judged) change(asked []map[zoning.Limit]float64) error {
	for i, pct := range asked {
		m, err := j.fleet[i].WithLimits(pct)
		var bad *zoning.LimitError
		if errors.As(err, &bad) {
			return atField(bad.Machine+" "+string(bad.Limit), "%s is more than its other limits allow: across no more than up and down, wet no more than dry, off a tether less than on one",
				text.LimitPct(bad.Pct))
		}
		j.fleet[i] = m
	}
	return nil
}

// limitNamed is the place of a limit that may be changed, -1 where there is none.
func limitNamed(key string) int {
	for i, l := range limits {
		if string(l.Key) == key {
			return i
		}
	}
	return -1
}

// ask notes one limit that is asked of a machine.
func (j *judged) ask(asked []map[zoning.Limit]float64, l Limit, by, reason string) error {
	at := indexOf(j.fleet, l.Machine)
	which := limitNamed(l.Limit)
	if at < 0 || which < 0 {
		return atField("", "there is no %s of a machine %q", l.Limit, l.Machine)
	}
	field, limit := l.Machine+" "+l.Limit, limits[which].Key
	pct, err := slopeTyped(l.Value)
	if err != nil {
		return atField(field, "%v", err)
	}
	if pct <= 0 {
		return atField(field, "a limit is above 0%%; to leave a machine at home, take it out of the fleet file")
	}
	m := j.fleet[at]
	was, _ := m.Limit(limit)
	if was == pct {
		return nil
	}
	if was == 0 {
		return atField(field, "%s has no limit %s in the fleet file to change", m.Name, limits[which].ForOneMap)
	}
	words := fmt.Sprintf("%s, limit %s: %s, where the fleet file says %s", m.Name, limits[which].ForOneMap, text.LimitPct(pct), text.LimitPct(was))
	if asked[at] == nil {
		asked[at] = map[zoning.Limit]float64{}
	}
	asked[at][limit] = pct
	if pct < was {
		j.overrule = append(j.overrule, words)
		return nil
	}
	var bad *zoning.LimitError
	_, err = m.With(limit, pct)
	switch above := errors.As(err, &bad); {
	case above && bad.Bound == zoning.RatedMax:
		return atField(field, "the maker rates %s to %s: no limit is set above that", m.Name, text.LimitPct(bad.MostPct))
	case above && bad.Bound == "":
		return atField(field, "no machine is planned for more than %s (60deg)", text.LimitPct(zoning.MaxLimitPct))
	case by == "":
		return atField("by", "%s is above the fleet file's %s: say who raises it", text.LimitPct(pct), text.LimitPct(was))
	case reason == "":
		return atField("reason", "%s is above the fleet file's %s: say why", text.LimitPct(pct), text.LimitPct(was))
	}
	j.raised = append(j.raised, fmt.Sprintf("RAISED by %s: %s. Reason given: %s", by, words, reason))
	return nil
}

// say puts what was changed in front of what else a map tells: what is raised above
// the fleet file is a warning, what is lowered an assumption.
func (j judged) say(m *zoning.ZoneMap) {
	m.Warnings = append(slices.Clone(j.raised), m.Warnings...)
	m.Assumed = append(slices.Clone(j.overrule), m.Assumed...)
}

// book is the server's with costs and terms as a setting changes them; nil where there is
// none.
func (c *Config) book(set Setting) (*plan.Book, error) {
	if c.Book == nil {
		if len(set.Costs) > 0 || set.Terms != (Terms{}) {
			return nil, atField("", "no costs are known here: start the server with a fleet file that has some")
		}
		return nil, nil
	}
	book := c.Book.Clone()
	told, err := c.unitsNamed(set.Units)
	if err != nil {
		return nil, err
	}
	for _, cost := range set.Costs {
		change := func(figure, value string) error { return book.Job.SetIn(told, figure, value) }
		if cost.Machine != "" {
			figures := book.Machine(cost.Machine)
			if figures == nil {
				return nil, atField("", "no costs are known of a machine %q", cost.Machine)
			}
			change = figures.Set
		}
		if err := change(cost.Figure, cost.Value); err != nil {
			return nil, atField(strings.TrimSpace(cost.Machine+" "+cost.Figure), "%v", err)
		}
	}
	return book, set.Terms.into(&book.Job, c.Fleet, told)
}

// cover is the class of what grows, as a setting has it.
func (c *Config) cover(word *string) (plan.Cover, error) {
	if word == nil {
		return c.Cover, nil
	}
	cover, err := plan.ParseCover(*word)
	if err != nil {
		return cover, atField("cover", "%v", err)
	}
	return cover, nil
}

// plainText makes what somebody typed fit for one line of any output: control and
// format characters go, and so does what is beyond so many letters.
func plainText(s string, most int) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r), unicode.IsControl(r):
			return ' '
		case unicode.Is(unicode.Cf, r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, ""))
	letters := []rune(strings.Join(strings.Fields(s), " "))
	return strings.TrimSpace(string(letters[:min(len(letters), most)]))
}
