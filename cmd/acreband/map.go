package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/text"
)

type mapCmd struct {
	groundFlags
	parcelFlags
	planFlags
	writeFlags
	Out string `default:"out" placeholder:"DIR" help:"Folder for what is written; '-' writes the GeoJSON to standard output."`
	Why *spot  `placeholder:"LON,LAT" help:"Explain one spot in words beside: its slope, and what keeps each machine off."`
}

func (c *mapCmd) Run(s streams) error {
	job, err := c.read()
	if err != nil {
		return err
	}
	if err := c.planFlags.on(job.book); err != nil {
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
	ground, zones, err := c.survey(job, s)
	if err != nil {
		return err
	}
	if c.HelpAt != nil && !ground.IsNear(orb.Point(*c.HelpAt)) {
		return usageError{fmt.Errorf("--help-at %s lies more than 2 miles from the lots; longitude comes first", text.Degrees(orb.Point(*c.HelpAt)))}
	}
	plan, err := c.plan(ground, zones, job, c.Fleet)
	if err != nil {
		return err
	}
	zones.Plan = plan
	if err := proposeUnloads(ground, zones, plan); err != nil {
		return err
	}
	if err := c.write(chosen, results{sheetFlags: &c.sheetFlags, ground: ground, zones: zones, plan: plan}, s.out); err != nil {
		return err
	}
	if err := printMap(s.err, zones, plan); err != nil {
		return err
	}
	if c.Why != nil {
		words, err := ground.Why(zones, orb.Point(*c.Why))
		if err != nil {
			return usageError{fmt.Errorf("--why: %w", err)}
		}
		fmt.Fprintln(s.err, "\n"+strings.Join(words, "\n  "))
	}
	return lotsLeftOut(ground, zones)
}

// printMap prints the zones and what to bring to them, then what a reader of both must
// know.
func printMap(w io.Writer, zones *zoning.ZoneMap, bring *plan.Plan) error {
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
