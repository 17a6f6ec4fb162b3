package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"github.com/alecthomas/kong"
	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/lots"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/resume"
	"github.com/acreband/acreband/zoning/text"
)

// batchFlags are what lots and merge share.
type batchFlags struct {
	Out      string   `required:"" placeholder:"DIR" help:"Folder for the files that are written."`
	Write    []string `default:"lots.csv,zones.geojson,failed.csv,sheet.html" placeholder:"NAME" help:"Files to write: lots.csv, zones.geojson, zones.gpkg, failed.csv, plan.csv, sheet.html (the overview: a map of what each lot needs, acres, the shared plan)."`
	Cover    string   `placeholder:"CLASS" help:"What grows on the lots, by which plan.csv and sheet.html figure days: open, light, medium or heavy. Default: no days."`
	Split    bool     `help:"Write the zones of each lot into a file of its own, in DIR/zones."`
	Progress string   `default:"auto" enum:"auto,json,none" placeholder:"auto|json|none" help:"Progress on standard error: a bar on a terminal and lines elsewhere, JSON lines for scripts, or none."`
}

// outputs are those that the flags ask for. The fleet file holds the figures of a plan.
func (f *batchFlags) outputs(fleetFile string) (lots.Outputs, error) {
	o, err := lots.OutputsNamed(f.Write)
	if err != nil {
		return o, usageError{fmt.Errorf("--write: %w", err)}
	}
	if o.Cover, err = plan.ParseCover(f.Cover); err != nil {
		return o, usageError{fmt.Errorf("--cover: %w", err)}
	}
	if (o.Plan || o.Sheet) && f.Cover != "" {
		if _, o.Book, err = readFleetWithPlan(fleetFile); err != nil {
			return o, inputError{err}
		}
	}
	o.Split = f.Split
	return o, checkFolder(f.Out)
}

type lotsCmd struct {
	groundFlags
	siteFlags
	batchFlags
	Parcels     string        `required:"" placeholder:"FILE" help:"Lots: GeoJSON, KML, KMZ, Shapefile (zipped too), GeoPackage or GPX. Each feature is a lot."`
	Where       string        `placeholder:"CONDITION" help:"Take only lots whose fields meet it, such as \"ZONING = 'R1' and ACRES >= 0.5\". Knows =, !=, <, <=, >, >=, in (...), is null, and, or, not."`
	Units       unitsFlag     `default:"us" placeholder:"us|metric" help:"Units of screen and files: acres, feet and miles, or hectares, meters and kilometers. What an earlier start or a part left is in its own."`
	Workers     int           `default:"${workers}" help:"Processes that map lots at once."`
	LotTimeout  time.Duration `default:"10m" placeholder:"TIME" help:"Set a lot aside that takes longer; 0 waits for ever."`
	Shard       string        `placeholder:"I/N" help:"Do the Ith of N parts only, and leave its journal in DIR for 'acreband merge'."`
	Anew        bool          `help:"Begin again, whatever an earlier run left in DIR."`
	RetryFailed bool          `help:"Try lots again that failed in an earlier run."`
	Log         string        `placeholder:"FILE" help:"Append what happens to a file, as JSON lines."`
	Metrics     string        `placeholder:"FILE" help:"Keep figures of the run in a file, as OpenMetrics text."`
}

// notInputs are flags that say how to run and change no result, those whose files are looked
// into, and units, which a journal knows itself.
var notInputs = []string{
	"help", "version", "elevation", "surface", "parcels", "fleet", "out", "write", "split", "progress", "cover",
	"units", "workers", "lot-timeout", "shard", "anew", "retry-failed", "log", "metrics", "offline", "cache", "cache-limit",
}

func (c *lotsCmd) Run(s streams, k *kong.Context) error {
	job, err := c.read()
	if err != nil {
		return err
	}
	surfaceOptions, err := c.surfaceOptions(job.raster)
	if err != nil {
		return err
	}
	if err := c.checkSpots(); err != nil {
		return err
	}
	outputs, err := c.outputs(c.Fleet)
	if err != nil {
		return err
	}
	shard, err := readShard(c.Shard)
	if err != nil {
		return usageError{err}
	}
	if c.Workers < 1 || c.LotTimeout < 0 {
		return usageError{errors.New("--workers must be at least 1, and --lot-timeout no less than 0")}
	}
	settings, err := settingsOf(k.Flags(), notInputs)
	if err != nil {
		return inputError{err}
	}
	child, err := anotherProcess()
	if err != nil {
		return err
	}
	log, closeLog, err := openLog(c.Log)
	if err != nil {
		return err
	}
	defer closeLog()
	collectSteadily()
	job.parcels.Where = c.Where
	job.tellIn(c.Units)
	show := newProgress(c.Progress, s.err)
	stop, done := stopOnInterrupt(s.err)
	defer done()
	result, err := lots.Run(stop, lots.Config{
		Job: lots.Job{
			Parcels: c.Parcels, ParcelOptions: job.parcels, Boundary: job.quality,
			Elevation: job.elevation, RasterOptions: job.raster, Surface: c.Surface, SurfaceOptions: surfaceOptions, FindSurface: c.Growth == "auto",
			Site: c.files(orb.Bound{}, job.raster), Fleet: job.fleet, Options: job.judge,
			CacheBytes: lots.DefaultCacheBytes,
		},
		Version: version(), Settings: settings, Child: child,
		Dir: c.Out, Outputs: outputs, Workers: c.Workers, Limit: c.LotTimeout, Shard: shard,
		Anew: c.Anew, RetryFailed: c.RetryFailed,
		Log: log, Tell: show.tell, Metrics: c.Metrics,
	})
	show.done()
	for _, w := range result.Warnings {
		warn(s.err, w)
	}
	if err != nil {
		return asExit(err)
	}
	return c.tellResult(s.err, shard, result)
}

// warn warns people of something, in lines as wide as a terminal.
func warn(w io.Writer, words string) {
	var b strings.Builder
	text.Fold(&b, "warning: ", words, columns)
	_, _ = io.WriteString(w, b.String()) // to people: nothing depends on it
}

// asExit sorts the errors of a run by whose fault they are.
func asExit(err error) error {
	if errors.As(err, new(*lots.Fault)) || errors.Is(err, resume.ErrInputs) || errors.Is(err, resume.ErrChanged) || errors.Is(err, lots.ErrUnfinished) || errors.Is(err, lots.ErrParts) {
		return inputError{err}
	}
	return err
}

// tellResult tells people what a run came to.
func (c *lotsCmd) tellResult(w io.Writer, shard lots.Shard, r lots.Result) error {
	var b strings.Builder
	words := fmt.Sprintf("%d lots: %d mapped, %d failed", r.Lots, r.Lots-r.Failed, r.Failed)
	if r.Again > 0 {
		words += fmt.Sprintf("; %d of them by an earlier start", r.Again)
	}
	text.Fold(&b, "", words, columns)
	for _, n := range []struct {
		n    int
		what string
	}{{r.SameName, "have the name of an earlier lot"}, {r.Unnamed, "have no name and are called by their place in the file"},
		{r.SameGround, "have the ground of an earlier lot, which sums count again and the plan does not"}} {
		if n.n > 0 {
			text.Fold(&b, "warning: ", fmt.Sprintf("%d lots %s: see the column notes of lots.csv", n.n, n.what), columns)
		}
	}
	tellRepairs(&b, r.Repairs)
	tellPlan(&b, c.Units.Units, r.Plan)
	if shard.N > 0 {
		text.Fold(&b, "", fmt.Sprintf("part %d of %d is done; 'acreband merge' joins the parts", shard.I, shard.N), columns)
	}
	if _, err := io.WriteString(w, b.String()); err != nil {
		return err
	}
	return someFailed(r.Failed, r.Lots, c.Out, r.FirstFault)
}

// tellRepairs tells people of boundaries that were not in order.
func tellRepairs(b *strings.Builder, r lots.Repairs) {
	if words := r.Words(); words != "" {
		text.Fold(b, "", words+": see the column repaired", columns)
	}
}

// someFailed is the error where lots failed.
func someFailed(failed, lots int, dir, first string) error {
	if failed == 0 {
		return nil
	}
	where := ""
	if first != "" {
		where = fmt.Sprintf(": see %s; the first: %s", filepath.Join(dir, "failed.csv"), first)
	}
	return fmt.Errorf("%w: %d of %d%s", errSomeLots, failed, lots, where)
}

// readShard reads I/N.
func readShard(text string) (s lots.Shard, err error) {
	if text == "" {
		return s, nil
	}
	var rest string
	n, _ := fmt.Sscanf(text+" ", "%d/%d%s", &s.I, &s.N, &rest)
	if n != 2 || s.I < 1 || s.N < 1 || s.I > s.N {
		return s, fmt.Errorf("--shard %q; write I/N with I from 1 to N, such as 3/8", text)
	}
	return s, nil
}

// openLog opens the structured log; with no name it goes nowhere.
func openLog(path string) (log *slog.Logger, done func(), err error) {
	if path == "" {
		return nil, func() {}, nil
	}
	f, err := os.OpenFile(path, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o666)
	if err != nil {
		return nil, nil, fmt.Errorf("--log: %w", err)
	}
	return slog.New(slog.NewJSONHandler(f, nil)), func() { _ = f.Close() }, nil
}

// defaultWorkers is one for each processor.
func defaultWorkers() string { return fmt.Sprint(runtime.NumCPU()) }

// stopOnInterrupt stops a run at the first interrupt, and at once at the second.
func stopOnInterrupt(w io.Writer) (lots.Stop, func()) {
	soon, first := context.WithCancel(context.Background())
	now, second := context.WithCancel(context.Background())
	signals, done := interrupts()
	go func() {
		if _, ok := <-signals; !ok {
			return
		}
		fmt.Fprintln(w, "\nstopping when what is being worked on is finished; interrupt again to stop at once")
		first()
		if _, ok := <-signals; ok {
			second()
		}
	}()
	return lots.Stop{Soon: soon, Now: now}, func() { done(); first(); second() }
}
