package fleet

import (
	"fmt"
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

// keysOf lists every key a machine may have, in the order they are explained.
func keysOf(m *zoning.Machine) []key {
	const (
		asDry     = "write a slope above 0%, or delete the line to hold it to that of dry ground; for one that stays off wet ground, write 0.1%"
		asDriving = "write a slope above 0%, or delete the line to hold it to that of driving"
		noFace    = "write the steepest face it works, or delete the line if it works none that way"
	)
	return []key{
		{"key", name{&m.Key}},
		{"name", words{&m.Name}},
		{"limit", slope{&m.LimitPct, "write the steepest slope it works, such as 30%"}},
		{"cross", slope{&m.CrossPct, "write the steepest slope across it, or delete the line if it is held to none"}},
		{"wet_limit", slope{&m.Wet.AlongPct, asDry}},
		{"wet_cross", slope{&m.Wet.CrossPct, asDry}},
		{"swing_limit", slope{&m.Swing.AlongPct, asDriving}},
		{"swing_cross", slope{&m.Swing.CrossPct, asDriving}},
		{"wet_swing_limit", slope{&m.WetSwing.AlongPct, asDry}},
		{"wet_swing_cross", slope{&m.WetSwing.CrossPct, asDry}},
		{"reach", length(&m.ReachM, "3ft", "60ft", "write how far the boom works from the middle of the machine")},
		{"reach_up", slope{&m.ReachUpPct, noFace}},
		{"reach_down", slope{&m.ReachDownPct, noFace}},
		{"procedure_above", slope{&m.ProcedureAbovePct,
			"delete the line if no procedure is asked for; for one on all ground, write 0.1%"}},
		{"tether_above", slope{&m.TetherAbovePct,
			"delete the line if no tether is asked for; for one on all ground, write 0.1%"}},
		{"tether_basis", words{&m.TetherBasis}},
		{"tether", length(&m.TetherM, "10ft", "2000ft", "write the length of its tether")},
		{"anchor", words{&m.Anchor}},
		{"rated_max", slope{&m.RatedMaxPct, "enter the rating from the machine's manual, or delete the line"}},
		{"footprint", length(&m.FootprintM, "2ft", "50ft", "write the length of the ground it stands on")},
		{"width", length(&m.WidthM, "2ft", "20ft", "write how wide it is with its head")},
		{"weight", amount{&m.WeightKg, ParseWeight, "500lb", "300000lb", "write what the machine weighs with its head, without truck and trailer"}},
		{"height", length(&m.HeightM, "1ft", "30ft", "write how high it stands on the ground, without truck and trailer")},
		{"step", length(&m.StepM, "1in", "6ft", "write the greatest step it crosses")},
		{"roughness", length(&m.RoughM, "1in", "3ft", "write the greatest roughness it works")},
		{"run", length(&m.RunM, "20ft", "2000ft", "write the longest run up or down to where it can turn")},
		{"tallest", length(&m.TallestM, "1ft", "300ft", "write the height of the tallest growth it handles")},
		{"stem", length(&m.StemM, "0.5in", "4ft", "write the thickness of the thickest stem it handles")},
		{"pressure", amount{&m.PressureKPa, ParsePressure, "0.5psi", "60psi", "write its pressure on the ground from the manual"}},
		{"patch", amount{&m.PatchAcres, ParseArea, "0.001ac", "100ac", "write the smallest patch worth moving it to"}},
		{"work", work{&m.Work}},
		{"thrown", length(&m.ThrownM, "30ft", "2000ft", "write the thrown-object distance in its head's manual")},
		{"basis", words{&m.Basis}},
		{"caution", words{&m.Caution}},
	}
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

// name is a machine's key.
type name struct{ to *string }

func (v name) read(text string) error {
	const spelling = "abcdefghijklmnopqrstuvwxyz0123456789"
	switch {
	case strings.Trim(text, spelling+"-") != "" || text[0] == '-':
		return &Error{Problem: fmt.Sprintf("%q cannot be used", text),
			Cure: "begin with a-z or 0-9 and use only those and hyphens, as in track-loader"}
	case text == zoning.NoMachineKey || text == zoning.UnknownKey || text == zoning.NoGoKey:
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
	to          *float64
	parse       func(string) (float64, error)
	least, most string
	cure        string
}

func length(metres *float64, least, most, cure string) amount {
	return amount{metres, ParseLength, least, most, cure}
}

func (v amount) read(text string) error {
	q, err := v.parse(text)
	if err != nil {
		return err
	}
	if least, _ := v.parse(v.least); q < least {
		return &Error{Problem: text + " is below " + v.least + ", the least for any machine", Cure: v.cure}
	}
	if most, _ := v.parse(v.most); q > most {
		return &Error{Problem: text + " is above " + v.most + ", the most for any machine", Cure: v.cure}
	}
	*v.to = q
	return nil
}
