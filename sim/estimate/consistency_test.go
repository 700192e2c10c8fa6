package estimate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/sense"
)

// matched returns sensors and a filter that assumes exactly their noise: no lag,
// no walk of the camera.
func matched() (sense.Params, Params) {
	sp, p := sense.DefaultParams(), DefaultParams()
	sp.Gyro.Lag, sp.Accel.Lag, sp.FixPosWalk, sp.FixHeightWalk, sp.FixYawWalk = 0, 0, 0, 0, 0
	p.GyroNoise, p.GyroWalk, p.StartGyroBias = sp.Gyro.Noise, sp.Gyro.Walk, sp.Gyro.Start
	p.AccelNoise, p.AccelWalk, p.StartAccelBias = sp.Accel.Noise, sp.Accel.Walk, sp.Accel.Start
	p.FixPosSigma, p.FixAngSigma, p.RangeSigma = sp.FixPosSigma, sp.FixAngSigma, sp.RangeSigma
	return sp, p
}

// drawn starts the filter off the truth by an error drawn from its own P0.
func drawn(f *flight, p *Params) State {
	s := Start(p, f.craft.PosW, 0)
	draw := func(name string) kernel.Vec3 { return kernel.Normal3(f.seed, kernel.NewStream(name), 0, 0) }
	s.Belief.PosW = f.craft.PosW.AddScaled(p.StartPos, draw("pos"))
	s.Belief.VelW = f.craft.VelW.AddScaled(p.StartVel, draw("vel"))
	a := draw("att")
	tilt := kernel.Vec3{X: a.X * p.StartTilt, Y: a.Y * p.StartTilt, Z: a.Z * p.StartYaw}
	s.Belief.QWB = f.craft.QWB.Mul(kernel.QuatExp(tilt.Neg()))
	return s
}

// estimateError returns truth less estimate of the fifteen states.
func estimateError(f *flight, s *State) *mat.VecDense {
	e := mat.NewVecDense(3*Live, nil)
	for b, v := range [Live]kernel.Vec3{
		f.craft.PosW.Sub(s.Belief.PosW),
		f.craft.VelW.Sub(s.Belief.VelW),
		s.Belief.QWB.Conj().Mul(f.craft.QWB).Log(),
		f.s.Gyro.Bias.Sub(s.GyroBias),
		f.s.Accel.Bias.Sub(s.AccelBias),
	} {
		for k, x := range triple(v) {
			e.SetVec(3*b+k, x)
		}
	}
	return e
}

// factor returns the Cholesky factor of the covariance of the first n states.
func factor(t *testing.T, p *Cov, n int) *mat.Cholesky {
	t.Helper()
	d := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			d.SetSym(i, j, p.At(i, j))
		}
	}
	var c mat.Cholesky
	require.True(t, c.Factorize(d), "positive definite")
	return &c
}

// Goal: the filter knows how wrong it is. Method: 40 seeds, initial errors drawn
// from P0, noise as assumed; the normalised estimation error squared of 15 states,
// averaged over seeds, lies in the 99 % interval of chi-square with 15·40 degrees
// of freedom over 40 (12.9 … 17.3) at most times, and so does NIS with 6·40 (4.7 …
// 7.5) (Bar-Shalom, Li and Kirubarajan, Estimation with Applications to Tracking
// and Navigation, 2001, section 5.4, from memory). The mean over all times lies
// in a narrower band.
func TestConsistency(t *testing.T) {
	const seeds, looks, every = 40, 40, 500
	sp, p := matched()
	var nees, nis [looks]float64
	for seed := range uint64(seeds) {
		f := newFlight(sp, seed, true)
		s := drawn(f, &p)
		for k := range looks {
			f.fly(&p, &s, every)
			e := estimateError(f, &s)
			var x mat.VecDense
			require.NoError(t, factor(t, &s.Cov, 3*Live).SolveVecTo(&x, e))
			nees[k] += mat.Dot(e, &x) / seeds
			nis[k] += s.Belief.NIS / seeds
		}
		require.Zero(t, s.Rejected)
	}
	within := func(name string, y []float64, dof float64) {
		law := distuv.ChiSquared{K: dof * seeds}
		lo, hi := law.Quantile(0.005)/seeds, law.Quantile(0.995)/seeds
		inside, sum := 0, 0.0
		for _, v := range y {
			sum += v / looks
			if v > lo && v < hi {
				inside++
			}
		}
		t.Logf("%s: mean %.2f, %d of %d within %.1f … %.1f", name, sum, inside, looks, lo, hi)
		assert.GreaterOrEqual(t, inside, looks*9/10, name)
		assert.InEpsilon(t, dof, sum, 0.05, name)
	}
	within("NEES", nees[:], 15)
	within("NIS", nis[:], 6)
}

// Goal: a canary. A filter that takes the noise density for half of what it is,
// and fixes for half as uncertain, must be found out by the same figures.
func TestConsistencyFindsAnOverconfidentFilter(t *testing.T) {
	const seeds = 20
	sp, p := matched()
	p.FixPosSigma, p.FixAngSigma = p.FixPosSigma/2, p.FixAngSigma/2
	nees := 0.0
	for seed := range uint64(seeds) {
		f := newFlight(sp, seed, true)
		s := drawn(f, &p)
		f.fly(&p, &s, 5000)
		e := estimateError(f, &s)
		var x mat.VecDense
		require.NoError(t, factor(t, &s.Cov, 3*Live).SolveVecTo(&x, e))
		nees += mat.Dot(e, &x) / seeds
	}
	assert.Greater(t, nees, distuv.ChiSquared{K: 15 * seeds}.Quantile(0.995)/seeds)
}

// Goal: ten minutes of flight leave the covariance positive definite and
// symmetric, its size steady, the attitude of unit length, and the errors of the
// default filter small.
func TestTenMinutes(t *testing.T) {
	if testing.Short() {
		t.Skip("flies ten minutes")
	}
	p := DefaultParams()
	f := newFlight(sense.DefaultParams(), 21, true)
	s := Start(&p, f.craft.PosW, 0)
	s.Belief.VelW = f.craft.VelW
	for minute := range 10 {
		f.fly(&p, &s, 60_000)
		require.False(t, s.Clone.Live, "the last fix arrived ten ticks ago")
		assert.Less(t, factor(t, &s.Cov, 3*Live).Cond(), 1e9, "condition, mixed units")
		for _, k := range [...]int{pp, vv, tt, gg, aa} {
			require.Equal(t, s.Cov[k], s.Cov[k].Transpose())
		}
		q := s.Belief.QWB
		assert.InDelta(t, 1, q.W*q.W+q.X*q.X+q.Y*q.Y+q.Z*q.Z, 1e-12)
		assert.InDelta(t, 0.008, s.Belief.SigmaPos, 0.004, "minute %d", minute)
		assert.Less(t, f.craft.PosW.Sub(s.Belief.PosW).Norm(), 0.25, "the camera walks 3 mm/√s")
		assert.Less(t, s.Belief.QWB.Conj().Mul(f.craft.QWB).Log().Norm(), 0.05)
		assert.Equal(t, Agrees, s.Belief.Health)
	}
}

// Goal: dead reckoning alone drifts by textbook figures. A constant
// accelerometer bias b gives b·t²/2, a constant gyro bias w gives g·w·t³/6
// (Groves, Principles of GNSS, Inertial, and Multisensor Integrated Navigation
// Systems, 2nd ed. 2013, section 5.7; Woodman, UCAM-CL-TR-696, 2007; from memory).
func TestOpenLoopDrift(t *testing.T) {
	const degree = math.Pi / 180
	for _, c := range []struct {
		name        string
		gyro, accel kernel.Vec3
		want        map[int]float64 // tick → m
		tol         float64
	}{
		{"10 mg", kernel.Vec3{}, kernel.Vec3{X: 0.01 * g0}, map[int]float64{1000: 0.04903, 5000: 1.22583, 10000: 4.90333}, 1e-4},
		{"0.1 °/s", kernel.Vec3{Y: 0.1 * degree}, kernel.Vec3{}, map[int]float64{1000: 0.002853, 5000: 0.356580, 10000: 2.852639}, 1e-3},
	} {
		p := DefaultParams()
		s := Start(&p, kernel.Vec3{}, 0)
		r := sense.Reading{GyroB: c.gyro, AccelB: kernel.Vec3{Z: g0}.Add(c.accel)}
		for tick := 1; tick <= 10_000; tick++ {
			Fuse(&p, &s, &r, int64(tick))
			if want, ok := c.want[tick]; ok {
				assert.InEpsilon(t, want, math.Abs(s.Belief.PosW.X), c.tol, "%s at %g s", c.name, float64(tick)*dynamics.DT)
			}
		}
	}
}

// Goal: with perfect sensors the strapdown follows a turning, accelerating craft
// to second order in the tick: 0.05 mm after ten seconds of dead reckoning.
func TestStrapdownFollowsPerfectSensors(t *testing.T) {
	p := DefaultParams()
	f := newFlight(quiet(), 1, true)
	f.faults.FixesLost = true
	s := Start(&p, f.craft.PosW, 0)
	s.Belief.VelW = f.craft.VelW
	for range 10_000 {
		f.step()
		f.r.RangeNew = false
		Fuse(&p, &s, &f.r, f.tick)
		f.tick++
	}
	assert.Less(t, f.craft.PosW.Sub(s.Belief.PosW).Norm(), 5e-5)
	assert.Less(t, s.Belief.QWB.Conj().Mul(f.craft.QWB).Log().Norm(), 1e-9)
	assert.InDelta(t, 0, s.Belief.OmegaB.Sub(f.craft.OmegaB).Norm(), 1e-15)
	a, _ := f.motion(float64(f.tick-1) * dynamics.DT)
	assert.InDelta(t, 0, s.Belief.AccelW.Sub(a).Norm(), 1e-4)
}
