package compared_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/render/compared"
	"lapwing/sim/rivals"
	"lapwing/sim/rounds"
	"lapwing/sim/trials"
)

// swept returns made-up results over a sweep of 3 × 2 points and 20 seeds; B flies
// farther astray, and fails where A passes at the first seed of each point.
func swept(b bool) (all []trials.Result) {
	for id := range 120 {
		point, seed := id/20, id%20
		away := 1 + float64(seed%7)/10
		r := trials.Result{Case: trials.Case{ID: id, Craft: "c", Law: "own", Point: []trials.Setting{
			{Of: trials.OfLaw, Key: "x", Value: float64(point % 3)}, {Of: trials.OfCraft, Key: "mass", Value: float64(point / 3)}}}, Outcome: trials.Passed, MaxAwayM: &away}
		r.Scenario, r.Pilot, r.Seed, r.WhyNot = "drift<b>", "p", uint64(seed), []string{}
		if b {
			away += 0.3 + float64(seed%3)/10
			if seed == 0 {
				r.Outcome, r.WhyNot, away = trials.Failed, []string{"too <late>"}, away+float64(point)
			}
		}
		all = append(all, r)
	}
	return all
}

// Goal: the page holds what the comparison found, its figures drawn inside, the
// worst case first with its command, and nothing from elsewhere; a name cannot
// break out of its place.
func TestPage(t *testing.T) {
	head := rounds.Head{Replay: "lapwing trials it"}
	r := compared.New(compared.Side{Name: "a", Cases: 120}, compared.Side{Name: "b", Head: &head, Cases: 120}, swept(false), swept(true), rivals.Metrics(), 1)
	assert.Equal(t, rivals.Worse, r.Verdict)
	require.Len(t, r.Worst, 6)
	assert.Contains(t, r.Worst[0].Name, "law.x=2 craft.mass=1, pilot p, seed 0")
	assert.Equal(t, "lapwing trials it --case 100 --out case-100", r.Worst[0].Again)
	require.Len(t, r.Places, 1)
	assert.InDelta(t, 0.95, r.Places[0].GoB, 1e-12)

	var out bytes.Buffer
	require.NoError(t, r.WriteHTML(&out))
	text := out.String()
	assert.Equal(t, 2, strings.Count(text, "<svg"), "one spread, one heat map")
	for _, want := range []string{"B is worse", "drift&lt;b&gt;", "too &lt;late&gt;", "lapwing trials it --case 100", "law: x", "craft: mass", "Holm"} {
		assert.Contains(t, text, want)
	}
	for _, bad := range []string{"<b>", "<late>", "src=", "href=", "<script", "<?xml"} {
		assert.NotContains(t, text, bad)
	}
}
