package rivals

import (
	"slices"
	"strings"

	"lapwing/sim/trials"
)

// Pair is the same case flown by A and by B.
type Pair struct{ A, B *trials.Result }

// Paired is what two sets of results have in common. Results that were not judged
// on either side are counted and left out.
type Paired struct {
	Pairs    []Pair `json:"-"`
	Count    int    `json:"pairs"`
	OnlyA    int    `json:"only_in_a"`
	OnlyB    int    `json:"only_in_b"`
	ErrorsA  int    `json:"errors_in_a"`
	ErrorsB  int    `json:"errors_in_b"`
	Unjudged int    `json:"not_judged"` // void or only shown, on either side
}

// place is what two flights must share to be a pair.
type place struct {
	scenario, craft, pilot, point, law string
	seed                               uint64
}

// Pairing pairs two sets of results. Where either set has several laws, the law
// is part of what they must share.
func Pairing(a, b []trials.Result) (p Paired) {
	byLaw := len(Laws(a)) > 1 || len(Laws(b)) > 1
	at := func(r *trials.Result) place {
		k := place{scenario: r.Scenario, craft: r.Craft, pilot: r.Pilot, seed: r.Seed}
		var point []string
		for _, s := range r.Point {
			point = append(point, s.String())
		}
		if k.point = strings.Join(point, " "); byLaw {
			k.law = r.Law
		}
		return k
	}
	of := make(map[place]*trials.Result, len(b)) // only looked up
	for i := range b {
		of[at(&b[i])] = &b[i]
	}
	met := 0
	for i := range a {
		other := of[at(&a[i])]
		if other == nil {
			p.OnlyA++
			continue
		}
		met++
		p.add(Pair{&a[i], other})
	}
	p.OnlyB, p.Count = len(b)-met, len(p.Pairs)
	return p
}

func (p *Paired) add(pair Pair) {
	a, b := pair.A.Outcome, pair.B.Outcome
	if a == trials.Errored {
		p.ErrorsA++
	}
	if b == trials.Errored {
		p.ErrorsB++
	}
	switch {
	case a == trials.Errored || b == trials.Errored:
	case judged(a) && judged(b):
		p.Pairs = append(p.Pairs, pair)
	default:
		p.Unjudged++
	}
}

func judged(o trials.Outcome) bool { return o == trials.Passed || o == trials.Failed }

// Laws lists the laws of results, each once, in the order in which they come.
func Laws(all []trials.Result) (laws []string) {
	for i := range all {
		if !slices.Contains(laws, all[i].Law) {
			laws = append(laws, all[i].Law)
		}
	}
	return laws
}

// OfLaw returns the results of one law.
func OfLaw(all []trials.Result, law string) (some []trials.Result) {
	for i := range all {
		if all[i].Law == law {
			some = append(some, all[i])
		}
	}
	return some
}
