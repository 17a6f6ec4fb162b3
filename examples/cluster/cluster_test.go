//go:build unix

// Package cluster holds no program: what is here is run by a cluster.
package cluster

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	batchv1 "k8s.io/api/batch/v1"
	corev1 "k8s.io/api/core/v1"
	"sigs.k8s.io/yaml"
)

// job reads a file as the API's own type, and refuses fields that it has not.
func job(t *testing.T, file string) batchv1.Job {
	t.Helper()
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	var j batchv1.Job
	require.NoError(t, yaml.UnmarshalStrict(text, &j), file)
	require.Equal(t, "batch/v1", j.APIVersion)
	require.Equal(t, "Job", j.Kind)
	return j
}

func env(c corev1.Container) map[string]string {
	out := map[string]string{}
	for _, e := range c.Env {
		out[e.Name] = e.Value
	}
	return out
}

// Rules of the batch/v1 API that its types do not hold: Kubernetes documentation, "Jobs".
func TestTheJobsAreSound(t *testing.T) {
	lots := job(t, "job.yaml")
	s := lots.Spec
	require.Equal(t, batchv1.IndexedCompletion, *s.CompletionMode)
	require.LessOrEqual(t, *s.Parallelism, *s.Completions)
	// backoffLimitPerIndex asks for the Indexed mode and for pods that are not restarted.
	require.NotNil(t, s.BackoffLimitPerIndex)
	for file, j := range map[string]batchv1.Job{"job.yaml": lots, "merge.yaml": job(t, "merge.yaml")} {
		pod := j.Spec.Template.Spec
		require.Equal(t, corev1.RestartPolicyNever, pod.RestartPolicy, file)
		volumes := map[string]bool{}
		for _, v := range pod.Volumes {
			require.NotNil(t, v.PersistentVolumeClaim, file)
			volumes[v.Name] = true
		}
		require.Len(t, pod.Containers, 1)
		for _, m := range pod.Containers[0].VolumeMounts {
			require.True(t, volumes[m.Name], "%s: %s", file, m.Name)
		}
		r := pod.Containers[0].Resources
		require.True(t, r.Requests.Memory().Cmp(*r.Limits.Memory()) <= 0, file)
	}
	e := env(s.Template.Spec.Containers[0])
	require.Equal(t, strconv.Itoa(int(*s.Completions)), e["PARTS"])
	require.Equal(t, e["OUT"], env(job(t, "merge.yaml").Spec.Template.Spec.Containers[0])["PARTS_DIR"])
}

// here runs what a container would, with its variables set for this machine.
type here struct {
	bin string
	set map[string]string
}

func (h here) command(c corev1.Container) *exec.Cmd {
	cmd := exec.Command(c.Command[0], append(c.Command[1:], c.Args...)...)
	cmd.Env = append(os.Environ(), "PATH="+h.bin+string(os.PathListSeparator)+os.Getenv("PATH"))
	all := env(c)
	for k, v := range h.set {
		all[k] = v
	}
	for k, v := range all {
		cmd.Env = append(cmd.Env, k+"="+v)
	}
	return cmd
}

// Parts as processes of this machine, one of which is killed and started again, give
// the files of one run.
func TestPartsOnOneMachine(t *testing.T) {
	bin, dir := t.TempDir(), t.TempDir()
	build := exec.Command("go", "build", "-o", filepath.Join(bin, "acreband"), "./cmd/acreband")
	build.Dir = "../.." // a module of its own: see go.mod here
	said, err := build.CombinedOutput()
	require.NoError(t, err, string(said))
	parts, merged, whole := filepath.Join(dir, "parts"), filepath.Join(dir, "county"), filepath.Join(dir, "whole")
	h := here{bin, map[string]string{
		"ELEVATION": "../../testdata/jacksboro_dem.tif", "PARCELS": "../../testdata/tracts.geojson",
		"PARTS": "4", "WORKERS": "1", "OUT": parts, "XDG_CACHE_HOME": dir,
	}}
	container := job(t, "job.yaml").Spec.Template.Spec.Containers[0]
	part := func(i int) *exec.Cmd {
		cmd := h.command(container)
		cmd.Env = append(cmd.Env, fmt.Sprint("JOB_COMPLETION_INDEX=", i))
		return cmd
	}
	killMidway(t, part(2), filepath.Join(parts, "run-3-of-4.journal"))
	var all sync.WaitGroup
	errs := make([]error, 4)
	for i := range 4 {
		all.Go(func() {
			if said, err := part(i).CombinedOutput(); err != nil {
				errs[i] = fmt.Errorf("part %d: %w: %s", i, err, said)
			}
		})
	}
	all.Wait()
	require.NoError(t, errors.Join(errs...))
	h.set["PARTS_DIR"], h.set["OUT"] = parts, merged
	said, err = h.command(job(t, "merge.yaml").Spec.Template.Spec.Containers[0]).CombinedOutput()
	require.NoError(t, err, string(said))

	said, err = exec.Command(filepath.Join(bin, "acreband"), "lots", "--elevation", h.set["ELEVATION"], "--parcels", h.set["PARCELS"],
		"--out", whole, "--write", "lots.csv,zones.gpkg,failed.csv", "--progress", "none").CombinedOutput()
	require.NoError(t, err, string(said))
	for _, name := range []string{"lots.csv", "zones.gpkg", "failed.csv"} {
		want, err := os.ReadFile(filepath.Join(whole, name))
		require.NoError(t, err)
		got, err := os.ReadFile(filepath.Join(merged, name))
		require.NoError(t, err)
		require.True(t, string(want) == string(got), name)
	}
	require.Equal(t, 31, strings.Count(string(mustRead(t, filepath.Join(merged, "lots.csv"))), "\n"))
}

func mustRead(t *testing.T, path string) []byte {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return text
}

// killMidway starts a part and kills it, and what it started, when its journal holds
// something.
func killMidway(t *testing.T, cmd *exec.Cmd, journal string) {
	t.Helper()
	cmd.SysProcAttr = ownGroup()
	require.NoError(t, cmd.Start())
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	for {
		info, err := os.Stat(journal)
		if err != nil {
			require.ErrorIs(t, err, fs.ErrNotExist)
		} else if info.Size() > 0 {
			killGroup(cmd)
			require.Error(t, <-ended, "it was through before it was killed")
			return
		}
		select {
		case err := <-ended:
			t.Fatalf("it ended before its journal was begun: %v", err)
		case <-time.After(time.Millisecond):
		}
	}
}
