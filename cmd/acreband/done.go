package main

import (
	"fmt"

	"github.com/acreband/acreband/zoning/field/fieldfile"
	"github.com/acreband/acreband/zoning/field/progress"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/units"
)

type progressCmd struct {
	surveyFlags
	parcelFlags
	Files    []string  `arg:"" name:"file" help:"Worked ground: GPX tracks, or GeoJSON polygons and lines with date, machine, hours and cut_width."`
	Hours    string    `placeholder:"FILE" help:"Hours of each machine and day, a table with date, machine and hours; they go before those of tracks. The plan's rates are by productive hours."`
	Machine  string    `placeholder:"KEY" help:"Machine for worked ground whose file does not say: a key of the fleet."`
	Day      string    `placeholder:"DATE" help:"Day for worked ground whose file does not say, such as 2026-05-04."`
	CutWidth string    `placeholder:"LENGTH" help:"Cutting width of the head, such as 6ft, for tracks whose file does not say."`
	Cover    string    `placeholder:"CLASS" help:"What grows where no cover polygon says: open, light, medium or heavy."`
	Units    unitsFlag `default:"us" placeholder:"us|metric" help:"Units of what is told: acres and feet, or hectares and meters."`
	JSON     bool      `name:"json" help:"Write the report as JSON."`
}

// Run writes the report to standard output: it is all that the command makes.
func (c *progressCmd) Run(s streams) error {
	job, err := c.read()
	if err != nil {
		return err
	}
	job.tellIn(c.Units)
	cover, err := plan.ParseCover(c.Cover)
	if err != nil {
		return usageError{fmt.Errorf("--cover: %w", err)}
	}
	worked, hours, err := c.readWork(job)
	if err != nil {
		return err
	}
	meter := newMeter(s)
	defer meter.done()
	ground, zones, err := c.survey(job, meter)
	if err != nil {
		return err
	}
	planned := planFlags{class: cover}
	recommended, err := planned.plan(ground, zones, job, c.Fleet)
	if err != nil {
		return err
	}
	work, err := plan.WorkMap(ground, zones, cover)
	if err != nil {
		return err
	}
	report, err := progress.Tally(work, worked, hours, plan.ExpectedRates(recommended, job.book))
	if err != nil {
		return inputError{err}
	}
	meter.done()
	write := report.WriteText
	if c.JSON {
		write = report.WriteJSON
	}
	if err := write(s.out); err != nil {
		return err
	}
	return lotsLeftOut(ground, zones)
}

// readWork reads worked ground and hours.
func (c *progressCmd) readWork(job groundJob) (worked []progress.Worked, hours []progress.Hours, err error) {
	o := progress.Options{Machine: c.Machine, Day: c.Day}
	for _, m := range job.fleet {
		o.Machines = append(o.Machines, m.Key)
	}
	if c.CutWidth != "" {
		if o.CutWidthM, err = units.Length(c.CutWidth); err != nil {
			return nil, nil, usageError{fmt.Errorf("--cut-width: %w", err)}
		}
	}
	for _, file := range c.Files {
		data, err := fieldfile.Read(file)
		if err != nil {
			return nil, nil, inputError{err}
		}
		some, err := progress.ReadWorked(file, data, o)
		if err != nil {
			return nil, nil, inputError{err}
		}
		worked = append(worked, some...)
	}
	if c.Hours == "" {
		return worked, nil, nil
	}
	data, err := fieldfile.Read(c.Hours)
	if err != nil {
		return nil, nil, inputError{err}
	}
	if hours, err = progress.ReadHours(c.Hours, data, o); err != nil {
		return nil, nil, inputError{err}
	}
	return worked, hours, nil
}
