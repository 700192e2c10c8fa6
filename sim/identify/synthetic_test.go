package identify

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
)

// made is a craft that does not exist, with a flight that was made up.
type made struct {
	thrust, lag           float64
	drag, offset          [2]float64
	turn                  [3][4]float64
	damping               [3]float64
	forceNoise, gyroNoise float64
	seconds               float64
	seed                  uint64
}

// madeQuad is near to what a palm-sized quadrotor shows.
func madeQuad(seed uint64) made {
	return made{
		thrust: 0.28, lag: 0.035,
		drag: [2]float64{0.41, 0.38}, offset: [2]float64{0.05, -0.03},
		turn: [3][4]float64{
			{-9, -9.5, 9.2, 9.1},
			{-8, 8.3, 8.1, -8.2},
			{-0.7, 0.6, -0.65, 0.62},
		},
		damping:    [3]float64{2, 1.5, 0.5},
		forceNoise: 0.1, gyroNoise: 0.02,
		seconds: 24, seed: seed,
	}
}

var madeStream = kernel.NewStream("identify test")

// fly makes the log: motors off for a second, then duties that wander by sums of
// sines, four millisecond steps to each logged row being solved by small steps
// of their own (0.1 ms), so that the lag in the log is not the fit's own formula.
func (m *made) fly() string {
	var b bytes.Buffer
	b.WriteString(strings.Join(fixedColumns, ",") + ",u1,u2,u3,u4\n")
	const rowTime, inner = 0.01, 100
	var speed [4]float64
	var omega [3]float64
	for i := range int(m.seconds / rowTime) {
		t := float64(i) * rowTime
		m.write(&b, i, t, speed, omega)
		for n := range inner {
			at := t + (float64(n)+0.5)*rowTime/inner
			from, to := m.volts(t), m.volts(t+rowTime)
			share := (at - t) / rowTime
			for k := range speed {
				x := from[k] + share*(to[k]-from[k])
				speed[k] += (x - speed[k]) * rowTime / inner / m.lag
			}
			for axis := range omega {
				alpha := -m.damping[axis] * omega[axis]
				for k := range speed {
					alpha += m.turn[axis][k] * (speed[k]*speed[k] - 8.75)
				}
				omega[axis] += alpha * rowTime / inner
			}
		}
	}
	return b.String()
}

func cell(t float64) float64 { return 3.9 - 0.01*t }

// duty is a wandering duty of rotor k at time t, with its own mix of periods.
func (m *made) duty(k int, t float64) float64 {
	if t < 1 {
		return 0
	}
	u := 0.78
	for n := range 5 {
		phase := 2 * math.Pi * kernel.Uniform(m.seed, madeStream, int64(k), uint64(n))
		u += 0.02 * math.Sin((3.1+float64(4*n)+1.3*float64(k))*t+phase)
	}
	return u
}

func (m *made) volts(t float64) (x [4]float64) {
	for k := range x {
		x[k] = m.duty(k, t) * cell(t)
	}
	return x
}

func (m *made) write(b *bytes.Buffer, i int, t float64, speed [4]float64, omega [3]float64) {
	noise := func(n uint64) float64 { return kernel.Normal(m.seed, madeStream, int64(i+1000), n) }
	q := kernel.QuatEuler(0.1*math.Sin(2*t), 0.1*math.Cos(1.7*t), 0.3*t)
	v := kernel.Vec3{X: 1.2 * math.Sin(0.9*t), Y: 0.9 * math.Cos(1.3*t), Z: 0.2 * math.Sin(t)}
	height := 0.05
	if t > 2 {
		height = 1
	}
	velB := q.RotateInv(v)
	fz := m.forceNoise * noise(2)
	for k := range speed {
		fz += m.thrust * speed[k] * speed[k]
	}
	fmt.Fprintf(b, "%g,0,0,%g,%.17g,%.17g,%.17g,%.17g,%g,%g,%g,%g,%g,%g,%g,%g,%g,%g", t, height, q.W, q.X, q.Y, q.Z, v.X, v.Y, v.Z,
		m.offset[0]-m.drag[0]*velB.X+m.forceNoise*noise(0),
		m.offset[1]-m.drag[1]*velB.Y+m.forceNoise*noise(1), fz,
		omega[0]+m.gyroNoise*noise(3), omega[1]+m.gyroNoise*noise(4), omega[2]+m.gyroNoise*noise(5), cell(t))
	for k := range 4 {
		fmt.Fprintf(b, ",%g", m.duty(k, t))
	}
	b.WriteByte('\n')
}

func (m *made) read(t testing.TB) *Log {
	t.Helper()
	l, err := Read("made.csv", strings.NewReader(m.fly()))
	require.NoError(t, err)
	return l
}

// Goal: what is fitted is what is there, and the errors are neither too small
// nor so large that any number would do. Method: a made-up flight with known
// figures and white noise; each figure within three of its standard errors, and
// each error below a share of the figure.
func TestKnownCraftIsRecovered(t *testing.T) {
	for seed := range uint64(3) {
		m := madeQuad(seed + 1)
		f, err := Craft(m.read(t))
		require.NoError(t, err)
		for _, c := range []struct {
			name  string
			got   Estimate
			want  float64
			error float64 // most standard error, as a share of want
		}{
			{"thrust", f.Thrust, m.thrust, 0.005},
			{"motor lag", f.Lag, m.lag, 0.15},
			{"lag of turning", f.TurnLag, m.lag, 0.15},
			{"drag x", f.Drag[0], m.drag[0], 0.05},
			{"drag y", f.Drag[1], m.drag[1], 0.05},
			{"offset x", f.Offset[0], m.offset[0], 0.2},
			{"offset y", f.Offset[1], m.offset[1], 0.2},
			{"roll of rotor 1", f.Turn[0].Rotor[0], m.turn[0][0], 0.1},
			{"roll of rotor 4", f.Turn[0].Rotor[3], m.turn[0][3], 0.1},
			{"pitch of rotor 2", f.Turn[1].Rotor[1], m.turn[1][1], 0.1},
			{"yaw of rotor 3", f.Turn[2].Rotor[2], m.turn[2][2], 0.9},
		} {
			t.Logf("seed %d, %s: %.4f ± %.4f, is %.4f", seed, c.name, c.got.Value, c.got.Error, c.want)
			if math.Abs(c.got.Value-c.want) > 3*c.got.Error {
				t.Errorf("seed %d, %s: %.5g ± %.5g, want %.5g within three errors", seed, c.name, c.got.Value, c.got.Error, c.want)
			}
			if c.got.Error <= 0 || c.got.Error > c.error*math.Abs(c.want) {
				t.Errorf("seed %d, %s: the error is %.3g, want above 0 and at most %.3g", seed, c.name, c.got.Error, c.error*math.Abs(c.want))
			}
			if !(c.got.Low <= c.got.Value && c.got.Value <= c.got.High) {
				t.Errorf("seed %d, %s: %.4g does not lie between %.4g and %.4g", seed, c.name, c.got.Value, c.got.Low, c.got.High)
			}
		}
	}
}

// Goal: the words name the places of the rotors as the made craft has them.
func TestPlacesOfRotorsAreTold(t *testing.T) {
	m := madeQuad(1)
	m.gyroNoise = 0.002
	f, err := Craft(m.read(t))
	require.NoError(t, err)
	require.Equal(t, "it stands in front, on the right; it turns anticlockwise seen from above", f.Place(0))
	require.Equal(t, "it stands at the rear, on the right; it turns clockwise seen from above", f.Place(1))
	require.Equal(t, "it stands at the rear, on the left; it turns anticlockwise seen from above", f.Place(2))
	require.Equal(t, "it stands in front, on the left; it turns clockwise seen from above", f.Place(3))
}

// Goal: without noise the model leaves nothing but the made flight's own
// integration error, so a term that is wrong or out of step would show.
func TestWithoutNoiseNothingIsLeft(t *testing.T) {
	m := madeQuad(2)
	m.forceNoise, m.gyroNoise = 0, 0
	f, err := Craft(m.read(t))
	require.NoError(t, err)
	require.InDelta(t, m.lag, f.Lag.Value, 0.0003)
	require.InDelta(t, m.thrust, f.Thrust.Value, 1e-4)
	require.InDelta(t, m.drag[0], f.Drag[0].Value, 1e-6)
	for axis := range 3 {
		require.Less(t, f.Own.Force[axis].RMS, 0.005, "axis %d", axis)
		require.Greater(t, f.Turn[axis].R2, 0.99, "axis %d", axis)
	}
}

// Goal: the same log gives the same figures.
func TestFitIsRepeatable(t *testing.T) {
	m := madeQuad(3)
	l := m.read(t)
	a, err := Craft(l)
	require.NoError(t, err)
	b, err := Craft(l)
	require.NoError(t, err)
	require.Equal(t, a, b)
}

// Goal: a log without a flight, or with duties that cannot be told apart, is
// refused with a reason.
func TestCraftRefusesWhatCannotBeFitted(t *testing.T) {
	m := madeQuad(1)
	t.Run("never left the floor", func(t *testing.T) {
		l := m.read(t)
		for i := range l.Rows {
			l.Rows[i].PosW.Z = 0.05
		}
		_, err := Craft(l)
		require.ErrorIs(t, err, ErrNotFlown)
	})
	t.Run("gaps", func(t *testing.T) {
		l := m.read(t)
		for i := range l.Rows {
			l.Rows[i].Time += float64(i / 300)
		}
		_, err := Craft(l)
		require.ErrorIs(t, err, ErrNotFlown)
	})
	t.Run("two rotors always alike", func(t *testing.T) {
		l := m.read(t)
		for i := range l.Rows {
			l.Rows[i].Duty[1] = l.Rows[i].Duty[0]
		}
		_, err := Craft(l)
		require.ErrorContains(t, err, "cannot be told apart")
	})
}
