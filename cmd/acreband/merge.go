package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"github.com/acreband/acreband/zoning/lots"
	"github.com/acreband/acreband/zoning/text"
)

type mergeCmd struct {
	batchFlags
	Fleet string   `placeholder:"FILE" help:"Fleet file with the figures by which plan.csv and sheet.html figure days. Default: the built-in figures."`
	Parts []string `arg:"" name:"part" help:"Journals of the parts, or folders that hold them."`
}

func (c *mergeCmd) Run(s streams) error {
	outputs, err := c.outputs(c.Fleet)
	if err != nil {
		return err
	}
	collectSteadily()
	show := newProgress(c.Progress, s.err)
	made, err := lots.Merge(context.Background(), c.Out, c.Parts, outputs, func(done, total int) {
		show.tell(lots.Progress{Step: "writing", Done: done, Total: total})
	})
	show.done()
	if err != nil {
		return asExit(err)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%d lots: %d mapped, %d failed\n", made.Lots, made.Lots-made.Failed, made.Failed)
	for _, w := range made.Warnings {
		text.Fold(&b, "warning: ", w, columns)
	}
	tellRepairs(&b, made.Repairs)
	tellPlan(&b, made.Units, made.Plan)
	if _, err := io.WriteString(s.err, b.String()); err != nil {
		return err
	}
	return someFailed(made.Failed, made.Lots, c.Out, made.FirstFault)
}
