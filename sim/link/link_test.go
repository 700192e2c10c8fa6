package link

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/hands"
)

// ideal is a link that loses nothing.
func ideal(latency int64) Params { return Params{FrameEvery: 20, LatencyTicks: latency} }

// Goal: losses come in bursts as the two-state channel's closed forms say, not
// only at the right rate. Method: a million frames and more through Carry itself
// with no latency; a frame was lost when its age is not 0. Values computed from
// p/(p+r), 1/r and (1−r)^(k−1) (Gilbert, BSTJ 39, 1960; Elliott, BSTJ 42, 1963).
// Tolerance: 3 standard errors; the rate's allows for the channel's memory, by
// which the variance grows by (1+λ)/(1−λ), λ = 1−p−r.
func TestBurstsFollowClosedForms(t *testing.T) {
	const frames = 2_000_000
	cases := []struct {
		name                          string
		p, r, lossGood, lossBad       float64
		loss, burst, atLeast10, share float64
		atLeast25                     float64
	}{
		// At 50 frames a second, bursts of 25 or more: 8.0955 an hour, 0.0379 an hour.
		{"Gilbert", .01, .2, 0, 1, .0476190476, 5, .134217728, .0476190476, .00472237},
		{"short bursts", .05, .4, 0, 1, .1111111111, 2.5, .010077696, .1111111111, 4.7384e-6},
		// .0476190476·.5 + .9523809524·.02 = .0428571429
		{"Elliott", .01, .2, .02, .5, .0428571429, 5, .134217728, .0476190476, .00472237},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p := Params{FrameEvery: 1, GoodToBad: c.p, BadToGood: c.r, LossGood: c.lossGood, LossBad: c.lossBad}
			require.NoError(t, p.Validate())
			assert.InDelta(t, c.share, p.BadShare(), 1e-9)
			assert.InDelta(t, c.loss, p.Loss(), 1e-9)
			assert.InDelta(t, c.burst, p.MeanBurst(), 1e-12)
			assert.InDelta(t, c.atLeast10, p.BurstAtLeast(10), 1e-9)
			assert.InEpsilon(t, c.atLeast25, p.BurstAtLeast(25), 1e-5)

			s, heard, rest := Start(&p, 7), Heard{}, hands.Rest()
			var lost, bursts, long, longest, bad, run float64
			for tick := range int64(frames) {
				Carry(&p, &s, &rest, 7, tick, &Faults{}, &heard)
				if heard.Age != 0 || !heard.Any {
					lost++
				}
				if s.Bad {
					bad++
					run++
					continue
				}
				if run > 0 {
					bursts++
					if run >= 10 {
						long++
					}
					if run >= 25 {
						longest++
					}
				}
				run = 0
			}
			lambda := 1 - c.p - c.r
			memory := (1 + lambda) / (1 - lambda)
			within := func(name string, want, got, variance, n float64) {
				assert.InDelta(t, want, got, 3*math.Sqrt(variance/n), name)
			}
			within("bad share", c.share, bad/frames, c.share*(1-c.share)*memory, frames)
			within("loss", c.loss, lost/frames, c.loss*(1-c.loss)*memory, frames)
			within("mean burst", c.burst, bad/bursts, (1-c.r)/(c.r*c.r), bursts)
			within("bursts of 10 or more", c.atLeast10, long/bursts, c.atLeast10*(1-c.atLeast10), bursts)
			within("bursts of 25 or more", c.atLeast25, longest/bursts, c.atLeast25, bursts)
		})
	}
}

// Goal: a run starts in the bad state as often as it is bad in the long run.
// Method: 400,000 seeds; 3 standard errors of a share.
func TestStartIsStationary(t *testing.T) {
	p := Params{FrameEvery: 20, GoodToBad: .05, BadToGood: .4, LossBad: 1}
	bad := 0.0
	for seed := range uint64(400_000) {
		if s := Start(&p, seed); s.Bad {
			bad++
		}
	}
	assert.InDelta(t, 1.0/9, bad/400_000, 3*math.Sqrt(1.0/9*8/9/400_000))
}

// Goal: a frame arrives exactly LatencyTicks after it was sent, holds the hands
// of that moment, and its age counts from sending. Method: the throttle counts
// ticks, so what is heard tells when it was sent.
func TestLatencyAndAge(t *testing.T) {
	for _, latency := range []int64{0, 1, 19, 20, 35, 319} {
		p := ideal(latency)
		require.NoError(t, p.Validate())
		s, heard := Start(&p, 1), Heard{}
		for tick := range int64(900) {
			sent := hands.Hands{Throttle: int16(tick), Call: hands.CallStop, Step: hands.StepApproach}
			Carry(&p, &s, &sent, 1, tick, &Faults{}, &heard)
			if tick < latency {
				assert.Equal(t, Heard{Hands: hands.Rest(), Age: tick}, heard, "before the first frame")
				continue
			}
			newest := (tick - latency) / 20 * 20
			require.Equal(t, Heard{Hands: hands.Hands{Throttle: int16(newest)}, Age: tick - newest, Any: true}, heard,
				"latency %d, tick %d: hands only, neither call nor step", latency, tick)
		}
	}
}

// Goal: the lost-link inject and a transmitter switched off both silence the
// link, the frames on their way still arrive, the last frame is held, and the
// channel meanwhile lives on as it would have.
func TestSilence(t *testing.T) {
	for _, how := range []string{"inject", "transmitter off"} {
		p := Params{FrameEvery: 20, LatencyTicks: 30, GoodToBad: .05, BadToGood: .4}
		s, heard := Start(&p, 3), Heard{}
		free, freeHeard := s, heard
		for tick := range int64(3000) {
			sent := hands.Hands{Throttle: int16(tick / 20)}
			Carry(&p, &free, &sent, 3, tick, &Faults{}, &freeHeard)
			dead := false
			if how == "inject" {
				dead = tick >= 1000 && tick < 2000
			} else if tick == 1000 {
				sent.Step = hands.StepTransmitterOff
			} else if tick == 2000 {
				sent.Step = hands.StepTransmitterOn
			}
			Carry(&p, &s, &sent, 3, tick, &Faults{Dead: dead}, &heard)
			if tick >= 1010 && tick < 2030 {
				assert.Equal(t, int16(49), heard.Hands.Throttle, "%s, tick %d: frame of tick 980 is held", how, tick)
				assert.Equal(t, tick-980, heard.Age)
			} else {
				assert.Equal(t, freeHeard, heard, "%s, tick %d", how, tick)
			}
			assert.Equal(t, free.Bad, s.Bad, "the channel does not depend on the pilot")
		}
	}
}

// Goal: a link is a value. Method: a copy carries on exactly as the original,
// and another seed does not.
func TestForkAndSeed(t *testing.T) {
	p := Params{FrameEvery: 20, LatencyTicks: 45, GoodToBad: .1, BadToGood: .3, LossGood: .05, LossBad: .9}
	run := func(s State, heard Heard, seed uint64, from, to int64) (State, Heard) {
		for tick := from; tick < to; tick++ {
			sent := hands.Hands{Throttle: int16(tick % 1000)}
			Carry(&p, &s, &sent, seed, tick, &Faults{}, &heard)
		}
		return s, heard
	}
	whole, wholeHeard := run(Start(&p, 5), Heard{}, 5, 0, 10_000)
	half, halfHeard := run(Start(&p, 5), Heard{}, 5, 0, 4_321)
	forked, forkedHeard := run(half, halfHeard, 5, 4_321, 10_000)
	assert.Equal(t, whole, forked)
	assert.Equal(t, wholeHeard, forkedHeard)
	ages := func(seed uint64) (sum int64) {
		s, heard := Start(&p, seed), Heard{}
		for tick := range int64(10_000) {
			rest := hands.Rest()
			Carry(&p, &s, &rest, seed, tick, &Faults{}, &heard)
			sum += heard.Age
		}
		return sum
	}
	assert.NotEqual(t, ages(5), ages(6))
}

func TestValidate(t *testing.T) {
	p := Default()
	assert.NoError(t, p.Validate())
	assert.Contains(t, p.String(), "a frame every 20 ms, 20 ms late")
	bad := Params{FrameEvery: 0, LatencyTicks: -1, GoodToBad: math.NaN(), BadToGood: 2, LossGood: -1, LossBad: 1.5}
	for _, part := range []string{"a frame every 0", "latency of -1", "good to bad: NaN", "bad to good: 2", "loss while good", "loss while bad"} {
		assert.ErrorContains(t, bad.Validate(), part)
	}
	stuck := Params{FrameEvery: 20, LatencyTicks: 320, GoodToBad: .1}
	assert.ErrorContains(t, stuck.Validate(), "never recover")
	assert.ErrorContains(t, stuck.Validate(), "latency of 320 ticks: 0 to 319")
}

// Goal: a stutter takes frames away for a quarter of a second at a time, for its
// share of the time, and leaves the channel's own losses as they are; none and a
// whole one do nothing and everything. Method: 20,000 quarters through a link
// that loses nothing itself; 3 standard errors of a share.
func TestStutterTakesQuartersOfASecond(t *testing.T) {
	const quarters = 20_000
	for _, share := range []float64{0, 0.3, 1} {
		p := Params{FrameEvery: 10}
		s, heard, rest := Start(&p, 4), Heard{}, hands.Rest()
		gone := 0.0
		for q := range int64(quarters) {
			heardOf := 0
			for k := range int64(25) {
				Carry(&p, &s, &rest, 4, 250*q+10*k, &Faults{Stutter: share}, &heard)
				if heard.Any && heard.Age == 0 {
					heardOf++
				}
			}
			require.Contains(t, []int{0, 25}, heardOf, "a whole quarter, or none of it")
			if heardOf == 0 {
				gone++
			}
		}
		assert.InDelta(t, share, gone/quarters, 3*math.Sqrt(share*(1-share)/quarters))
	}
	p := Params{FrameEvery: 20, GoodToBad: .05, BadToGood: .4, LossBad: 1}
	s, plain, heard, rest := Start(&p, 3), Start(&p, 3), Heard{}, hands.Rest()
	for tick := range int64(20_000) {
		Carry(&p, &plain, &rest, 3, tick, &Faults{}, &Heard{})
		Carry(&p, &s, &rest, 3, tick, &Faults{Stutter: 0.5}, &heard)
		require.Equal(t, plain.Bad, s.Bad, "the channel lives on as it would have")
	}
}

// Goal: a stuck axis is heard where it is stuck and the other sticks where they
// are, only once something was heard, and it is heard right again after the
// fault. Method: all four, against the same link without the fault.
func TestStuckAxisIsHeardWhereItIsStuck(t *testing.T) {
	sent := hands.Hands{Roll: 100, Pitch: -200, Yaw: 300, Throttle: 400}
	for axis, want := range []hands.Hands{
		sent,
		{Roll: -250, Pitch: -200, Yaw: 300, Throttle: 400},
		{Roll: 100, Pitch: -250, Yaw: 300, Throttle: 400},
		{Roll: 100, Pitch: -200, Yaw: -250, Throttle: 400},
		{Roll: 100, Pitch: -200, Yaw: 300, Throttle: 750},
	} {
		f := Faults{StuckAxis: int64(axis), StuckAt: -0.25}
		if axis == 4 {
			f.StuckAt = 0.75
		}
		p := ideal(30)
		s, heard := Start(&p, 1), Heard{}
		for tick := range int64(200) {
			Carry(&p, &s, &sent, 1, tick, &f, &heard)
			if tick < 30 {
				require.Equal(t, hands.Rest(), heard.Hands, "nothing was heard yet")
				continue
			}
			require.Equal(t, want, heard.Hands, "axis %d, tick %d", axis, tick)
		}
		for tick := int64(200); tick < 220; tick++ {
			Carry(&p, &s, &sent, 1, tick, &Faults{}, &heard)
		}
		assert.Equal(t, sent, heard.Hands, "after it")
	}
}
