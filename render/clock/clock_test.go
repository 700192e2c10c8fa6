package clock

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const ms = time.Millisecond

// TestNoTickIsLostOrAdded: goal: ticks follow the wall clock exactly, whatever
// the frames do. Method: ten simulated minutes of frames that jitter, by several
// patterns; at every frame the sum of ticks is the whole milliseconds gone by.
func TestNoTickIsLostOrAdded(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for _, c := range []struct {
		name  string
		frame func() time.Duration
	}{
		{"60 a second", func() time.Duration { return time.Second / 60 }},
		{"59.94 a second", func() time.Duration { return time.Second * 1001 / 60000 }},
		{"144 a second", func() time.Duration { return time.Second / 144 }},
		{"faster than a tick", func() time.Duration { return 300 * time.Microsecond }},
		{"jitter", func() time.Duration { return time.Duration(random.Int64N(int64(33 * ms))) }},
		{"jitter with stalls", func() time.Duration {
			if random.IntN(100) == 0 {
				return 95 * ms
			}
			return 16*ms + time.Duration(random.Int64N(int64(ms)))
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			start := 7*time.Hour + 123456*time.Nanosecond
			var k Clock
			k.Run(start, Normal)
			var sum int64
			for now := start; now < start+10*time.Minute; now += c.frame() {
				sum += k.Ticks(now)
				require.Equal(t, int64((now-start)/ms), sum)
			}
			assert.Zero(t, k.Lost())
		})
	}
}

// TestCatchUpIsCapped: goal: a long stall is not made up; what is given up is
// told, and afterwards time goes on as ever.
func TestCatchUpIsCapped(t *testing.T) {
	var k Clock
	k.Run(0, Normal)
	assert.EqualValues(t, 16, k.Ticks(16*ms))
	assert.EqualValues(t, 120, k.Ticks(16*ms+10*time.Second), "10 s late, and 120 ms made up")
	assert.Equal(t, 9880*ms, k.Lost())
	assert.EqualValues(t, 16, k.Ticks(32*ms+10*time.Second))
	assert.EqualValues(t, 0, k.Ticks(0), "a clock that goes back gives nothing")
	assert.EqualValues(t, 1, k.Ticks(33*ms+10*time.Second))
	k.Clear()
	assert.Zero(t, k.Lost())
	assert.Greater(t, MaxCatchUp, MaxGap, "a run that counts must not lose ticks")
}

// TestSlowMotion: goal: a slow speed gives its share of the ticks, without drift;
// a change of speed takes nothing twice.
func TestSlowMotion(t *testing.T) {
	for _, c := range []struct {
		speed Speed
		want  int64 // ticks in 600 s
	}{{Normal, 600000}, {Half, 300000}, {Quarter, 150000}, {Tenth, 60000}, {Speed{1, 3}, 200000}} {
		var k Clock
		k.Run(0, c.speed)
		var sum int64
		for now := time.Duration(0); now <= 600*time.Second; now += 16 * ms {
			sum += k.Ticks(now)
		}
		assert.Equal(t, c.want, sum, "%v", c.speed)
	}
	var k Clock
	k.Run(0, Half)
	assert.EqualValues(t, 50, k.Ticks(100*ms))
	k.Run(100*ms, Normal)
	assert.EqualValues(t, 100, k.Ticks(200*ms))
	assert.Panics(t, func() { k.Run(0, Speed{0, 1}) })
}

// TestPauseAndStep: goal: nothing is due while it stands but the steps asked for,
// and a pause is not made up.
func TestPauseAndStep(t *testing.T) {
	var k Clock
	assert.Zero(t, k.Ticks(time.Hour), "it stands before Run")
	k.Run(0, Normal)
	k.Step(5)
	assert.EqualValues(t, 10, k.Ticks(10*ms), "steps are for a clock that stands")
	k.Pause()
	assert.False(t, k.Running())
	assert.Zero(t, k.Ticks(20*ms))
	k.Step(1)
	k.Step(20)
	assert.EqualValues(t, 21, k.Ticks(20*ms))
	assert.Zero(t, k.Ticks(20*ms))
	k.Run(time.Hour, Normal)
	assert.EqualValues(t, 3, k.Ticks(time.Hour+3*ms))
}

// TestSteady: goal: the limits bite where they are said to, and not before.
// Method: made-up frames at and beside each limit.
func TestSteady(t *testing.T) {
	run := func(frames ...[2]time.Duration) *Steady { // gap and lag
		var s Steady
		s.Begin(0, true)
		now := time.Duration(0)
		for _, f := range frames {
			now += f[0]
			s.Shown(now, now-f[1])
		}
		return &s
	}
	many := func(n int, f [2]time.Duration, more ...[2]time.Duration) [][2]time.Duration {
		var all [][2]time.Duration
		for range n {
			all = append(all, f)
		}
		return append(all, more...)
	}
	sound := [2]time.Duration{16 * ms, 16 * ms}
	for _, c := range []struct {
		name   string
		frames [][2]time.Duration
		want   Finding
	}{
		{"nothing yet", nil, FindSteady},
		{"steady", many(500, sound), FindSteady},
		{"a gap of 100 ms is borne", many(1000, sound, [2]time.Duration{100 * ms, 16 * ms}), FindSteady},
		{"a gap of 101 ms is not", many(1000, sound, [2]time.Duration{101 * ms, 16 * ms}), FindGap},
		{"lag of 50 ms for ever", many(1000, [2]time.Duration{16 * ms, 50 * ms}), FindSteady},
		{"lag of 51 ms for 1 % of the time", many(990, sound, many(10, [2]time.Duration{16 * ms, 51 * ms})...), FindSteady},
		{"lag of 51 ms for 1.1 %", many(989, sound, many(11, [2]time.Duration{16 * ms, 51 * ms})...), FindLag},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, run(c.frames...).Find()) })
	}
	s := run(many(98, sound, [2]time.Duration{40 * ms, 60 * ms}, [2]time.Duration{90 * ms, 20 * ms})...)
	gap, lag := s.Longest()
	assert.Equal(t, [2]time.Duration{90 * ms, 60 * ms}, [2]time.Duration{gap, lag})
	assert.Equal(t, 16*ms, s.Frame(0.5))
	assert.Equal(t, 40*ms, s.Frame(0.99))
	assert.False(t, s.Checked(), "1.7 s")
	s.Begin(time.Hour, false)
	assert.Zero(t, s.Gaps(), "a pause is no gap")
	for i := range 4 {
		now := time.Hour + time.Duration(i+1)*90*ms
		s.Shown(now, now)
	}
	assert.True(t, s.Checked(), "2.06 s, the pause left out")
	s.Begin(0, true)
	assert.Equal(t, FindSteady, s.Find())
	assert.Zero(t, s.Frame(0.5))
}

// TestLatency: goal: figures and rulings at and beside each limit.
func TestLatency(t *testing.T) {
	of := func(n int, d time.Duration, more ...time.Duration) *Latency {
		var l Latency
		for range n {
			l.Add(d)
		}
		for _, d := range more {
			l.Add(d)
		}
		return &l
	}
	for _, c := range []struct {
		name string
		l    *Latency
		want Ruling
	}{
		{"none", of(0, 0), RuleUnknown},
		{"too few", of(19, 400*ms), RuleUnknown},
		{"good", of(20, 100*ms), RuleGood},
		{"one late in twenty", of(19, 40*ms, 400*ms), RuleGood},
		{"two late in twenty", of(18, 40*ms, 400*ms, 400*ms), RuleRefuse},
		{"late", of(20, 101*ms), RuleWarn},
		{"at the limit", of(20, 250*ms), RuleWarn},
		{"too late", of(20, 251*ms), RuleRefuse},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, c.l.Rule()) })
	}
	l := of(0, 0, 5*ms, 1*ms, 3*ms, 2*ms, 4*ms)
	assert.Equal(t, 3*ms, l.At(0.5))
	assert.Equal(t, 5*ms, l.At(0.95))
	assert.Equal(t, 5, l.Count())
}
