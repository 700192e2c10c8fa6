package compared

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lapwing/sim/rivals"
	"lapwing/sim/rounds"
	"lapwing/sim/trials"
)

// Side is one of the two that are compared.
type Side struct {
	Name  string       `json:"name"`
	Law   string       `json:"law"` // empty where it has several
	Head  *rounds.Head `json:"-"`   // nil for a file of results without its folder
	Cases int          `json:"cases"`
}

// Report is a comparison of B with A.
type Report struct {
	A        Side             `json:"a"`
	B        Side             `json:"b"`
	Verdict  rivals.Verdict   `json:"verdict"` // of B
	Says     string           `json:"says"`
	Paired   rivals.Paired    `json:"paired"`
	Level    float64          `json:"level"`
	Findings []rivals.Finding `json:"findings"`
	Places   []Place          `json:"by_scenario"`
	Worst    []Worst          `json:"worst"`

	results []trials.Result // of B, for the sweep
}

// Place is how often both got GO in one scenario with one pilot: to be read, not
// tested.
type Place struct {
	Scenario string  `json:"scenario"`
	Pilot    string  `json:"pilot"`
	Pairs    int     `json:"pairs"`
	GoA      float64 `json:"go_a"`
	GoB      float64 `json:"go_b"`
}

// Worst is a case in which B did worse than A.
type Worst struct {
	Name  string `json:"name"`
	Why   string `json:"why"`
	Again string `json:"again,omitempty"`
}

// mostWorst is how many of them are told.
const mostWorst = 10

// New compares b with a. Draws are a function of seed.
func New(a, b Side, of, with []trials.Result, metrics []rivals.Metric, seed uint64) *Report {
	r := &Report{A: a, B: b, Level: rivals.Level, Paired: rivals.Pairing(of, with), Places: []Place{}, Worst: []Worst{}, results: with}
	r.Findings, r.Verdict = rivals.Judge(r.Paired.Pairs, metrics, seed)
	r.Says = r.sentence()
	r.places()
	r.worst()
	return r
}

// sentence says the verdict with what it rests on.
func (r *Report) sentence() string {
	in, most := map[rivals.Verdict][]string{}, 0
	for i := range r.Findings {
		f := &r.Findings[i]
		if in[f.Verdict] = append(in[f.Verdict], f.Words); f.Seeds != nil {
			most = max(most, *f.Seeds)
		}
	}
	var parts []string
	for _, v := range []rivals.Verdict{rivals.Worse, rivals.Better, rivals.Inconclusive} {
		if len(in[v]) > 0 {
			parts = append(parts, string(v)+" in "+strings.Join(in[v], ", "))
		}
	}
	if most > 0 {
		parts = append(parts, fmt.Sprintf("about %d pairs would settle all of it", most))
	}
	if len(parts) == 0 {
		parts = []string{"no difference shown in anything that was measured"}
	}
	return fmt.Sprintf("B (%s) against A (%s) over %d pairs: %s.", r.B.Name, r.A.Name, r.Paired.Count, strings.Join(parts, "; "))
}

func (r *Report) places() {
	for _, p := range r.Paired.Pairs {
		i := slices.IndexFunc(r.Places, func(x Place) bool { return x.Scenario == p.A.Scenario && x.Pilot == p.A.Pilot })
		if i < 0 {
			i, r.Places = len(r.Places), append(r.Places, Place{Scenario: p.A.Scenario, Pilot: p.A.Pilot})
		}
		x := &r.Places[i]
		x.Pairs++
		if p.A.Outcome == trials.Passed {
			x.GoA++
		}
		if p.B.Outcome == trials.Passed {
			x.GoB++
		}
	}
	for i := range r.Places {
		r.Places[i].GoA /= float64(r.Places[i].Pairs)
		r.Places[i].GoB /= float64(r.Places[i].Pairs)
	}
}

// worst lists where B failed and A passed, the farthest astray first.
func (r *Report) worst() {
	var pairs []rivals.Pair
	for _, p := range r.Paired.Pairs {
		if p.A.Outcome == trials.Passed && p.B.Outcome == trials.Failed {
			pairs = append(pairs, p)
		}
	}
	astray := func(x *trials.Result) float64 {
		if x.MaxAwayM == nil {
			return 0
		}
		return *x.MaxAwayM
	}
	slices.SortStableFunc(pairs, func(p, q rivals.Pair) int {
		return cmp.Compare(astray(q.B), astray(p.B))
	})
	for _, p := range pairs[:min(len(pairs), mostWorst)] {
		w := Worst{Name: fmt.Sprintf("%s, pilot %s, seed %d", p.B.Name(), p.B.Pilot, p.B.Seed), Why: rounds.Why(p.B)}
		if r.B.Head != nil {
			w.Again = r.B.Head.Again(p.B.ID)
		}
		r.Worst = append(r.Worst, w)
	}
}
