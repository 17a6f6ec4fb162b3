package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"time"

	"github.com/acreband/acreband/zoning/lots"
)

// runProgress shows how far a run of lots is.
type runProgress struct {
	out   io.Writer
	asked string // auto, json or none
	meter *meter
	said  time.Time
	last  lots.Progress
}

func newProgress(asked string, out io.Writer) *runProgress {
	return &runProgress{out: out, asked: asked, meter: newMeter(streams{io.Discard, out})}
}

// jsonEvery is the time between two JSON lines of one step.
const jsonEvery = time.Second

// tell belongs to one goroutine.
func (p *runProgress) tell(now lots.Progress) {
	if now.Step == "" {
		return
	}
	switch p.asked {
	case "auto":
		p.meter.tellStep(now.Step, inWords(now, !p.meter.terminal), now.Done, now.Total)
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

// inWords says what a run does, with the time left where no bar shows it.
func inWords(now lots.Progress, left bool) string {
	words := now.Step + " lots"
	if now.Failed > 0 {
		words += fmt.Sprintf(", %d failed", now.Failed)
	}
	if now.Rate > 0 {
		words += fmt.Sprintf(", %.0f a second", now.Rate)
	}
	if left && now.Left > 0 {
		words += fmt.Sprintf(", %v left", now.Left.Round(time.Second))
	}
	return words
}

func (p *runProgress) done() { p.meter.done() }
