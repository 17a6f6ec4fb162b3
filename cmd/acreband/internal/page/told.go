package page

import (
	"errors"
	"slices"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// boundary is the lots of one or more files. What is told of a lot has figures, so it is kept in
// both systems of units: whoever looks may go from one to the other.
type boundary struct {
	name string
	lots []zoning.Lot
	told measure.Units // that the lots' notes and errors are in
	also []lotWords    // of each lot, in the other system
}

// lotWords is what is told of a lot.
type lotWords struct {
	Notes []string
	Err   string // "" for none
}

// in is the lots with what is told of them in a system of units.
func (b *boundary) in(u measure.Units) []zoning.Lot {
	if u == b.told {
		return b.lots
	}
	lots := slices.Clone(b.lots)
	for i, w := range b.also {
		lots[i].Notes, lots[i].Err = w.Notes, errorOf(w.Err)
	}
	return lots
}

// errorOf is an error of words; "" is none.
func errorOf(words string) error {
	if words == "" {
		return nil
	}
	return errors.New(words)
}

// otherUnits is the other system.
func otherUnits(u measure.Units) measure.Units {
	if u == measure.US {
		return measure.Metric
	}
	return measure.US
}

// unitsNamed is the system that a request names; "" is the one that the server was started with.
func (c *Config) unitsNamed(word string) (measure.Units, error) {
	if word == "" {
		return c.Judge.Units, nil
	}
	u, err := measure.Parse(word)
	if err != nil {
		return u, atField("units", "%v", err)
	}
	return u, nil
}
