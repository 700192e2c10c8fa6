package safety

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Goal: what must never happen does not, whatever the phase and the facts; and
// the two faults break the rule that each is about, and no other. Method: every
// phase with every combination of facts.
func TestMotorsTableExhaustively(t *testing.T) {
	reached := map[Phase]bool{}
	for from := range phaseCount {
		for f := range Facts(1) << factCount {
			to := NextPhase(from, f)
			reached[to] = reached[to] || to != from
			flew := from == Armed || from == Masked
			asked := f&(AsksArm|Passes) == AsksArm|Passes
			unbidden := f&Unbidden != 0
			cut := f&CutOff != 0 && f&CutOffFails == 0
			switch {
			case to == Armed && cut && !(from == Disarmed && asked):
				// Passes says that no cut-off is heard, so both together cannot be so.
				t.Fatalf("%s, %b: armed with cut-off heard", from, f)
			case to == Armed && f&Powered == 0:
				t.Fatalf("%s, %b: armed without power", from, f)
			case to == Armed && !flew && !asked && !unbidden:
				t.Fatalf("%s, %b: armed without being asked and checked", from, f)
			case to == Armed && !flew && f&CutOff != 0 && !asked:
				t.Fatalf("%s, %b: armed by itself against the cut-off", from, f)
			case to == Armed && !flew && from != Disarmed && !(from == Barred && unbidden):
				t.Fatalf("%s, %b: armed without being seen disarmed", from, f)
			case from == Armed && (to == Latched || to == Masked) && !cut:
				t.Fatalf("%s, %b: a cut-off that fails has an effect", from, f)
			case to == Masked && f&Latches != 0 && from != Masked:
				t.Fatalf("%s, %b: a latching cut-off masks", from, f)
			case from == Latched && to == Disarmed && f&(AsksOff|Lowest) != AsksOff|Lowest:
				t.Fatalf("%s, %b: unlatched by something else", from, f)
			case flew && f&AsksOff != 0 && (to == Armed || to == Masked) && !(from == Armed && unbidden):
				t.Fatalf("%s, %b: not disarmed", from, f)
			case flew && f&Stops != 0 && (to == Armed || to == Masked) && !(from == Armed && unbidden):
				t.Fatalf("%s, %b: not stopped", from, f)
			}
		}
	}
	assert.Len(t, reached, int(phaseCount), "every phase can be reached")
}

// Goal: what the craft does by itself begins only in flight and always ends by
// disarming or taking over.
func TestDeedsTableExhaustively(t *testing.T) {
	for from := range deedCount {
		for f := range Facts(1) << factCount {
			to := NextDeed(from, f)
			if f&Flies == 0 && to != Obeying || from != Obeying && f&Taken != 0 && to != Obeying {
				t.Fatalf("%s, %b: goes on %s", from, f, to)
			}
			if to == Holding && f&CanHold == 0 {
				t.Fatalf("%s, %b: holds a place it does not know", from, f)
			}
			if from == Obeying && to != Obeying && f&(WantsHold|WantsLand) == 0 {
				t.Fatalf("%b: begins %s without cause", f, to)
			}
			if from == Descending && to == Holding {
				t.Fatalf("%b: goes back to holding", f)
			}
		}
	}
}

// Goal: no rule stands in vain. Method: for each rule some facts make it the
// first that fits.
func TestEveryRuleCounts(t *testing.T) {
	for p, rules := range motors {
		checkRules(t, Phase(p).String(), rules)
	}
	for d, rules := range deeds {
		checkRules(t, Deed(d).String(), rules)
	}
}

func checkRules[S Phase | Deed](t *testing.T, state string, rules []rule[S]) {
	used := make([]bool, len(rules))
	for f := range Facts(1) << factCount {
		for i, r := range rules {
			if f&r.when == r.when && f&r.unless == 0 {
				used[i] = true
				break
			}
		}
	}
	for i := range used {
		assert.True(t, used[i], "%s: rule %d never fits", state, i+1)
	}
}

func TestStateWords(t *testing.T) {
	assert.Equal(t, "latched", Latched.String())
	assert.Equal(t, "unknown", Phase(99).String())
	assert.Equal(t, "descending", Descending.String())
	assert.Equal(t, "unknown", Deed(99).String())
}
