package rounds_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"

	"lapwing/sim/rounds"
)

// Goal: shards part the cases: each belongs to exactly one, whatever the numbers.
func TestShardsPartTheCases(t *testing.T) {
	for _, cases := range []int{1, 7, 24} {
		for of := 1; of <= 9; of++ {
			all := 0
			for k := 1; k <= of; k++ {
				s, n := rounds.Shard{K: k, Of: of}, 0
				for id := range cases {
					if s.Has(id) {
						assert.Equal(t, n, s.Index(id))
						n++
					}
				}
				assert.Equal(t, n, s.Count(cases), "%s of %d", s, cases)
				all += n
			}
			assert.Equal(t, cases, all)
		}
	}
}

// Goal: a shard is read as typed, or from what a batch system sets. Method: a table
// of environments; arrays need not begin at 1.
func TestShardFromJob(t *testing.T) {
	for _, bad := range []string{"", "3", "0/8", "9/8", "a/b", "1/0", "3/8x", "03/8", "-1/8"} {
		_, err := rounds.ParseShard(bad)
		assert.Error(t, err, bad)
	}
	s, err := rounds.ParseShard("3/8")
	require.NoError(t, err)
	assert.Equal(t, rounds.Shard{K: 3, Of: 8}, s)
	for _, x := range []struct {
		env  map[string]string
		want rounds.Shard
		bad  bool
	}{
		{nil, rounds.Whole(), false},
		{map[string]string{"SLURM_ARRAY_TASK_ID": "3", "SLURM_ARRAY_TASK_COUNT": "8", "SLURM_ARRAY_TASK_MIN": "1"}, rounds.Shard{K: 3, Of: 8}, false},
		{map[string]string{"SLURM_ARRAY_TASK_ID": "0", "SLURM_ARRAY_TASK_COUNT": "4"}, rounds.Shard{K: 1, Of: 4}, false},
		{map[string]string{"SLURM_ARRAY_TASK_ID": "14", "SLURM_ARRAY_TASK_COUNT": "3", "SLURM_ARRAY_TASK_MIN": "10", "SLURM_ARRAY_TASK_STEP": "2"}, rounds.Shard{K: 3, Of: 3}, false},
		{map[string]string{"JOB_COMPLETION_INDEX": "7", "LAPWING_SHARDS": "8"}, rounds.Shard{K: 8, Of: 8}, false},
		{map[string]string{"JOB_COMPLETION_INDEX": "7"}, rounds.Shard{}, true},
		{map[string]string{"JOB_COMPLETION_INDEX": "8", "LAPWING_SHARDS": "8"}, rounds.Shard{}, true},
		{map[string]string{"SLURM_ARRAY_TASK_ID": "x", "SLURM_ARRAY_TASK_COUNT": "8"}, rounds.Shard{}, true},
	} {
		got, _, err := rounds.FromJob(func(key string) string { return x.env[key] })
		if x.bad {
			assert.Error(t, err, "%v", x.env)
			continue
		}
		require.NoError(t, err, "%v", x.env)
		assert.Equal(t, x.want, got)
	}
}

// Goal: the script and the manifest are ready to be sent off. Method: the words
// that matter; the manifest read as YAML.
func TestJobs(t *testing.T) {
	j := rounds.Job{Command: []string{"lapwing", "trials", "my matrix.yaml", "--seeds", "1-50"}, Out: "run", Shards: 8}
	assert.Contains(t, j.Slurm(), "#SBATCH --array=1-8\n")
	assert.Contains(t, j.Slurm(), "exec lapwing trials 'my matrix.yaml' --seeds 1-50 --out run ")
	var got struct {
		Spec struct {
			Completions    int
			CompletionMode string `yaml:"completionMode"`
			Template       struct {
				Spec struct {
					Containers []struct {
						Args []string
						Env  []struct{ Name, Value string }
					}
				}
			}
		}
	}
	require.NoError(t, yaml.Unmarshal([]byte(j.Kubernetes()), &got))
	assert.Equal(t, 8, got.Spec.Completions)
	assert.Equal(t, "Indexed", got.Spec.CompletionMode)
	c := got.Spec.Template.Spec.Containers[0]
	assert.Equal(t, []string{"trials", "my matrix.yaml", "--seeds", "1-50", "--out", "run"}, c.Args)
	assert.Equal(t, "LAPWING_SHARDS", c.Env[0].Name)
	assert.Equal(t, "8", c.Env[0].Value)
}
