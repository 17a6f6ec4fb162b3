package main

import (
	"context"
	"fmt"
	"io"
	"slices"

	"github.com/alecthomas/kong"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/text"
)

type mapCmd struct {
	groundFlags
	parcelFlags
	planFlags
	writeFlags
	Out     string    `default:"out" placeholder:"DIR" help:"Folder for what is written; '-' writes the GeoJSON to standard output."`
	Why     *spot     `placeholder:"LAT,LON" help:"Explain one spot in words beside: its slope, and what keeps each machine off."`
	Units   unitsFlag `default:"us" placeholder:"us|metric" help:"Units of screen, sheet and files: acres, feet and pounds, or hectares, meters and kilograms."`
	Details bool      `help:"Print everything about the map below the answer: tables, sources of limits, rates, what was assumed, cautions."`
}

func (c *mapCmd) Run(s streams, k *kong.Context) error {
	job, err := c.read()
	if err != nil {
		return err
	}
	job.tellIn(c.Units)
	c.told = c.Units.Units
	if err := c.planFlags.on(job.book, job.fleet); err != nil {
		return err
	}
	chosen, err := c.chosen()
	if err != nil {
		return err
	}
	if c.Out == "-" {
		err = c.checkAlone()
	} else {
		err = checkFolder(c.Out)
	}
	if err != nil {
		return err
	}
	meter := newMeter(s.unlessData(c.Out))
	defer meter.done()
	ground, zones, err := c.survey(job, meter)
	if err != nil {
		return err
	}
	if c.HelpAt != nil && !ground.IsNear(c.HelpAt.at(ground.Lots)) {
		return usageError{fmt.Errorf("--help-at %s lies more than %s from the lots", text.Degrees(c.HelpAt.at(ground.Lots)), c.Units.LongLength(mapping.FarM))}
	}
	meter.tell("planning", 0, 0)
	zones, bring, err := c.planned(context.Background(), ground, zones, job, c.Fleet)
	if err != nil {
		return err
	}
	made := results{sheetFlags: &c.sheetFlags, ground: ground, zones: zones, plan: bring}
	picked := c.picking(chosen, made)
	if err := proposeUnloads(ground, zones, bring); err != nil {
		return err
	}
	meter.tell("writing", 0, 0)
	if err := c.write(chosen, made, picked, s.out); err != nil {
		return err
	}
	meter.done()
	brief := sheet.Brief{Map: zones, Plan: bring, Failed: lotsMissing(ground, zones), Read: c.understood(ground), Next: c.nextStep(k, zones, bring)}
	if c.Out != "-" {
		brief.Dir, brief.Files = c.Out, fileNames(chosen, &c.sheetFlags)
	}
	if err := c.show(newScreen(s.unlessData(c.Out).out), brief, ground); err != nil {
		return err
	}
	return lotsLeftOut(ground, zones)
}

// show prints the brief, and what was asked for beside it.
func (c *mapCmd) show(on screen, brief sheet.Brief, ground *mapping.Ground) error {
	brief.Color = on.color
	if err := brief.Write(on.out); err != nil {
		return err
	}
	if c.Why != nil {
		words, err := ground.Why(brief.Map, c.Why.at(ground.Lots))
		if err != nil {
			return usageError{fmt.Errorf("--why: %w", err)}
		}
		if err := on.folded("", words...); err != nil {
			return err
		}
	}
	if !c.Details {
		return nil
	}
	fmt.Fprintln(on.out)
	return printDetails(on.out, brief.Map, brief.Plan)
}

// printDetails prints the zones and the plan of them, then what a reader of both must
// know.
func printDetails(w io.Writer, zones *zoning.ZoneMap, bring *plan.Plan) error {
	if err := sheet.Zones(w, zones); err != nil {
		return err
	}
	if err := plan.WriteAnswer(w, bring); err != nil {
		return err
	}
	fmt.Fprintln(w)
	if err := sheet.Remarks(w, zones); err != nil {
		return err
	}
	fmt.Fprintln(w)
	return plan.WriteRemarks(w, bring)
}

// understood says how amounts were read, and spots that may be read in two ways.
func (c *mapCmd) understood(ground *mapping.Ground) []string {
	box := boxOf(ground.Lots)
	said := slices.Clone(c.said)
	for _, given := range c.Staging {
		if place, ok := spotOrFile(given); ok {
			said = append(said, understood("--staging", given, place.Near(box)))
		}
	}
	if c.HelpAt != nil {
		said = append(said, understood("--help-at", c.HelpAt.given, c.HelpAt.place.Near(box)))
	}
	if c.Why != nil {
		said = append(said, understood("--why", c.Why.given, c.Why.place.Near(box)))
	}
	return slices.DeleteFunc(said, func(s string) bool { return s == "" })
}
