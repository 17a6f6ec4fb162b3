package lots

import (
	"context"
	"encoding/gob"
	"fmt"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/child"
	"github.com/acreband/acreband/zoning/resume"
)

// The test's program is also the processes of a run, and a whole run for tests that
// kill one, as the environment says.
const (
	asProcess = "ACREBAND_TEST_PROCESS" // serve; its value lists faults, see faulty
	asRun     = "ACREBAND_TEST_RUN"     // run the Config in this file
)

func TestMain(m *testing.M) {
	if faults, ok := os.LookupEnv(asProcess); ok {
		leavePID()
		var out io.Writer = os.Stdout
		if what, ok := strings.CutPrefix(faults, "reader opens the file and "); ok {
			out = &openingDies{os.Stdout, what}
		} else if place, ok := strings.CutPrefix(faults, "reader:"); ok {
			out = &deadly{os.Stdout, place, func() { fault() }}
		} else if at, ok := strings.CutPrefix(faults, "reader once:"); ok {
			place, file, _ := strings.Cut(at, ":")
			out = &deadly{os.Stdout, place, func() { fault() }}
			if _, err := os.Stat(file); err != nil {
				out = os.Stdout
			} else if _, isWorker := os.LookupEnv("GOMAXPROCS"); !isWorker {
				_ = os.Remove(file)
			}
		} else if place, ok := strings.CutPrefix(faults, "reader eats:"); ok {
			out = &deadly{os.Stdout, place, eat}
		} else if place, ok := strings.CutPrefix(faults, "reader hangs:"); ok {
			out = &deadly{os.Stdout, place, func() {}}
		}
		err := Serve(os.Stdin, out, func(job Job) (Mapper, error) {
			m, err := NewMapper(job)
			return &faulty{m, strings.Fields(faults)}, err
		})
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	if path, ok := os.LookupEnv(asRun); ok {
		f, err := os.Open(path)
		if err != nil {
			panic(err)
		}
		var sent runConfig
		if err := gob.NewDecoder(f).Decode(&sent); err != nil {
			panic(err)
		}
		if _, err := Run(never(), sent.config()); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// deadly ends a reader when it begins with the lot of a place, or has it hang there.
type deadly struct {
	io.Writer
	place string
	of    func()
}

func (d *deadly) Write(b []byte) (int, error) {
	n, err := d.Writer.Write(b)
	if f, e := parseFrame(b[child.PrefixBytes:]); e == nil && f.kind == kindLook && fmt.Sprint(f.place) == d.place {
		go d.of()
		time.Sleep(time.Hour)
	}
	return n, err
}

// openingDies ends a reader, or has it hang, when it has opened the elevation and comes to
// the boundary file.
type openingDies struct {
	io.Writer
	what string
}

func (d *openingDies) Write(b []byte) (int, error) {
	n, err := d.Writer.Write(b)
	if f, e := parseFrame(b[child.PrefixBytes:]); e == nil && f.kind == kindReady {
		if d.what == "dies" {
			go func() { fault() }()
		}
		time.Sleep(time.Hour)
	}
	return n, err
}

// runConfig is what a Config holds that another process can be sent.
type runConfig struct {
	Job      Job
	Version  string
	Settings resume.Inputs
	Dir      string
	Workers  int
	Outputs  Outputs
}

func (r runConfig) config() Config {
	return Config{Job: r.Job, Version: r.Version, Settings: r.Settings, Dir: r.Dir, Workers: r.Workers, Outputs: r.Outputs, Child: withFaults()}
}

// withFaults makes processes in which things go wrong; see faulty.
func withFaults(faults ...string) func() *exec.Cmd {
	return func() *exec.Cmd {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), asProcess+"="+strings.Join(faults, " "))
		return cmd
	}
}

// never stops nothing.
func never() Stop { return Stop{context.Background(), context.Background()} }

// faulty does something bad before it maps a lot: what a fault LOT:WHAT or
// LOT:WHAT:FILE says. With a FILE it does so once: only if it can take FILE away.
type faulty struct {
	Mapper
	faults []string
}

func (m *faulty) Map(lot zoning.Lot) (*zoning.ZoneMap, error) {
	for _, f := range m.faults {
		part := strings.SplitN(f, ":", 3)
		if part[0] != lot.Lot && part[0] != "*" {
			continue
		}
		if len(part) == 3 && !slices.Contains([]string{"truncate", "remove", "overwrite"}, part[1]) && os.Remove(part[2]) != nil {
			continue
		}
		switch part[1] {
		case "fault":
			go func() { fault() }() // where nothing recovers it, as in C
			time.Sleep(time.Hour)
		case "kill":
			self, _ := os.FindProcess(os.Getpid())
			_ = self.Kill()
			time.Sleep(time.Hour)
		case "hang":
			time.Sleep(time.Hour)
		case "slow":
			time.Sleep(20 * time.Millisecond)
		case "truncate":
			_ = os.Truncate(part[2], 1000)
		case "remove":
			_ = os.Remove(part[2])
		case "overwrite": // by what lies beside it
			if other, err := os.ReadFile(part[2] + ".other"); err == nil {
				_ = os.WriteFile(part[2], other, 0o666)
			}
		}
	}
	return m.Mapper.Map(lot)
}
