package lots

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"time"

	"github.com/acreband/acreband/zoning/write"
)

// watch tells people and machines how far a run is.
type watch struct {
	tell    func(Progress)
	metrics string
	log     interface{ Warn(msg string, args ...any) }

	mu    sync.Mutex
	now   Progress
	began time.Time // of the step
	first int       // done when it began
	stop  context.CancelFunc
	ended sync.WaitGroup
}

// Times between two tellings, and between two writings of metrics.
const (
	tellEvery    = 200 * time.Millisecond
	metricsEvery = 10 * time.Second
)

func newWatch(c Config) (*watch, error) {
	w := &watch{tell: c.Tell, metrics: c.Metrics, log: c.Log}
	if w.tell == nil {
		w.tell = func(Progress) {}
	}
	if err := w.writeMetrics(); err != nil {
		return nil, fmt.Errorf("the metrics cannot be written: %w", err)
	}
	until, stop := context.WithCancel(context.Background())
	w.stop = stop
	w.ended.Go(func() { w.keep(until) })
	return w, nil
}

func (w *watch) keep(until context.Context) {
	tell, metrics := time.NewTicker(tellEvery), time.NewTicker(metricsEvery)
	defer tell.Stop()
	defer metrics.Stop()
	for {
		select {
		case <-until.Done():
			return
		case <-tell.C:
			w.tell(w.progress())
		case <-metrics.C:
			if err := w.writeMetrics(); err != nil {
				w.log.Warn("the metrics cannot be written", "why", err.Error())
			}
		}
	}
}

// end tells a last time.
func (w *watch) end() {
	w.stop()
	w.ended.Wait()
	w.tell(w.progress())
	if err := w.writeMetrics(); err != nil {
		w.log.Warn("the metrics cannot be written", "why", err.Error())
	}
}

func (w *watch) step(step string, done, total, failed int) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.now = Progress{Step: step, Done: done, Total: total, Failed: failed}
	w.began, w.first = time.Now(), done
}

// at says how many lots of the step are through.
func (w *watch) at(n int) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.now.Done = n
}

// done counts a lot that is finished.
func (w *watch) done(failed bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.now.Done++
	if failed {
		w.now.Failed++
	}
}

// progress is how far the run is, with its rate.
func (w *watch) progress() Progress {
	w.mu.Lock()
	defer w.mu.Unlock()
	p := w.now
	if took := time.Since(w.began).Seconds(); took > 0 && p.Done > w.first {
		p.Rate = float64(p.Done-w.first) / took
		if p.Total > p.Done {
			p.Left = time.Duration(float64(p.Total-p.Done) / p.Rate * float64(time.Second))
		}
	}
	return p
}

// writeMetrics writes the figures as OpenMetrics text, whole or not at all.
func (w *watch) writeMetrics() error {
	if w.metrics == "" {
		return nil
	}
	p := w.progress()
	var b strings.Builder
	gauge := func(name, help string, v float64) {
		fmt.Fprintf(&b, "# HELP acreband_%s %s\n# TYPE acreband_%s gauge\nacreband_%s %g\n", name, help, name, name, v)
	}
	gauge("lots", "Lots of this run or shard; 0 until they are read.", float64(p.Total))
	gauge("lots_done", "Lots read, mapped or written in the step at work.", float64(p.Done))
	gauge("lots_failed", "Lots that failed.", float64(p.Failed))
	gauge("lots_per_second", "Rate since the step began.", p.Rate)
	gauge("seconds_left", "Time to the end of the step at that rate.", p.Left.Seconds())
	for _, step := range []string{"reading", "mapping", "writing"} {
		on := 0
		if step == p.Step {
			on = 1
		}
		if step == "reading" {
			b.WriteString("# HELP acreband_step The step at work.\n# TYPE acreband_step gauge\n")
		}
		fmt.Fprintf(&b, "acreband_step{step=%q} %d\n", step, on)
	}
	b.WriteString("# EOF\n")
	return write.Bytes(w.metrics, []byte(b.String()))
}
