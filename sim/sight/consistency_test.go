package sight_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
	"lapwing/sim/sense"
	"lapwing/sim/sight"
)

// exactEye gives relative poses with exactly the noise that their rows claim:
// truth plus white noise of transSigma and turnSigma, a new keyframe every
// twelfth picture.
type exactEye struct {
	keyW, shotW vec
	keyQ, shotQ kernel.Quat
	frames      int64
}

const (
	transSigma = 4e-3 // m
	turnSigma  = 1e-3 // rad
)

var exactNoise = kernel.NewStream("test exact relative pose")

func (e *exactEye) look(f *flight, rel *estimate.Relative) {
	*rel = estimate.Relative{}
	switch f.tick % sight.FrameTicks {
	case 0:
		rel.Exposed = true
		e.shotW, e.shotQ = f.craft.PosW, f.craft.QWB
		e.frames++
	case 30:
		if f.tick < sight.FrameTicks {
			return
		}
		rel.New = true
		rel.Rekey = e.frames%12 == 1
		if g := f.belief.Guess(&f.sp); g.Live {
			e.rows(f.seed, &g, rel)
		}
		if rel.Rekey {
			e.keyW, e.keyQ = e.shotW, e.shotQ
		}
	}
}

func (e *exactEye) rows(seed uint64, g *estimate.Guess, rel *estimate.Relative) {
	t := e.keyQ.RotateInv(e.shotW.Sub(e.keyW)).Sub(g.TransB)
	turn := g.Turn.Conj().Mul(e.keyQ.Conj().Mul(e.shotQ)).Log()
	t = t.AddScaled(transSigma, kernel.Normal3(seed, exactNoise, e.frames, 0))
	turn = turn.AddScaled(turnSigma, kernel.Normal3(seed, exactNoise, e.frames, 1))
	rel.Rows = 6
	for i, axis := range [3]vec{{X: 1}, {Y: 1}, {Z: 1}} {
		rel.Z[i], rel.Trans[i] = axis.Dot(t)/transSigma, axis.Scale(1/transSigma)
		rel.Z[3+i], rel.Turn[3+i] = axis.Dot(turn)/turnSigma, axis.Scale(1/turnSigma)
	}
	rel.Sight = estimate.Sight{Tracks: 60, Known: 60, WeakSigma: transSigma}
}

// matched makes sensors and filter agree on the inertial noise, without lag.
func (f *flight) matched() {
	sp, p := &f.sense, &f.params
	sp.Gyro.Lag, sp.Accel.Lag = 0, 0
	p.GyroNoise, p.GyroWalk, p.StartGyroBias = sp.Gyro.Noise, sp.Gyro.Walk, sp.Gyro.Start
	p.AccelNoise, p.AccelWalk, p.StartAccelBias = sp.Accel.Noise, sp.Accel.Walk, sp.Accel.Start
	p.RangeSigma = sp.RangeSigma
	f.reset()
	f.astray()
}

// astray starts the filter off the truth by an error drawn from its P0.
func (f *flight) astray() {
	p := &f.params
	b := &f.belief.Belief
	draw := func(name string) vec { return kernel.Normal3(f.seed, kernel.NewStream(name), 0, 0) }
	b.PosW = b.PosW.AddScaled(p.StartPos, draw("pos"))
	b.VelW = b.VelW.AddScaled(p.StartVel, draw("vel"))
	a := draw("att")
	b.QWB = b.QWB.Mul(kernel.QuatExp(vec{X: a.X * p.StartTilt, Y: a.Y * p.StartTilt, Z: a.Z * p.StartYaw}.Neg()))
}

// nees returns the normalised estimation error squared of the first n states.
func (f *flight) nees(t *testing.T, n int) float64 {
	t.Helper()
	b := &f.belief
	e := mat.NewVecDense(n, nil)
	errors := [...]vec{f.craft.PosW.Sub(b.Belief.PosW), f.craft.VelW.Sub(b.Belief.VelW), b.Belief.QWB.Conj().Mul(f.craft.QWB).Log(),
		f.sensed.Gyro.Bias.Sub(b.GyroBias), f.sensed.Accel.Bias.Sub(b.AccelBias)}
	for i := range n {
		v := errors[i/3]
		e.SetVec(i, [3]float64{v.X, v.Y, v.Z}[i%3])
	}
	d := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			d.SetSym(i, j, b.Cov.At(i, j))
		}
	}
	var c mat.Cholesky
	require.True(t, c.Factorize(d), "positive definite")
	var x mat.VecDense
	require.NoError(t, c.SolveVecTo(&x, e))
	return mat.Dot(e, &x)
}

// consistency flies seeds with exact relative poses and gives mean NEES and NIS
// at each second.
func consistency(t *testing.T, seeds uint64, seconds int) (nees, nis []float64) {
	nees, nis = make([]float64, seconds), make([]float64, seconds)
	for seed := range seeds {
		f := newFlight(weave, hall(8, 6, 3.5), sight.Decor{}, seed)
		f.matched()
		var eye exactEye
		none := sense.Faults{FixesLost: true}
		f.sensors = func() {
			sense.Read(&f.sense, &f.sensed, &f.craft, &f.place, f.seed, f.tick, &none, &f.read)
			eye.look(f, &f.rel)
			estimate.FuseSighted(&f.params, &f.sp, &f.belief, &f.read, &f.rel, false, f.tick)
		}
		for k := range seconds {
			f.fly(1000)
			nees[k] += f.nees(t, 15) / float64(seeds)
			nis[k] += f.belief.Belief.NIS / float64(seeds)
		}
		require.Zero(t, f.belief.Rejected)
	}
	return nees, nis
}

// inside holds that the values lie between lo and hi at nine instants in ten.
func inside(t *testing.T, name string, y []float64, lo, hi float64) {
	n, sum := 0, 0.0
	for _, v := range y {
		sum += v / float64(len(y))
		if v > lo && v < hi {
			n++
		}
	}
	t.Logf("%s: mean %.2f, %d of %d within %.2f … %.2f", name, sum, n, len(y), lo, hi)
	assert.GreaterOrEqual(t, n, len(y)*9/10, name)
}

// bounds is the two-sided 95 % interval of the mean of chi-square over seeds.
func bounds(dof, seeds float64) (lo, hi float64) {
	law := distuv.ChiSquared{K: dof * seeds}
	return law.Quantile(0.025) / seeds, law.Quantile(0.975) / seeds
}

// Goal: the filter with a keyframe knows how wrong it is. Method: initial errors
// drawn from P0, relative poses and inertial noise exactly as assumed, latency
// and new keyframes as in flight; NEES of 15 states and NIS of 6, before gating,
// averaged over the seeds, lie in the chi-square interval at nine instants in
// ten (Bar-Shalom, Li and Kirubarajan, Estimation with Applications to Tracking
// and Navigation, 2001, section 5.4, from memory).
func TestConsistency(t *testing.T) {
	nees, nis := consistency(t, 20, 20)
	lo, hi := bounds(15, 20)
	inside(t, "NEES", nees, lo, hi)
	lo, hi = bounds(6, 20)
	inside(t, "NIS", nis, lo, hi)
}

// Goal: the same over 100 seeds: 13.95 … 16.09 for 15 states, 5.34 … 6.70 for 6.
func TestSlowConsistency(t *testing.T) {
	slow(t)
	lo, hi := bounds(15, 100)
	assert.InDelta(t, 13.95, lo, 0.01)
	assert.InDelta(t, 16.09, hi, 0.01)
	nees, nis := consistency(t, 100, 60)
	inside(t, "NEES", nees, lo, hi)
	lo, hi = bounds(6, 100)
	assert.InDelta(t, 5.34, lo, 0.01)
	assert.InDelta(t, 6.70, hi, 0.01)
	inside(t, "NIS", nis, lo, hi)
}

// Goal: also with the errors that stay, which no filter of white noise can know,
// it is neither overconfident nor timid by much: mean NEES over n within 0.7 …
// 1.5, for position, for position, velocity and attitude, and for all 15.
func biased(t *testing.T, seeds uint64) {
	states := [...]int{3, 9, 15}
	var sum [3]float64
	n := 0.0
	for seed := range seeds {
		f := rich(wander, seed)
		f.astray()
		f.fly(8000)
		for range 40 {
			f.fly(1000)
			for i, k := range states {
				sum[i] += f.nees(t, k) / float64(k)
			}
			n++
		}
	}
	for i, k := range states {
		t.Logf("%d seeds: NEES over n of %d states %.2f", seeds, k, sum[i]/n)
		assert.InDelta(t, 1.1, sum[i]/n, 0.4)
	}
}

func TestBiasedConsistency(t *testing.T)     { biased(t, 8) }
func TestSlowBiasedConsistency(t *testing.T) { slow(t); biased(t, 100) }
