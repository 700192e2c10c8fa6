package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Goal: trials parted over a real batch system, with a node lost on the way, give
// the bytes of a run on one machine. Method: Debian's Slurm with two nodes here; an
// array of eight from the script that --job slurm prints; as soon as the first
// shard is done, one node is killed with everything it runs, and comes back; its
// tasks are queued again by Slurm and go on. Skipped where Slurm is not installed.
func TestSlurmArraySlow(t *testing.T) {
	slowly(t)
	for _, tool := range []string{"slurmctld", "slurmd", "sbatch", "munged"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skip("skipped: needs Debian's slurmctld, slurmd, slurm-client and munge")
		}
	}
	if os.Getuid() != 0 {
		t.Skip("skipped: a Slurm cluster of its own needs root")
	}
	dir := t.TempDir()
	s := slurm{t, filepath.Join(dir, "cluster"), dir}
	cluster, err := filepath.Abs("../../testdata/slurm/cluster")
	require.NoError(t, err)
	t.Cleanup(func() { exec.Command(cluster, "stop", s.cluster).Run() })
	t.Setenv("SLURM_CONF", s.told(cluster, "start", s.cluster))

	bin := filepath.Join(dir, "lapwing")
	s.told("go", "build", "-buildvcs=false", "-o", bin, ".")
	trials := []string{"trials", "--scenarios", "first-lift,drift-in-hold", "--pilots", "novice,trained,trained+2s", "--seeds", "1-40"}
	whole := exec.Command(bin, append(trials, "--out", filepath.Join(dir, "whole"))...)
	code := exitOf(t, whole)

	script := s.told(bin, append(trials, "--out", filepath.Join(dir, "parted"), "--job", "slurm", "--shards", "8")...)
	script = strings.Replace(script, "exec lapwing", "exec "+bin, 1)
	file := filepath.Join(dir, "job.sh")
	require.NoError(t, os.WriteFile(file, []byte(script+"\n"), 0o755))
	job := s.told("sbatch", "--parsable", "--chdir="+dir, file)
	s.wait("the first shard", func() bool {
		done, err := filepath.Glob(filepath.Join(dir, "parted", "shard-*", "results.jsonl"))
		return err == nil && len(done) > 0
	})
	s.lose("n1")
	s.wait("the end of the array", func() bool { return s.told("squeue", "-h", "-j", job) == "" })
	require.Equal(t, code, exitOf(t, exec.Command(bin, "merge", filepath.Join(dir, "parted"), "--out", filepath.Join(dir, "merged"))))
	same(t, dir, "whole", "merged")
}

// slurm is a cluster for one test.
type slurm struct {
	t       *testing.T
	cluster string // its folder
	dir     string
}

func (s slurm) told(name string, args ...string) string {
	s.t.Helper()
	out, err := exec.Command(name, args...).Output()
	require.NoError(s.t, err, "%s %v: %s", name, args, out)
	return strings.TrimSpace(string(out))
}

func (s slurm) wait(what string, there func() bool) {
	s.t.Helper()
	for began := time.Now(); !there(); time.Sleep(200 * time.Millisecond) {
		require.Less(s.t, time.Since(began), 10*time.Minute, what)
	}
}

// lose kills a node as a power cut does, its daemon and all below it, has Slurm
// take it for down, so that its task is queued again, and brings it back.
func (s slurm) lose(node string) {
	s.t.Helper()
	running := s.told("squeue", "-h", "-t", "RUNNING", "-w", node, "-o", "%A")
	require.NotEmpty(s.t, running, "a task on the node that is lost")
	text, err := os.ReadFile(filepath.Join(s.cluster, "node-"+node+".pid"))
	require.NoError(s.t, err)
	daemon, err := strconv.Atoi(strings.TrimSpace(string(text)))
	require.NoError(s.t, err)
	step, err := strconv.Atoi(s.told("pgrep", "-f", `slurmstepd: \[`+running+`\.`))
	require.NoError(s.t, err)
	s.kill(step)
	s.kill(daemon)
	s.told("scontrol", "update", "NodeName="+node, "State=DOWN", "Reason=test")
	time.Sleep(time.Second)
	s.told("slurmd", "-N", node, "-f", os.Getenv("SLURM_CONF"))
}

// kill ends a process and all below it.
func (s slurm) kill(pid int) {
	below, err := exec.Command("pgrep", "-P", strconv.Itoa(pid)).Output()
	if err == nil {
		for _, child := range strings.Fields(string(below)) {
			n, err := strconv.Atoi(child)
			require.NoError(s.t, err)
			s.kill(n)
		}
	}
	syscall.Kill(pid, syscall.SIGKILL)
}
