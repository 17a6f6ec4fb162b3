//go:build linux

package cluster

import (
	"crypto/rand"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// slurm is a cluster of one node on this machine, of Debian's packages.
type slurm struct {
	t    *testing.T
	dir  string
	conf string
}

// startSlurm starts munge, the controller and the node's daemon in a folder of their own.
func startSlurm(t *testing.T) *slurm {
	t.Helper()
	for _, program := range []string{"munged", "slurmctld", "slurmd", "sbatch", "squeue", "scontrol"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Skipf("no Slurm here: %v (Debian: slurmctld, slurmd, slurm-client, munge)", err)
		}
	}
	if os.Getuid() != 0 {
		t.Skip("a Slurm of one's own is started by root")
	}
	host, err := os.Hostname()
	require.NoError(t, err)
	host, _, _ = strings.Cut(host, ".")
	dir, err := os.MkdirTemp("", "slurm") // a socket's path is short
	require.NoError(t, err)
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	s := &slurm{t, dir, filepath.Join(dir, "slurm.conf")}
	for _, name := range []string{"state", "spool"} {
		require.NoError(t, os.Mkdir(filepath.Join(dir, name), 0o755))
	}
	require.NoError(t, os.Chmod(dir, 0o755))
	key := make([]byte, 1024)
	_, err = rand.Read(key)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "key"), key, 0o400))
	require.NoError(t, os.WriteFile(s.conf, fmt.Appendf(nil, `ClusterName=test
SlurmctldHost=%[1]s(127.0.0.1)
SlurmUser=root
SlurmdUser=root
AuthType=auth/munge
AuthInfo=socket=%[2]s/munge.sock,cred_expire=5
SlurmctldPort=%[3]d
SlurmdPort=%[4]d
StateSaveLocation=%[2]s/state
SlurmdSpoolDir=%[2]s/spool
SlurmctldPidFile=%[2]s/slurmctld.pid
SlurmdPidFile=%[2]s/slurmd.pid
SlurmctldLogFile=%[2]s/slurmctld.log
SlurmdLogFile=%[2]s/slurmd.log
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
SelectType=select/cons_tres
SelectTypeParameters=CR_CPU
JobAcctGatherType=jobacct_gather/none
SwitchType=switch/none
MpiDefault=none
ReturnToService=2
JobRequeue=1
MailProg=/bin/true
SchedulerParameters=sched_interval=1,batch_sched_delay=1
NodeName=%[1]s NodeAddr=127.0.0.1 CPUs=2 RealMemory=2048 State=UNKNOWN
PartitionName=all Nodes=ALL Default=YES MaxTime=INFINITE State=UP
`, host, dir, freePort(t), freePort(t)), 0o644))
	s.run("munged", "--force", "--key-file="+dir+"/key", "--socket="+dir+"/munge.sock", "--pid-file="+dir+"/munged.pid",
		"--log-file="+dir+"/munged.log", "--seed-file="+dir+"/seed")
	s.run("slurmctld", "-c")
	s.run("slurmd")
	t.Cleanup(func() {
		for _, daemon := range []string{"slurmd", "slurmctld", "munged"} {
			_ = exec.Command("kill", strconv.Itoa(s.pid(daemon))).Run()
		}
	})
	s.until("the node is idle", func() bool { return strings.Contains(s.run("sinfo", "-h", "-o", "%T"), "idle") })
	return s
}

func freePort(t *testing.T) int {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port
}

func (s *slurm) run(name string, args ...string) string {
	s.t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Env = append(os.Environ(), "SLURM_CONF="+s.conf)
	said, err := cmd.CombinedOutput()
	require.NoError(s.t, err, "%s: %s", name, said)
	return strings.TrimSpace(string(said))
}

func (s *slurm) pid(daemon string) int {
	text, _ := os.ReadFile(filepath.Join(s.dir, daemon+".pid"))
	pid, _ := strconv.Atoi(strings.TrimSpace(string(text)))
	return pid
}

func (s *slurm) until(what string, ok func() bool) {
	s.t.Helper()
	for end := time.Now().Add(4 * time.Minute); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if ok() {
			return
		}
	}
	logs, _ := exec.Command("sh", "-c", "cat "+s.dir+"/*.log").CombinedOutput()
	s.t.Fatalf("never: %s\n%s\n%s", what, s.run("squeue"), logs)
}

// worker is the process of a part that is at work; 0 while there is none.
func worker(part string) int {
	procs, _ := filepath.Glob("/proc/[0-9]*/cmdline")
	for _, path := range procs {
		text, _ := os.ReadFile(path)
		args := strings.Split(string(text), "\x00")
		if len(args) > 2 && filepath.Base(args[0]) == "acreband" && args[1] == "lots" && strings.Contains(string(text), "--shard\x00"+part+"\x00") {
			pid, _ := strconv.Atoi(filepath.Base(filepath.Dir(path)))
			return pid
		}
	}
	return 0
}

// plat are lots side by side over the ground of the subdivision.
func plat(t *testing.T, path string, cols, rows int) {
	t.Helper()
	var b strings.Builder
	b.WriteString(`{"type": "FeatureCollection", "features": [`)
	const west, north, side = -82.3848, 37.1776, 0.00016 // of the made ground; some 14 by 18 m
	for i := range cols * rows {
		x, y := west+side*float64(i%cols), north-side*float64(i/cols)
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, `{"type": "Feature", "properties": {"lot": "%d"}, "geometry": {"type": "Polygon", "coordinates": [[[%.6f,%.6f],[%.6f,%.6f],[%.6f,%.6f],[%.6f,%.6f],[%.6f,%.6f]]]}}`,
			i+1, x, y, x+side, y, x+side, y-side, x, y-side, x, y)
	}
	b.WriteString("]}")
	require.NoError(t, os.WriteFile(path, []byte(b.String()), 0o644))
}

// 600 lots in four tasks of an array, one of which is killed and the node's daemon once: the merged
// files are those of one machine.
func TestSlurmKilled(t *testing.T) {
	s := startSlurm(t)
	bin := t.TempDir()
	build := exec.Command("go", "build", "-o", filepath.Join(bin, "acreband"), "./cmd/acreband")
	build.Dir = "../.."
	said, err := build.CombinedOutput()
	require.NoError(t, err, string(said))
	elevation, err := filepath.Abs("../subdivision/elevation.tif")
	require.NoError(t, err)
	lots, out := filepath.Join(s.dir, "lots.geojson"), filepath.Join(s.dir, "county")
	plat(t, lots, 30, 20)
	t.Setenv("PATH", bin+string(os.PathListSeparator)+os.Getenv("PATH"))
	for k, v := range map[string]string{"ELEVATION": elevation, "PARCELS": lots, "OUT": out, "PARTS": "4", "XDG_CACHE_HOME": s.dir} {
		t.Setenv(k, v)
	}
	jobs := strings.Fields(s.run("slurm/submit"))
	require.Len(t, jobs, 2)

	journal := filepath.Join(out, "parts", "run-2-of-4.journal")
	s.until("part 2 is at work", func() bool {
		info, err := os.Stat(journal)
		return err == nil && info.Size() > 0
	})
	task := worker("2/4")
	require.NotZero(t, task, "part 2 was through before it could be killed")
	s.run("kill", "-9", strconv.Itoa(task))
	s.run("kill", "-9", strconv.Itoa(s.pid("slurmd")))
	time.Sleep(time.Second)
	s.run("slurmd")
	t.Logf("killed: the process of part 2 (%d) and slurmd", task)

	s.until("all is done", func() bool {
		for _, job := range jobs {
			if strings.TrimSpace(s.run("squeue", "-h", "-j", job, "-o", "%T")) != "" {
				return false
			}
		}
		return true
	})
	log := string(mustRead(t, filepath.Join(out, "merge.log")))
	require.Contains(t, s.run("scontrol", "show", "job", jobs[0]+"_2"), "Restarts=1", "the killed task was queued again")

	whole := filepath.Join(s.dir, "whole")
	s.run("acreband", "lots", "--elevation", elevation, "--parcels", lots, "--out", whole, "--write", "lots.csv,zones.gpkg,failed.csv", "--progress", "none")
	for _, name := range []string{"lots.csv", "zones.gpkg", "failed.csv"} {
		require.True(t, string(mustRead(t, filepath.Join(whole, name))) == string(mustRead(t, filepath.Join(out, "whole", name))), "%s: %s", name, log)
	}
	require.Equal(t, 601, strings.Count(string(mustRead(t, filepath.Join(whole, "lots.csv"))), "\n"))
}
