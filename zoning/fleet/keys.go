package fleet

import (
	"fmt"
	"slices"
	"strings"

	"github.com/acreband/acreband/zoning"
)

// key is a key of a machine and what reads its value into the machine.
type key struct {
	name string
	value
}

// value reads the text of one key into a machine. Its errors are [*Error] whose
// problem goes on where the key's name stops.
type value interface{ read(text string) error }

// keysOf lists every key a machine may have, in the order they are explained: those of
// [zoning.Specs], and words among them.
func keysOf(m *zoning.Machine) []key {
	after := map[zoning.Limit]key{
		zoning.TetherAbove: {"tether_basis", words{&m.TetherBasis}},
		"tether":           {"anchor", words{&m.Anchor}},
		"patch":            {"work", work{&m.Work}},
	}
	keys := []key{{"key", name{&m.Key}}, {"name", words{&m.Name}}}
	for _, s := range zoning.Specs() {
		if s.Cure == "" {
			continue
		}
		keys = append(keys, key{string(s.Key), valueOf(s, m)})
		if k, ok := after[s.Key]; ok {
			keys = append(keys, k)
		}
	}
	return append(keys, key{"basis", words{&m.Basis}}, key{"caution", words{&m.Caution}})
}

// valueOf reads a number of the machine.
func valueOf(s zoning.Spec, m *zoning.Machine) value {
	to := s.Of(m)
	switch s.Unit {
	case zoning.Percent:
		return slope{to, s.Cure}
	case zoning.Kilopascals:
		return amount{s, to, ParsePressure}
	case zoning.AcreUnit:
		return amount{s, to, ParseArea}
	case zoning.Kilograms:
		return amount{s, to, ParseWeight}
	}
	return amount{s, to, ParseLength}
}

// machineKeys are the names of a machine's keys; a machine must have the first
// three.
var machineKeys = func() (names []string) {
	for _, k := range keysOf(&zoning.Machine{}) {
		names = append(names, k.name)
	}
	return names
}()

type words struct{ to *string }

func (v words) read(text string) error {
	*v.to = text
	return nil
}

// ofNoMachine are keys that no machine may have: tables of lots would name its acres as
// those of ground that is no machine's.
var ofNoMachine = func() (out []string) {
	for _, b := range zoning.Fleet(nil).Bands() {
		out = append(out, strings.ReplaceAll(b.Key, "_", "-"))
	}
	return out
}()

// name is a machine's key.
type name struct{ to *string }

func (v name) read(text string) error {
	const spelling = "abcdefghijklmnopqrstuvwxyz0123456789"
	switch {
	case strings.Trim(text, spelling+"-") != "" || text[0] == '-':
		return &Error{Problem: fmt.Sprintf("%q cannot be used", text),
			Cure: "begin with a-z or 0-9 and use only those and hyphens, as in track-loader"}
	case slices.Contains(ofNoMachine, text):
		return &Error{Problem: fmt.Sprintf("%q is reserved: maps use it for ground that no machine is given", text),
			Cure: "choose another key"}
	}
	*v.to = text
	return nil
}

type work struct{ to *zoning.Work }

func (v work) read(text string) error {
	switch w := zoning.Work(text); w {
	case zoning.Production, zoning.Selective:
		*v.to = w
		return nil
	}
	return &Error{Problem: fmt.Sprintf("%q is not a kind of work", text),
		Cure: "write production or selective, or delete the line if it does both"}
}

// slope refuses 0%, which in a machine means that nothing is asked for.
type slope struct {
	pct      *float64
	zeroCure string
}

func (v slope) read(text string) error {
	pct, err := ParseSlope(text)
	if err != nil {
		return err
	}
	if pct == 0 {
		return &Error{Problem: "is " + text + "; it must be above 0%", Cure: v.zeroCure}
	}
	*v.pct = pct
	return nil
}

// amount refuses what lies outside bounds so wide that only a mistaken unit or
// a slipped decimal does.
type amount struct {
	spec  zoning.Spec
	to    *float64
	parse func(string) (float64, error)
}

func (v amount) read(text string) error {
	q, err := v.parse(text)
	if err != nil {
		return err
	}
	if least, _ := v.parse(v.spec.Least); q < least {
		return &Error{Problem: text + " is below " + v.spec.Least + ", the least for any machine", Cure: v.spec.Cure}
	}
	if most, _ := v.parse(v.spec.Most); q > most {
		return &Error{Problem: text + " is above " + v.spec.Most + ", the most for any machine", Cure: v.spec.Cure}
	}
	*v.to = q
	return nil
}
