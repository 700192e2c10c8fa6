package score

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/bench"
	"lapwing/sim/carry"
)

// Goal: after an inspection each thing that was not sound is told by name, whether
// it was found and whether it forbids flying; what was sound is not told. Method: a
// list with one found, one overlooked.
func TestWhatWasThereToFindIsTold(t *testing.T) {
	p := bench.Default()
	p.List(4, true, true)
	nick, nicked := bench.ParseFinding(bench.Propeller, "nicked")
	smear, smeared := bench.ParseFinding(bench.Lens, "smeared")
	require.True(t, nicked && smeared)
	s := bench.Start(&p)
	at := p.Find(bench.Propeller, 2)
	p.Items[at].State, s.Bad[at] = nick, true
	p.Items[p.Find(bench.Lens, 0)].State = smear

	w := WorkResult{Items: p.Count, ThereWas: thingsOf(&p, &s), Fault: faultSays[carry.FaultSignY]}
	assert.Equal(t, []Thing{{"a blade is nicked", true, true}, {"the lens is smeared", false, false}}, w.ThereWas)
	lines := strings.Join(w.says(), "\n")
	assert.Contains(t, lines, "A blade is nicked: found. It forbids flying.")
	assert.Contains(t, lines, "The lens is smeared: overlooked. It is put right where it stands.")
	assert.Contains(t, lines, "What was wrong: what went left was shown going right.")
	for f := carry.FaultNone + 1; int(f) < len(carry.FaultWords()); f++ {
		assert.NotEmpty(t, faultSays[f], f.String())
	}
}
