package sight_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/sim/estimate"
	"lapwing/sim/sight"
)

// Goal: camera and filter are values: a copy made in flight goes on to the same
// bits, and faults of nothing are no faults.
func TestForkGoesOnAlike(t *testing.T) {
	f := rich(wander, 6)
	f.fly(12_017) // between exposure and result
	g := *f
	g.sensors = g.look
	f.fly(3000)
	g.faults = sight.Faults{Dimmed: 0}
	g.fly(3000)
	assert.True(t, f.sight == g.sight && f.belief == g.belief, "plain and comparable")
}

// Goal: other bits come of another seed, so that the above can fail.
func TestSeedsDiffer(t *testing.T) {
	a, b := rich(hover, 1), rich(hover, 2)
	a.fly(2000)
	b.fly(2000)
	assert.NotEqual(t, a.belief.Cov, b.belief.Cov)
}

func TestNothingIsAllocated(t *testing.T) {
	tp := tape(wander)
	assert.Zero(t, testing.AllocsPerRun(3000, tp.step))
}

// Goal: a wild picture is refused and leaves nothing behind; after eight in a
// row the filter asks for a new keyframe.
func TestWildPictureIsRefused(t *testing.T) {
	f := rich(hover, 1)
	f.fly(10_000)
	s := f.belief
	wild := estimate.Relative{New: true, Rows: 1, Z: [6]float64{40}, Trans: [6]vec{{X: 1000}}, Sight: s.Sight}
	for k := range 8 {
		before := s
		r := f.read
		r.RangeNew = false
		estimate.FuseSighted(&f.params, &f.sp, &s, &r, &wild, false, f.tick+1)
		assert.EqualValues(t, k+1, s.Rejected)
		assert.Greater(t, s.Belief.NIS, f.sp.Gate)
		assert.InDelta(t, before.Cov.At(0, 0), s.Cov.At(0, 0), 1e-5)
		assert.Equal(t, k == 7, s.Guess(&f.sp).Refused)
	}
}
