package main

import (
	"github.com/acreband/acreband/terrain/measure"
)

// unitsFlag is the units that a command tells figures in.
type unitsFlag struct{ measure.Units }

// UnmarshalText reads us or metric.
func (f *unitsFlag) UnmarshalText(text []byte) (err error) {
	f.Units, err = measure.Parse(string(text))
	return err
}

// tellIn has all that comes of the job told in units.
func (j *groundJob) tellIn(units unitsFlag) {
	j.judge.Units, j.parcels.Units, j.raster.Units = units.Units, units.Units, units.Units
}
