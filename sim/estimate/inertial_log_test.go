package estimate

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"lapwing/dynamics/kernel"
	"lapwing/sim/sense"
)

// realLog is V1_01 of Burri et al., "The EuRoC micro aerial vehicle datasets",
// Int. J. Robotics Research 35(10), 2016: 200 Hz inertial samples and a 20 Hz
// truth. It is no part of this module: it is looked for in a folder beside it.
type realLog struct {
	imu   [][]float64 // t, gyro, specific force
	truth [][]float64 // t, position, quaternion, velocity, biases
}

func readRealLog(t *testing.T) *realLog {
	t.Helper()
	folder := filepath.Join("..", "..", "..", "shared", "data", "inertial")
	table := func(name string) (rows [][]float64) {
		file, err := os.Open(filepath.Join(folder, name))
		if os.IsNotExist(err) {
			t.Skipf("skipped: the inertial log %s is not here (V1_01 of Burri et al., IJRR 35(10), 2016; not part of this module)", filepath.Join(folder, name))
		}
		require.NoError(t, err)
		defer file.Close()
		all, err := csv.NewReader(file).ReadAll()
		require.NoError(t, err)
		for _, line := range all[1:] {
			row := make([]float64, len(line))
			for i, cell := range line {
				row[i], err = strconv.ParseFloat(cell, 64)
				require.NoError(t, err)
			}
			rows = append(rows, row)
		}
		return rows
	}
	return &realLog{imu: table("imu.csv"), truth: table("truth.csv")}
}

func vec(row []float64, at int) kernel.Vec3 {
	return kernel.Vec3{X: row[at], Y: row[at+1], Z: row[at+2]}
}

func pose(row []float64) (posW kernel.Vec3, qWB kernel.Quat) {
	return vec(row, 1), kernel.Quat{W: row[4], X: row[5], Y: row[6], Z: row[7]}.Normalized()
}

// realResult is what one flight through the log gave.
type realResult struct {
	pos, vel, att float64   // rms: m, m/s, rad
	nis, nees     float64   // means; 6 and 9 when consistent
	gaps          []float64 // m, position error at the end of each gap
}

// fly runs the filter over the log. Fixes made from the truth come at 20 Hz;
// where gapFrom ≥ 0 they are taken away for 5 s from there, every 10 s.
func (l *realLog) fly(t *testing.T, seed uint64, gapFrom float64) (r realResult) {
	p := DefaultParams()
	p.GyroNoise, p.AccelNoise = 1e-3, 2e-2 // in flight the static figures are too small
	p.FixPosSigma, p.FixAngSigma = 0.02, 0.5*math.Pi/180
	first := l.truth[0]
	s := Start(&p, kernel.Vec3{}, 0)
	s.Belief.PosW, s.Belief.QWB = pose(first)
	s.Belief.VelW, s.GyroBias, s.AccelBias = vec(first, 8), vec(first, 11), vec(first, 14)
	noise := kernel.NewStream("test real log fix")

	n, looks := 0, 0
	for k, sample := range l.imu[:len(l.imu)-1] {
		if n < len(l.truth) && math.Abs(sample[0]-l.truth[n][0]) < 2.4e-3 {
			posW, qWB := pose(l.truth[n])
			since := math.Mod(sample[0]-gapFrom, 10)
			gap := gapFrom >= 0 && sample[0] >= gapFrom && since < 5
			if !gap {
				if s.Belief.SinceFix > 4900 && sample[0] > 1 {
					r.gaps = append(r.gaps, posW.Sub(s.Belief.PosW).Norm())
				}
				f := sense.Fix{New: true, PosW: posW.AddScaled(p.FixPosSigma, kernel.Normal3(seed, noise, int64(n), 0))}
				f.QWB = qWB.Mul(kernel.QuatExp(kernel.Normal3(seed, noise, int64(n), 1).Scale(p.FixAngSigma)))
				Expose(&s.Cov, &s.Clone, s.Belief.PosW, s.Belief.QWB)
				takeFix(&p, &s, &f)
				r.nis += s.Belief.NIS
			}
			if sample[0] > 5 { // settled
				r.look(t, &s, posW, vec(l.truth[n], 8), qWB)
				looks++
			}
			n++
		}
		next := l.imu[k+1]
		ticks := int(math.Round((next[0] - sample[0]) * 1000))
		for range ticks {
			advance(&s, vec(sample, 1).Add(vec(next, 1)).Scale(0.5), vec(sample, 4).Add(vec(next, 4)).Scale(0.5), p.Gravity)
			s.Belief.SinceFix++
		}
		catchUp(&p, &s)
	}
	m := float64(looks)
	r.pos, r.vel, r.att = math.Sqrt(r.pos/m), math.Sqrt(r.vel/m), math.Sqrt(r.att/m)
	r.nees /= m
	r.nis /= float64(n)
	return r
}

// look adds one instant's errors.
func (r *realResult) look(t *testing.T, s *State, posW, velW kernel.Vec3, qWB kernel.Quat) {
	e := mat.NewVecDense(9, nil)
	for b, v := range [...]kernel.Vec3{posW.Sub(s.Belief.PosW), velW.Sub(s.Belief.VelW), s.Belief.QWB.Conj().Mul(qWB).Log()} {
		for k, x := range triple(v) {
			e.SetVec(3*b+k, x)
		}
		*[...]*float64{&r.pos, &r.vel, &r.att}[b] += v.NormSq()
	}
	var x mat.VecDense
	require.NoError(t, factor(t, &s.Cov, 9).SolveVecTo(&x, e))
	r.nees += mat.Dot(e, &x)
}

// Goal: the filter holds on a real flight. Method: fixes of 2 cm and 0.5° at
// 20 Hz made from the truth, five seeds of their noise, means. The bounds leave
// little over what an independent filter gave on the same log: 1.4 cm, 3.1 cm/s,
// 0.20°, NIS 6.0, NEES 12.9.
func TestRealInertialLog(t *testing.T) {
	l := readRealLog(t)
	var mean realResult
	const seeds = 5
	for seed := range uint64(seeds) {
		r := l.fly(t, seed, -1)
		mean.pos += r.pos / seeds
		mean.vel += r.vel / seeds
		mean.att += r.att / seeds
		mean.nis += r.nis / seeds
		mean.nees += r.nees / seeds
	}
	degrees := mean.att * 180 / math.Pi
	t.Logf("rms %.2f cm, %.2f cm/s, %.3f°; NIS %.2f, NEES(9) %.2f", 100*mean.pos, 100*mean.vel, degrees, mean.nis, mean.nees)
	assert.LessOrEqual(t, mean.pos, 0.016)
	assert.LessOrEqual(t, mean.vel, 0.035)
	assert.LessOrEqual(t, degrees, 0.25)
	assert.InDelta(t, 6.05, mean.nis, 0.65)
	assert.InDelta(t, 10.75, mean.nees, 2.75)
}

// Goal: dead reckoning over a gap of five seconds is as good as the log allows:
// from the true state and biases the median error is 0.55 m.
func TestRealInertialLogGaps(t *testing.T) {
	l := readRealLog(t)
	var all []float64
	for _, from := range []float64{6, 8, 10, 12, 14} {
		all = append(all, l.fly(t, uint64(from), from).gaps...)
	}
	slices.Sort(all)
	median := all[len(all)/2]
	t.Logf("%d gaps of 5 s: median %.2f m, worst %.2f m", len(all), median, all[len(all)-1])
	require.Greater(t, len(all), 50)
	assert.LessOrEqual(t, median, 0.6)
}
