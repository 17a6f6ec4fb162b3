package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"time"

	"github.com/acreband/acreband/zoning/batch"
)

// progress shows how far a run of lots is.
type progress struct {
	out   io.Writer
	asked string // auto, json or none
	meter *meter
	said  time.Time
	last  batch.Progress
}

func newProgress(asked string, out io.Writer) *progress {
	return &progress{out: out, asked: asked, meter: newMeter(out)}
}

// jsonEvery is the time between two JSON lines of one step.
const jsonEvery = time.Second

// tell belongs to one goroutine.
func (p *progress) tell(now batch.Progress) {
	if now.Step == "" {
		return
	}
	switch p.asked {
	case "auto":
		step := now.Step + " lots"
		if now.Failed > 0 {
			step = fmt.Sprintf("%s, %d failed", step, now.Failed)
		}
		if !p.meter.terminal && now.Rate > 0 {
			step = fmt.Sprintf("%s lots (%.3g a second, %s left)", now.Step, now.Rate, now.Left.Round(time.Second))
		}
		p.meter.tellStep(now.Step, step, now.Done, now.Total)
	case "json":
		if now.Step == p.last.Step && (now == p.last || time.Since(p.said) < jsonEvery && now.Done < now.Total) {
			return
		}
		p.said, p.last = time.Now(), now
		line, err := json.Marshal(struct {
			Step        string  `json:"step"`
			Done        int     `json:"done"`
			Total       int     `json:"total"`
			Failed      int     `json:"failed"`
			PerSecond   float64 `json:"per_second"`
			SecondsLeft float64 `json:"seconds_left"`
		}{now.Step, now.Done, now.Total, now.Failed, math.Round(10*now.Rate) / 10, math.Round(now.Left.Seconds())})
		if err == nil {
			fmt.Fprintf(p.out, "%s\n", line)
		}
	}
}

func (p *progress) done() { p.meter.done() }
