package lots

import (
	"encoding/gob"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// killsEnv asks for more kills than a quick test does.
const killsEnv = "ACREBAND_KILLS"

// Whom a kill is for.
const (
	theSupervisor = "supervisor"
	theReader     = "reader"
	theWorker     = "worker"
)

// asksForPID makes a process of a run leave its number in a folder, under what it is.
const asksForPID = "ACREBAND_TEST_PIDS"

// leavePID does so.
func leavePID() {
	dir, asked := os.LookupEnv(asksForPID)
	if !asked {
		return
	}
	who := theReader
	if _, ok := os.LookupEnv("GOMAXPROCS"); ok { // see environment
		who = theWorker
	}
	_ = os.WriteFile(filepath.Join(dir, fmt.Sprintf("%s-%d", who, os.Getpid())), nil, 0o666)
}

// A run whose supervisor, reader or worker is killed at random moments, the supervisor's being
// started again each time, gives the bytes of one in which nothing was, and leaves nothing else.
func TestKilledRunsGoOn(t *testing.T) {
	kills := 9
	if n, err := strconv.Atoi(os.Getenv(killsEnv)); err == nil {
		kills = n
	}
	c := config(t)
	c.Outputs.Split, c.Outputs.Package = true, true
	_, want := ran(t, c)
	lots := zonesIn(t, c.Dir)
	r := rand.New(rand.NewPCG(5, 6))
	killed := map[string]int{}
	for total := 0; total < kills; {
		c = elsewhere(t, c)
		// Later and later, for on a slow machine a run gets nowhere in a moment.
		for latest := 300 * time.Millisecond; ; latest += latest / 4 {
			whom := []string{theSupervisor, theReader, theWorker}[total%3]
			hit, done := killOne(t, c, whom, time.Duration(r.Int64N(int64(latest))))
			if hit {
				killed[whom]++
				total++
			}
			if done {
				break
			}
		}
		got := outputsIn(t, c.Dir)
		mustBeSame(t, want, got, killed)
		require.Equal(t, lots, zonesIn(t, c.Dir))
		mustHoldNoParts(t, c.Dir)
	}
	t.Logf("killed: %v", killed)
	for _, whom := range []string{theSupervisor, theReader, theWorker} {
		require.Positive(t, killed[whom], whom)
	}
}

// zonesIn reads the files of single lots.
func zonesIn(t *testing.T, dir string) map[string]string {
	t.Helper()
	return outputsIn(t, filepath.Join(dir, splitName))
}

// mustHoldNoParts looks for what killed runs have left.
func mustHoldNoParts(t *testing.T, dir string) {
	t.Helper()
	left, err := filepath.Glob(filepath.Join(dir, ".*"))
	require.NoError(t, err)
	require.Empty(t, left)
}

// killOne runs in a process of its own and kills that, or one of those that it started, after a
// while. It tells whether one was hit that was at work, and whether the run came to its end.
func killOne(t *testing.T, c Config, whom string, after time.Duration) (hit, done bool) {
	t.Helper()
	path, pids := filepath.Join(t.TempDir(), "config"), t.TempDir()
	f, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, errors.Join(gob.NewEncoder(f).Encode(runConfig{c.Job, c.Version, c.Settings, c.Dir, c.Workers, c.Outputs}), f.Close()))
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), asRun+"="+path, asksForPID+"="+pids)
	var said strings.Builder
	cmd.Stderr = &said
	require.NoError(t, cmd.Start())
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	if whom == theSupervisor {
		kill := time.AfterFunc(after, func() { _ = cmd.Process.Kill() })
		defer kill.Stop()
	} else {
		kill := make(chan bool, 1)
		go func() { kill <- killChild(pids, whom, after) }()
		defer func() { hit = <-kill && done }()
	}
	err = <-ended
	if err != nil && strings.Contains(said.String(), ErrBusy.Error()) {
		t.Fatalf("the run killed before still holds the folder")
	}
	if err != nil && cmd.ProcessState.Exited() {
		t.Fatalf("the run failed: %s", said.String())
	}
	return err != nil, err == nil
}

// killChild waits for a child of a kind, and a part of the time after that, and kills it. It
// tells whether that was there.
func killChild(pids, whom string, after time.Duration) bool {
	for range 1000 {
		found, _ := filepath.Glob(filepath.Join(pids, whom+"-*")) // the pattern is sound
		if len(found) == 0 {
			time.Sleep(5 * time.Millisecond)
			continue
		}
		time.Sleep(after / 3)
		pid, _ := strconv.Atoi(strings.TrimPrefix(filepath.Base(found[0]), whom+"-"))
		child, err := os.FindProcess(pid)
		return err == nil && child.Kill() == nil
	}
	return false
}
