package fleet

import (
	"cmp"
	"errors"
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/quantity"
)

// maxLimitPct is the steepest limit a fleet may hold, 60deg.
var maxLimitPct = quantity.PctOfDegrees(60)

var (
	machineKeys = []string{"key", "name", "limit", "basis",
		"procedure_above", "tether_above", "rated_max", "footprint", "step", "roughness", "caution"}
	requiredKeys = machineKeys[:3]
)

// noBasis stands for a basis the file does not give, so that a map says so.
const noBasis = "none given in the fleet file"

// entry is a machine with what the file says of it, for errors.
type entry struct {
	machine zoning.Machine
	text    map[string]string // values as written, by key
	line    map[string]int    // lines, by key
}

// readEntry reads one machine and checks it on its own.
func readEntry(node ast.Node) (entry, error) {
	e := entry{text: map[string]string{}, line: map[string]int{}}
	pairs, err := readPairs(node, machineKeys, "a machine")
	if err != nil {
		return e, err
	}
	for _, p := range pairs {
		e.line[p.key] = p.line
		if e.text[p.key], err = p.text(); err != nil {
			return e, err
		}
		if err := e.set(p.key); err != nil {
			return e, err
		}
	}
	if e.machine.Basis == "" {
		e.machine.Basis = noBasis
	}
	for _, k := range requiredKeys {
		if e.line[k] == 0 {
			return e, &Error{Line: startLine(node),
				Problem: fmt.Sprintf("%s has no %s", e.title(), k),
				Cure:    "add a line to it: " + requiredExample[k]}
		}
	}
	return e, e.checkSlopes()
}

var requiredExample = map[string]string{
	"key":   "key: track-loader",
	"name":  "name: Track loader",
	"limit": "limit: 30%",
}

// title is how errors name a machine whose key may be missing.
func (e entry) title() string {
	name := cmp.Or(e.machine.Key, e.machine.Name)
	if name == "" {
		return "this machine"
	}
	return fmt.Sprintf("machine %q", name)
}

// set puts the value of one key into the machine.
func (e *entry) set(key string) error {
	m := &e.machine
	switch key {
	case "key":
		m.Key = e.text[key]
		return e.checkKey()
	case "name":
		m.Name = e.text[key]
	case "basis":
		m.Basis = e.text[key]
	case "caution":
		m.Caution = e.text[key]
	case "limit":
		return e.slope(key, &m.LimitPct, "write the steepest slope it works, such as 30%")
	case "procedure_above":
		return e.slope(key, &m.ProcedureAbovePct,
			"delete the line if no procedure is asked for; for one on all ground, write 0.1%")
	case "tether_above":
		return e.slope(key, &m.TetherAbovePct,
			"delete the line if no tether is asked for; for one on all ground, write 0.1%")
	case "rated_max":
		return e.slope(key, &m.RatedMaxPct, "enter the rating from the machine's manual, or delete the line")
	case "footprint":
		if err := e.length(key, &m.FootprintM); err != nil || m.FootprintM <= maxFootprintM {
			return err
		}
		return e.refuse(key, "write the length of the ground it stands on", "footprint %s is above 50ft, longer than any machine", e.text[key])
	case "step":
		return e.length(key, &m.StepM)
	case "roughness":
		return e.length(key, &m.RoughM)
	}
	return nil
}

// maxFootprintM is 50ft.
const maxFootprintM = 15.24

func (e *entry) length(key string, metres *float64) error {
	v, err := ParseLength(e.text[key])
	var bad *Error
	if errors.As(err, &bad) {
		return e.refuse(key, bad.Cure, "%s %s", key, bad.Problem)
	}
	*metres = v
	return nil
}

// slope refuses 0%, which in a machine means that nothing is asked for.
func (e *entry) slope(key string, pct *float64, zeroCure string) error {
	v, err := ParseSlope(e.text[key])
	var bad *Error
	if errors.As(err, &bad) {
		return e.refuse(key, bad.Cure, "%s %s", key, bad.Problem)
	}
	if v == 0 {
		return e.refuse(key, zeroCure, "%s is %s; it must be above 0%%", key, e.text[key])
	}
	*pct = v
	return nil
}

func (e entry) checkKey() error {
	k := e.machine.Key
	const spelling = "abcdefghijklmnopqrstuvwxyz0123456789"
	switch {
	case strings.Trim(k, spelling+"-") != "" || k[0] == '-':
		return e.refuse("key", "begin with a-z or 0-9 and use only those and hyphens, as in track-loader",
			"key %q cannot be used", k)
	case k == zoning.NoMachineKey || k == zoning.UnknownKey || k == zoning.NoGoKey:
		return e.refuse("key", "choose another key",
			"key %q is reserved: maps use it for ground that no machine is given", k)
	}
	return nil
}

// checkSlopes compares the slopes of one machine with each other.
func (e entry) checkSlopes() error {
	m, t := e.machine, e.text
	if m.LimitPct > maxLimitPct {
		return e.refuse("limit", "write at most 60deg, and no more than the machine's manual allows",
			"limit %s of %s is above 60deg (173.2%%), the steepest that any machine is planned for", t["limit"], e.title())
	}
	if m.RatedMaxPct > 0 && m.RatedMaxPct < m.LimitPct {
		return e.refuse("rated_max", "lower the limit to the rating or below, or check the rating in the manual",
			"rated_max %s of %s is below its limit %s", t["rated_max"], e.title(), t["limit"])
	}
	for _, above := range []struct {
		key string
		pct float64
	}{{"procedure_above", m.ProcedureAbovePct}, {"tether_above", m.TetherAbovePct}} {
		if above.pct >= m.LimitPct {
			return e.refuse(above.key, "write a slope below the limit, or delete the line",
				"%s %s of %s could never apply: its limit is %s", above.key, t[above.key], e.title(), t["limit"])
		}
	}
	return nil
}

// checkAgainst compares a machine with those before it in the file.
func (e entry) checkAgainst(earlier []entry) error {
	for _, o := range earlier {
		if o.machine.Key == e.machine.Key {
			return e.refuse("key", "give each machine a key of its own",
				"key %q is already taken by the machine on line %d", e.machine.Key, o.line["key"])
		}
	}
	for _, o := range earlier {
		if covers(o.machine, e.machine) {
			return e.refuse("limit", "list machines from the lowest limit to the highest, or delete one of the two",
				"%s can never be first: its limit %s is not above the %s of %s on line %d",
				e.title(), e.text["limit"], o.text["limit"], o.title(), o.line["limit"])
		}
	}
	return nil
}

// covers tells whether o may work all ground that m may.
func covers(o, m zoning.Machine) bool {
	// A limit of 0 on step or roughness is none.
	within := func(m, o float64) bool { return o == 0 || m > 0 && m <= o }
	return m.LimitPct <= o.LimitPct && within(m.StepM, o.StepM) && within(m.RoughM, o.RoughM)
}

func (e entry) refuse(key, cure, problem string, args ...any) error {
	return &Error{Line: e.line[key], Problem: fmt.Sprintf(problem, args...), Cure: cure}
}
