package control

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"lapwing/dynamics"
)

// wrenchOf adds up what thrusts t do: thrust along body z and the moments.
func wrenchOf(p *Params, t *[dynamics.MaxRotors]float64) (w [4]float64) {
	for i := range p.RotorCount {
		e := p.Rotors[i].Effect()
		for k := range w {
			w[k] += e[k] * t[i]
		}
	}
	return w
}

func designed(name string) Params { return Design(shapeOf(name).craft(), hall(), nil) }

// Goal: the mixer is the pseudo-inverse of the geometry. Reference: singular
// value decomposition (gonum), rank as found there.
func TestMixerIsThePseudoInverse(t *testing.T) {
	for _, sh := range shapes[1:] {
		p := Design(sh.craft(), hall(), nil)
		require.True(t, p.Mix.HasYaw && p.Mix.Tilts, sh.name)
		scale := p.scales()
		n := p.RotorCount
		b := mat.NewDense(4, n, nil)
		for i := range n {
			e := p.Rotors[i].Effect()
			for k := range 4 {
				b.Set(k, i, e[k]/scale[k])
			}
		}
		var svd mat.SVD
		require.True(t, svd.Factorize(b, mat.SVDThin))
		eye := mat.NewDiagDense(4, []float64{1, 1, 1, 1})
		var want mat.Dense
		svd.SolveTo(&want, eye, 4)
		for i := range n {
			got := [4]float64{p.Mix.Thrust[i], p.Mix.Roll[i], p.Mix.Pitch[i], p.Mix.Yaw[i]}
			for k := range 4 {
				assert.InDelta(t, want.At(i, k), got[k]*scale[k], 1e-12, "%s rotor %d demand %d", sh.name, i, k)
			}
		}
	}
}

// Signs by plain sense, for a quad whose rotors stand front-left, rear-left,
// rear-right, front-right, the first turning anticlockwise.
func TestMixerSigns(t *testing.T) {
	m := designed("quad-500g").Mix
	assert.Greater(t, m.Roll[0], 0.0, "right side down: more on the left")
	assert.Less(t, m.Pitch[0], 0.0, "nose down: less in front")
	assert.Less(t, m.Yaw[0], 0.0, "turning left: less of what turns left itself")
}

// Three rotors yaw only by their reaction, which four demands cannot use.
func TestThreeRotorsGiveYawUp(t *testing.T) {
	m := designed("tri-400g").Mix
	assert.True(t, m.Tilts)
	assert.False(t, m.HasYaw)
	assert.Equal(t, [dynamics.MaxRotors]float64{}, m.Yaw)
}

// Goal: what can be met is met exactly; what cannot costs yaw first, then
// thrust, then roll and pitch.
func TestWhatSaturationCosts(t *testing.T) {
	for _, name := range []string{"quad-500g", "hexa-paired", "octo-3kg"} {
		p := designed(name)
		w, arm := p.Weight, p.scales()
		roll, yaw := 0.1*w*arm[1], 0.05*w*arm[3]
		for _, c := range []struct {
			name   string
			d      Demand
			costs  Limited
			keepsT bool // roll and pitch as asked
			keepsF bool // thrust as asked
		}{
			{"within", Demand{w, roll, -roll, yaw}, Limited{}, true, true},
			{"yaw too much", Demand{w, roll, roll, 100 * yaw}, Limited{Yaw: true}, true, true},
			{"yaw too much the other way", Demand{w, -roll, roll, -100 * yaw}, Limited{Yaw: true}, true, true},
			{"full thrust and roll", Demand{10 * w, roll, 0, 0}, Limited{Yaw: true, Lift: true}, true, false},
			{"no thrust and pitch", Demand{0, 0, roll, yaw}, Limited{Yaw: true, Lift: true}, true, false},
			{"roll beyond all", Demand{w, 50 * roll, 10 * roll, yaw}, Limited{true, true, true}, false, false},
		} {
			t.Run(name+"/"+c.name, func(t *testing.T) {
				var th [dynamics.MaxRotors]float64
				lim, given := p.Mix.Allocate(&c.d, &p.Top, &th)
				assert.Equal(t, c.costs, lim)
				got := wrenchOf(&p, &th)
				if c.keepsF {
					assert.InDelta(t, c.d.Thrust, got[0], 1e-6*w)
				}
				if c.keepsT {
					assert.InDelta(t, c.d.Roll, got[1], 1e-6*w*arm[1])
					assert.InDelta(t, c.d.Pitch, got[2], 1e-6*w*arm[1])
				} else {
					ratio := got[1] / c.d.Roll
					assert.InDelta(t, ratio, got[2]/c.d.Pitch, 1e-6, "roll and pitch shrink together")
					assert.True(t, ratio > 0.05 && ratio < 1, "%g", ratio)
				}
				if lim == (Limited{}) {
					assert.InDelta(t, c.d.Yaw, got[3], 1e-6*w*arm[3])
				}
				assert.InDelta(t, given, got[0], 1e-6*w)
			})
		}
	}
}

// Goal: no more thrust is given up than must be. Reference: a search over added
// thrust and yaw on a fine grid.
func TestGivesUpNoMoreThanItMust(t *testing.T) {
	p := designed("hexa-paired")
	arm := p.scales()
	r := rand.New(rand.NewPCG(1, 2))
	checked := 0
	for range 200 {
		d := Demand{p.Weight * (0.2 + 2.3*r.Float64()), p.Weight * arm[1] * (r.Float64() - 0.5), p.Weight * arm[1] * (r.Float64() - 0.5), 0}
		var th, base [dynamics.MaxRotors]float64
		lim, given := p.Mix.Allocate(&d, &p.Top, &th)
		if !lim.Lift || lim.Tilts {
			continue
		}
		checked++
		p.Mix.partly(&d, 1, &base)
		less := 0.98 * (given - d.Thrust)
		for k := -2000; k <= 2000; k++ {
			yaw, ok := float64(k)*1e-3*p.Weight*arm[3], true
			for i := range p.RotorCount {
				x := base[i] + p.Mix.Thrust[i]*less + p.Mix.Yaw[i]*yaw
				ok = ok && x >= 0 && x <= p.Top[i]
			}
			require.False(t, ok, "with %g instead of %g N", less, given-d.Thrust)
		}
	}
	assert.Greater(t, checked, 20)
}

// FuzzAllocate: whatever is asked for, thrusts stay in range and are numbers.
func FuzzAllocate(f *testing.F) {
	f.Add(5.0, 0.1, 0.1, 0.01, uint8(0))
	f.Add(math.Inf(1), math.NaN(), -1e300, 1e-300, uint8(3))
	f.Add(-1.0, 1e9, 1e9, 1e9, uint8(255))
	p := designed("octo-3kg")
	f.Fuzz(func(t *testing.T, lift, roll, pitch, yaw float64, lost uint8) {
		var gone [dynamics.MaxRotors]bool
		top := p.Top
		for i := range gone {
			if gone[i] = lost&(1<<i) != 0; gone[i] {
				top[i] = 0
			}
		}
		m := NewMixer(&p, &gone)
		var th [dynamics.MaxRotors]float64
		m.Allocate(&Demand{lift, roll, pitch, yaw}, &top, &th)
		for i := range th {
			if !(th[i] >= 0 && th[i] <= top[i]) {
				t.Fatalf("rotor %d: %g N of %g", i, th[i], top[i])
			}
		}
	})
}

func TestAllocateStaysInRange(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for _, sh := range shapes {
		p := Design(sh.craft(), hall(), nil)
		for range 3000 {
			k := math.Exp(10 * (r.Float64() - 0.7))
			d := Demand{k * p.Weight * r.NormFloat64(), k * r.NormFloat64(), k * r.NormFloat64(), k * r.NormFloat64()}
			var th [dynamics.MaxRotors]float64
			lim, _ := p.Mix.Allocate(&d, &p.Top, &th)
			for i := range p.RotorCount {
				require.True(t, th[i] >= 0 && th[i] <= p.Top[i], "%s %+v", sh.name, d)
			}
			if got := wrenchOf(&p, &th); !lim.Tilts {
				require.InDelta(t, d.Roll, got[1], 1e-6*(1+math.Abs(d.Roll)), "%s %+v", sh.name, d)
				require.InDelta(t, d.Pitch, got[2], 1e-6*(1+math.Abs(d.Pitch)), "%s %+v", sh.name, d)
			}
		}
	}
}
