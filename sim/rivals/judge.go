package rivals

import (
	"math"

	"lapwing/sim/tally"
)

// Verdict is what a comparison comes to.
type Verdict string

// The verdicts, of B against A. No difference shown: it was looked for with
// enough seeds, and any there is lies within the tolerance.
const (
	Better       Verdict = "better"
	Worse        Verdict = "worse"
	NoDifference Verdict = "no difference shown"
	Inconclusive Verdict = "inconclusive"
)

// Level is the chance of even one false finding among all metrics, and Power the
// chance that the number of seeds named finds what it is named for: common
// practice.
const (
	Level = 0.05
	Power = 0.8
)

const (
	flips     = 9999 // patterns of signs drawn
	drawings  = 2000 // of the bootstrap
	mostDrawn = 4000 // differences beyond which the interval is that of the normal distribution
)

// Finding is what came of one metric.
type Finding struct {
	Metric     string         `json:"metric"`
	Words      string         `json:"words"`
	Unit       string         `json:"unit"`
	More       bool           `json:"more_is_better"`
	Tolerance  float64        `json:"tolerance"`
	Pairs      int            `json:"pairs"`
	MeanA      float64        `json:"mean_a"`
	MeanB      float64        `json:"mean_b"`
	Difference float64        `json:"difference"` // B − A, of the mean
	Interval   tally.Interval `json:"interval_95"`
	Method     string         `json:"method"`
	P          float64        `json:"p"`
	Corrected  float64        `json:"p_holm"`
	Effect     *float64       `json:"effect_size"` // mean over standard deviation of the differences; null where they do not vary
	Verdict    Verdict        `json:"verdict"`
	Seeds      *int           `json:"pairs_to_settle"` // of an inconclusive one; null otherwise

	Differences []float64    `json:"-"`
	table       *tally.Pairs // of a share
}

// Judge tests each metric over the pairs and corrects for the number of metrics.
// The verdict over all is worse where any is, else better where any is, else
// inconclusive where any is; where no pair differs in anything there is no
// difference, however few they are. Draws are a function of seed.
func Judge(pairs []Pair, metrics []Metric, seed uint64) (all []Finding, over Verdict) {
	var chances []float64
	for i := range metrics {
		if f := find(pairs, &metrics[i], seed); f.Pairs >= 2 {
			all, chances = append(all, f), append(chances, f.P)
		}
	}
	over = NoDifference
	rank := map[Verdict]int{NoDifference: 0, Inconclusive: 1, Better: 2, Worse: 3}
	for i, p := range tally.Holm(chances) {
		all[i].Corrected = p
		all[i].decide(Level / float64(len(all)))
		if rank[all[i].Verdict] > rank[over] {
			over = all[i].Verdict
		}
	}
	switch {
	case len(all) == 0:
		over = Inconclusive
	case same(pairs):
		over = NoDifference
		for i := range all {
			all[i].Verdict, all[i].Seeds = NoDifference, nil
		}
	}
	return all, over
}

// same tells whether every pair is the same in everything that can be measured,
// asked for or not: then it is the same law, and more seeds would show nothing
// else.
func same(pairs []Pair) bool {
	metrics := Metrics()
	for _, p := range pairs {
		if p.A.EndS != p.B.EndS {
			return false
		}
		for i := range metrics {
			a, okA := metrics[i].Of(p.A)
			b, okB := metrics[i].Of(p.B)
			if a != b || okA != okB {
				return false
			}
		}
	}
	return true
}

// find measures and tests one metric.
func find(pairs []Pair, m *Metric, seed uint64) Finding {
	f := Finding{Metric: m.Name, Words: m.Words, Unit: m.Unit, More: m.More, Tolerance: m.Tolerance}
	table := tally.Pairs{}
	for _, p := range pairs {
		a, okA := m.Of(p.A)
		b, okB := m.Of(p.B)
		if !okA || !okB {
			continue
		}
		f.MeanA, f.MeanB = f.MeanA+a, f.MeanB+b
		f.Differences = append(f.Differences, b-a)
		table.Add(b == 1, a == 1)
	}
	if f.Pairs = len(f.Differences); f.Pairs < 2 {
		return f
	}
	n := float64(f.Pairs)
	f.MeanA, f.MeanB = f.MeanA/n, f.MeanB/n
	mean, deviation := moments(f.Differences)
	if f.Difference = mean; deviation > 0 {
		effect := mean / deviation
		f.Effect = &effect
	}
	if m.Share {
		f.table, f.Method = &table, "McNemar, mid-p; Newcombe's interval"
		f.P, f.Interval = table.McNemarMidP(), table.Newcombe(1-Level)
		return f
	}
	f.P = tally.SignFlip(f.Differences, flips, seed)
	f.Interval, f.Method = interval(f.Differences, mean, deviation, seed)
	return f
}

// interval of a mean difference: from the bootstrap, corrected for bias and
// skewness.
func interval(d []float64, mean, deviation float64, seed uint64) (tally.Interval, string) {
	if len(d) > mostDrawn {
		half := 1.959963984540054 * deviation / math.Sqrt(float64(len(d))) // 97.5 % of the normal distribution
		return tally.Interval{Low: mean - half, High: mean + half}, "signs flipped; normal interval"
	}
	b := tally.Resample(len(d), drawings, seed, func(places []int) float64 {
		sum := 0.0
		for _, i := range places {
			sum += d[i]
		}
		return sum / float64(len(places))
	})
	return b.Corrected(1 - Level), "signs flipped; bootstrap interval (BCa)"
}

func moments(d []float64) (mean, deviation float64) {
	for _, x := range d {
		mean += x / float64(len(d))
	}
	for _, x := range d {
		deviation += (x - mean) * (x - mean) / float64(len(d)-1)
	}
	return mean, math.Sqrt(deviation)
}

// decide gives the verdict; level is what each metric has for itself.
func (f *Finding) decide(level float64) {
	switch {
	case f.Corrected <= Level && (f.Difference > 0) == f.More:
		f.Verdict = Better
	case f.Corrected <= Level:
		f.Verdict = Worse
	case f.Interval.Low >= -f.Tolerance && f.Interval.High <= f.Tolerance:
		f.Verdict = NoDifference
	default:
		f.Verdict = Inconclusive
		n := f.seeds(f.Tolerance, level)
		if n <= f.Pairs { // what was seen is near the tolerance itself
			n = max(f.seeds(f.Difference, level), f.Pairs+1)
		}
		f.Seeds = &n
	}
}

// seeds is how many pairs would show a difference d.
func (f *Finding) seeds(d, level float64) int {
	if f.table == nil {
		_, deviation := moments(f.Differences)
		return tally.SeedsForMean(d, deviation, level, Power)
	}
	d = math.Abs(d)
	differ := math.Max(float64(f.table.First+f.table.Second)/float64(f.Pairs), d)
	return tally.SeedsForShares((differ+d)/2, (differ-d)/2, level, Power)
}
