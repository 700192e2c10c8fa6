package estimate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/sense"
)

// What the filter does when the camera goes wrong. These are the behaviours that
// make a rehearsal of it worth while, so they are held here with the default
// sensors and filter, over several seeds.

// settled flies ten seconds.
func settled(seed uint64) (*flight, Params, State) {
	p := DefaultParams()
	f := newFlight(sense.DefaultParams(), seed, false)
	s := Start(&p, f.craft.PosW, 0)
	f.fly(&p, &s, 10_000)
	return f, p, s
}

func posError(f *flight, s *State) kernel.Vec3 { return s.Belief.PosW.Sub(f.craft.PosW) }

// Goal: a camera that drifts slowly is followed, in position and velocity, while
// it still agrees: the gate cannot tell it from motion. This is the dangerous
// case, misleading and not flagged.
func TestSlowDriftIsFollowed(t *testing.T) {
	for _, speed := range []float64{0.1, 0.3, 0.5} {
		for seed := range uint64(8) {
			f, p, s := settled(seed)
			agrees, rejected := 0, 0
			for k := range 4000 {
				f.faults.FixOffsetW.X = speed * float64(k) * dynamics.DT
				before := s.Rejected
				f.fly(&p, &s, 1)
				if s.Belief.Health == Agrees {
					agrees++
				}
				if s.Rejected > before {
					rejected++
				}
			}
			assert.InDelta(t, 4*speed, posError(f, &s).X, 0.08, "position, %g m/s", speed)
			assert.InDelta(t, speed, s.Belief.VelW.X, 0.08, "velocity, %g m/s", speed)
			assert.Zero(t, rejected, "%g m/s", speed)
			assert.Greater(t, agrees, 3600, "%g m/s", speed)
		}
	}
}

// Goal: a jump of 1 m is refused at first and believed within half a second, by
// a step of the position that leaves the velocity alone; the word gets worse for
// a while, not to the worst, and comes back.
func TestJumpIsRefusedThenBelieved(t *testing.T) {
	for seed := range uint64(8) {
		f, p, s := settled(seed)
		f.faults.FixOffsetW.Y = 1
		f.fly(&p, &s, 200)
		assert.InDelta(t, 0, posError(f, &s).Y, 0.05, "refused")
		assert.Positive(t, s.Rejected)
		worst := s.Belief.Health
		believed := 0
		for k := 200; k < 3000; k++ {
			f.fly(&p, &s, 1)
			worst = max(worst, s.Belief.Health)
			if believed == 0 && posError(f, &s).Y > 0.9 {
				believed = k
				assert.InDelta(t, 0, s.Belief.VelW.Y, 0.1)
			}
		}
		assert.Positive(t, believed)
		assert.LessOrEqual(t, believed, 500, "ticks")
		assert.InDelta(t, 1, posError(f, &s).Y, 0.05)
		assert.Equal(t, Doubtful, worst)
		assert.Equal(t, Agrees, s.Belief.Health)
	}
}

// Goal: lost fixes show as doubtful within 0.5 s and as disagreeing within 1 s,
// wherever in the camera's cycle they begin; the word recovers step by step
// after they come back.
func TestLostFixesAreTold(t *testing.T) {
	for seed := range uint64(8) {
		f, p, s := settled(seed)
		f.fly(&p, &s, int(seed)*5)
		f.faults.FixesLost = true
		f.fly(&p, &s, 300)
		assert.Equal(t, Agrees, s.Belief.Health)
		f.fly(&p, &s, 200)
		assert.Equal(t, Doubtful, s.Belief.Health)
		f.fly(&p, &s, 500)
		assert.Equal(t, Disagrees, s.Belief.Health)
		assert.True(t, s.Belief.HeightOK, "the range finder still gives height")
		assert.InDelta(t, 1000, float64(s.Belief.SinceFix), 41)

		f.faults.FixesLost = false
		f.fly(&p, &s, 500)
		assert.Equal(t, Disagrees, s.Belief.Health, "not at once")
		f.fly(&p, &s, 1000)
		assert.Equal(t, Doubtful, s.Belief.Health)
		f.fly(&p, &s, 1000)
		assert.Equal(t, Agrees, s.Belief.Health)
		assert.Less(t, posError(f, &s).Norm(), 0.06)
	}
}

// Goal: a heading that turns slowly in the camera is followed, a step of it is
// refused and then believed, and position stays.
func TestHeadingFaults(t *testing.T) {
	f, p, s := settled(1)
	for k := range 10_000 {
		f.faults.FixYaw = 0.01 * float64(k) * dynamics.DT
		f.fly(&p, &s, 1)
	}
	assert.InDelta(t, 0.1, s.Belief.QWB.Yaw(), 0.03)
	assert.Equal(t, Agrees, s.Belief.Health)

	f, p, s = settled(2)
	f.faults.FixYaw = 0.8
	f.fly(&p, &s, 200)
	assert.InDelta(t, 0, s.Belief.QWB.Yaw(), 0.02, "refused")
	f.fly(&p, &s, 300)
	assert.InDelta(t, 0.8, s.Belief.QWB.Yaw(), 0.03, "believed")
	assert.Less(t, posError(f, &s).Norm(), 0.06)
	f.fly(&p, &s, 3000)
	assert.InDelta(t, 0.8, s.Belief.QWB.Yaw(), 0.03)
	assert.Equal(t, Agrees, s.Belief.Health)
}

// Goal: flying over a box moves the surface, not the height; leaving it comes back
// to the floor exactly.
func TestBoxEdgeIsNotAHeightStep(t *testing.T) {
	for seed := range uint64(8) {
		f, p, s := settled(seed)
		box := dynamics.Box{Min: kernel.Vec3{X: -1, Y: -1}, Max: kernel.Vec3{X: 1, Y: 1, Z: 0.6}}
		f.place.Boxes[0], f.place.BoxCount = box, 1
		for range 3000 {
			f.fly(&p, &s, 1)
			require.InDelta(t, 0, posError(f, &s).Z, 0.06)
		}
		assert.InDelta(t, 0.6, s.Ground.Height, 0.06)
		f.place.BoxCount = 0
		for range 3000 {
			f.fly(&p, &s, 1)
			require.InDelta(t, 0, posError(f, &s).Z, 0.06)
		}
		assert.Equal(t, 0.0, s.Ground.Height)
		assert.Less(t, s.Ground.Since, int64(40))
	}
}

// Goal: without a camera the range finder holds the height, also where the
// filter has come to believe itself below the floor.
func TestHeightFromRangeAlone(t *testing.T) {
	f, p, s := settled(4)
	f.faults.FixesLost = true
	f.fly(&p, &s, 5000)
	assert.InDelta(t, 0, posError(f, &s).Z, 0.05)
	s.Belief.PosW.Z -= 0.5
	f.fly(&p, &s, 200)
	assert.InDelta(t, 0, posError(f, &s).Z, 0.05)
	f.place.Max.Z, f.place.Min.Z = 50, -50 // nothing within reach
	f.fly(&p, &s, 200)
	assert.False(t, s.Belief.HeightOK)
}

// Goal: a camera whose height drifts is not followed while the range finder sees
// the floor: height stays, the camera is found out.
func TestHeightDriftIsFoundOut(t *testing.T) {
	for _, speed := range []float64{-0.3, -0.1, 0.1, 0.3} {
		f, p, s := settled(1)
		for k := range 4000 {
			f.faults.FixOffsetW.Z = speed * float64(k) * dynamics.DT
			f.fly(&p, &s, 1)
			require.InDelta(t, 0, posError(f, &s).Z, 0.08, "%g m/s", speed)
		}
		assert.Less(t, posError(f, &s).NormXY(), 0.06)
		assert.Equal(t, Disagrees, s.Belief.Health)
	}
}

// Goal: what the model of motion leaves out heals: after a shock that the
// accelerometer missed, 0.7 m/s of velocity, no fix is refused and the velocity
// is right again within a second.
func TestShockHeals(t *testing.T) {
	for seed := range uint64(8) {
		f, p, s := settled(seed)
		s.Belief.VelW.X += 0.7
		for range 1000 {
			f.fly(&p, &s, 1)
			require.Zero(t, s.Rejected)
			require.Less(t, posError(f, &s).Norm(), 0.2)
		}
		assert.Less(t, s.Belief.VelW.Norm(), 0.15)
		assert.Equal(t, Agrees, s.Belief.Health)
	}
}

// Goal: a wild flight with the default sensors, lags included, is no reason to
// doubt the camera.
func TestWildFlight(t *testing.T) {
	for seed := range uint64(4) {
		p := DefaultParams()
		f := newFlight(sense.DefaultParams(), seed, false)
		f.motion, f.craft.PosW.Z, f.p.RangeMax = tossing, 8, 12
		s := Start(&p, f.craft.PosW, 0)
		for k := range 15_000 {
			f.fly(&p, &s, 1)
			require.Zero(t, s.Rejected)
			require.Equal(t, Agrees, s.Belief.Health)
			if k > 2000 {
				require.Less(t, posError(f, &s).Norm(), 0.08)
				require.Less(t, s.Belief.VelW.Sub(f.craft.VelW).Norm(), 0.2)
				require.Less(t, s.Belief.QWB.Conj().Mul(f.craft.QWB).Log().Norm(), 0.025)
			}
		}
	}
}

// Goal: a fix that no exposure waits for changes nothing.
func TestFixWithoutExposureIsIgnored(t *testing.T) {
	_, p, s := settled(1)
	Drop(&s.Cov, &s.Clone)
	r := sense.Reading{AccelB: kernel.Vec3{Z: g0}}
	a, b := s, s
	Fuse(&p, &a, &r, 10_000)
	r.Fix = sense.Fix{New: true, PosW: kernel.Vec3{X: 9}, QWB: kernel.QuatIdentity}
	Fuse(&p, &b, &r, 10_000)
	assert.Equal(t, a, b)
}

// Goal: a filter is a value: a copy made in flight goes on to the same bits, and
// zero faults are no faults.
func TestForkGoesOnAlike(t *testing.T) {
	f, p, s := settled(6)
	f.fly(&p, &s, 17) // between exposure and fix
	g, fork := *f, s
	f.fly(&p, &s, 3000)
	g.faults = sense.Faults{FixOffsetW: kernel.Vec3{X: 0 * math.Pi}}
	g.fly(&p, &fork, 3000)
	assert.Equal(t, s, fork)
	assert.True(t, s == fork, "plain and comparable")
}

func TestFuseDoesNotAllocate(t *testing.T) {
	p, s, log := warm()
	i := 0
	assert.Zero(t, testing.AllocsPerRun(900, func() {
		Fuse(&p, &s, &log[i], int64(i))
		i++
	}))
}

func TestValidate(t *testing.T) {
	p := DefaultParams()
	require.NoError(t, p.Validate())
	p.GyroNoise, p.FixGate, p.Reaccept, p.RangeMaxTilt, p.Disagree.NIS = 0, 5, 0, 1.5, math.NaN()
	err := p.Validate()
	for _, name := range []string{"GyroNoise", "FixGate", "Reaccept", "RangeMaxTilt", "Disagree.NIS"} {
		assert.ErrorContains(t, err, name)
	}
	assert.Len(t, err.(interface{ Unwrap() []error }).Unwrap(), 5)
}

func TestHealthWords(t *testing.T) {
	assert.Equal(t, "agrees", Agrees.String())
	assert.Equal(t, "is doubtful", Doubtful.String())
	assert.Equal(t, "disagrees", Disagrees.String())
}

// Goal: the series of small turns is the exponential map.
func TestSmallTurn(t *testing.T) {
	for _, k := range []float64{0, 1e-6, 0.01, 0.1, 0.25} {
		phi := kernel.Vec3{X: 0.6 * k, Y: -0.64 * k, Z: 0.48 * k}
		assert.InDelta(t, 0, smallTurn(phi).Conj().Mul(kernel.QuatExp(phi)).Log().Norm(), 3e-12)
		q := turnedBy(kernel.QuatYaw(1), phi.Scale(8))
		assert.InDelta(t, 0, q.Conj().Mul(kernel.QuatYaw(1).Mul(kernel.QuatExp(phi.Scale(8)))).Log().Norm(), 1e-11)
	}
}
