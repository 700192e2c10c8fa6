package rounds

import (
	"fmt"
	"strconv"
)

// Shard is one part of the cases: those whose number leaves K−1 when divided by Of.
// Neighbours go to different shards, so all take about as long.
type Shard struct {
	K  int `json:"k"` // from 1
	Of int `json:"of"`
}

// Whole is all of the cases.
func Whole() Shard { return Shard{1, 1} }

// ParseShard reads K/N.
func ParseShard(text string) (s Shard, err error) {
	if n, err := fmt.Sscanf(text+" ", "%d/%d ", &s.K, &s.Of); n != 2 || err != nil || s.Of < 1 || s.K < 1 || s.K > s.Of || s.String() != text {
		return Whole(), fmt.Errorf("%q is no shard: allowed K/N with K from 1 to N, as in 3/8", text)
	}
	return s, nil
}

// String writes K/N.
func (s Shard) String() string { return fmt.Sprintf("%d/%d", s.K, s.Of) }

// Dir names the folder of a shard within that of the whole.
func (s Shard) Dir() string {
	return fmt.Sprintf("shard-%0*d-of-%d", len(strconv.Itoa(s.Of)), s.K, s.Of)
}

// Has tells whether a case belongs to the shard.
func (s Shard) Has(id int) bool { return id >= 0 && id%s.Of == s.K-1 }

// Index is the place of a case within its shard.
func (s Shard) Index(id int) int { return id / s.Of }

// Count is how many of so many cases belong to the shard.
func (s Shard) Count(cases int) int { return (cases - s.K + s.Of) / s.Of }

// CountVariable says how many shards there are, for a task of an indexed job,
// whose own variable tells its index alone.
const CountVariable = "LAPWING_SHARDS"

// FromJob returns the shard that the environment of a batch system names: a task
// of a Slurm job array, or of a Kubernetes indexed job. Without one it returns the
// whole and no name.
func FromJob(get func(key string) string) (s Shard, from string, err error) {
	number := func(key string, otherwise int) int {
		n, convErr := strconv.Atoi(get(key))
		switch {
		case get(key) == "" && otherwise >= 0:
			return otherwise
		case convErr != nil:
			err = fmt.Errorf("%s is %q and should be a number", key, get(key))
		}
		return n
	}
	switch {
	case get("SLURM_ARRAY_TASK_ID") != "":
		least, step := number("SLURM_ARRAY_TASK_MIN", 0), number("SLURM_ARRAY_TASK_STEP", 1)
		s = Shard{(number("SLURM_ARRAY_TASK_ID", -1)-least)/max(1, step) + 1, number("SLURM_ARRAY_TASK_COUNT", -1)}
		from = "the Slurm job array"
	case get("JOB_COMPLETION_INDEX") != "":
		s = Shard{number("JOB_COMPLETION_INDEX", -1) + 1, number(CountVariable, -1)}
		from = "the Kubernetes indexed job"
	default:
		return Whole(), "", nil
	}
	if err == nil && (s.Of < 1 || s.K < 1 || s.K > s.Of) {
		err = fmt.Errorf("%s names shard %s, which cannot be", from, s)
	}
	return s, from, err
}
