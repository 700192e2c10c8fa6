package pilot

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// integrator is the plant K/s: where sticks set speed. The hand steers its place
// to 0 with crossover omega and effective delay d (s) from 0.1 mm off; trace is
// the place at each look.
func integrator(omega, d float64, looks int) (trace []float64) {
	hand := IdealHand()
	hand.Place, hand.Delay = omega, d
	var g grip
	x := 1e-4
	p := percept.Percept{HoverStick: 0.4}
	for i := range looks {
		p.Tick = int64(i) * percept.Every
		p.PosW = kernel.Vec3{X: x} // VelW stays 0: the hand must not see ahead
		g.look(&hand, &p)
		now := g.seen.at(looksBack(hand.Delay)) // the wanted speed itself: a stick rounds to a thousandth
		x += look * hand.wantedVelocity(&wish{hold: true}, &now).X
		trace = append(trace, x)
	}
	return trace
}

// peaks returns the sizes of the swings and their mean period (s).
func peaks(trace []float64) (sizes []float64, period float64) {
	var at []int
	for i := 1; i+1 < len(trace); i++ {
		a, b, c := math.Abs(trace[i-1]), math.Abs(trace[i]), math.Abs(trace[i+1])
		if b >= a && b > c {
			sizes, at = append(sizes, b), append(at, i)
		}
	}
	if len(at) > 1 {
		period = 2 * look * float64(at[len(at)-1]-at[0]) / float64(len(at)-1)
	}
	return sizes, period
}

// Goal: on K/s the hand is the crossover model: it swings without end at
// ωc = π/(2τ), dies out below, grows above (McRuer et al. 1965). Method: closed
// loop of hand and integrator; the growth over ten swings near the limit. Delay
// is in looks and a half, where a sampled loop has its limit at
// ωc = 2·sin(π/(2(2d+1)))/T, within 0.3 % of π/(2τ).
func TestHandSwingsAtTheLimit(t *testing.T) {
	for _, c := range []struct{ delay, limit float64 }{
		{0.21, 7.480}, {0.31, 5.067}, // π/(2τ)
	} {
		loop := crossover{omega: 3, delay: c.delay}
		assert.InDelta(t, c.limit, loop.limit(), 5e-4)
		d := math.Round(looksBack(c.delay))
		exact := 2 * math.Sin(math.Pi/(2*(2*d+1))) / look
		assert.InEpsilon(t, c.limit, exact, 0.003)

		growth := func(omega float64) float64 {
			sizes, _ := peaks(integrator(omega, c.delay, 1500))
			return sizes[24] / sizes[4]
		}
		assert.InDelta(t, 1, growth(exact), 0.02, "at the limit the swing keeps its size")
		assert.Less(t, growth(0.97*exact), 0.8, "below the limit it dies out")
		assert.Greater(t, growth(1.03*exact), 1.25, "above the limit it grows")
		_, period := peaks(integrator(exact, c.delay, 3000))
		assert.InEpsilon(t, 4*c.delay, period, 0.005, "period of the swing is four delays")
	}
}

// Goal: the phase margin is 90° − ωc·τ. Method: a sine of frequency ωc is shown
// to the hand as error and its answer, integrated, is compared in phase and size
// (least squares over whole periods); then the delay that the margin allows is
// added and the closed loop stands at its limit.
func TestHandPhaseMargin(t *testing.T) {
	const tau, periods = 0.21, 40
	omega := 2 * math.Pi / (look * 100) // a period of 100 looks: 3.14 rad/s
	hand := IdealHand()
	hand.Place, hand.Delay = omega, tau
	var g grip
	var sumSin, sumCos float64
	n := 0
	for i := range 100 * periods {
		s, c := math.Sincos(omega * look * float64(i))
		p := percept.Percept{Tick: int64(i) * percept.Every, PosW: kernel.Vec3{X: -0.01 * s}}
		g.look(&hand, &p)
		now := g.seen.at(looksBack(hand.Delay))
		speed := hand.wantedVelocity(&wish{hold: true}, &now).X
		if i >= 100*(periods/2) {
			sumSin, sumCos, n = sumSin+speed*s, sumCos+speed*c, n+1
		}
	}
	re, im := 2*sumSin/float64(n)/0.01, 2*sumCos/float64(n)/0.01
	size, phase := math.Hypot(re, im)/omega, math.Atan2(im, re) // 1/s adds −90° and divides by ω
	held := phase - omega*look/2                                // hands stand still between looks
	margin := math.Pi + held - math.Pi/2
	assert.InDelta(t, 1, size, 1e-9, "gain 1 at the crossover")
	assert.InDelta(t, crossover{omega, tau}.phaseMargin(), margin, 1e-9)

	// 55.62° at ωc = 3 rad/s and τ = 0.2 s, 38.43° at 0.3 s; the limits are π/(2τ).
	assert.InDelta(t, 55.62, crossover{3, 0.2}.phaseMargin()*180/math.Pi, 0.005)
	assert.InDelta(t, 38.43, crossover{3, 0.3}.phaseMargin()*180/math.Pi, 0.005)
	assert.InDelta(t, 7.854, crossover{3, 0.2}.limit(), 5e-4)
	assert.InDelta(t, 5.236, crossover{3, 0.3}.limit(), 5e-4)
	more := crossover{omega, tau}.phaseMargin() / omega
	sizes, _ := peaks(integrator(omega, tau+more, 3000))
	assert.InDelta(t, 1, sizes[14]/sizes[4], 0.1, "the margin's worth of delay brings it to the limit")
}

// still flies a hover with a hand and nothing else.
type still struct {
	hand   Hand
	grip   grip
	placeW kernel.Vec3
}

func (s *still) Act(p *percept.Percept, h *hands.Hands) {
	s.grip.look(&s.hand, p)
	s.grip.fly(&s.hand, p, h, h.Response, &wish{placeW: s.placeW, hold: true})
}

// Goal: hands hover. Method: 40 s on the toy craft in a steady pull of 0.3 m/s²
// sideways and 0.4 downwards from 0.3 m off; the worst distance of the last 30 s.
func TestHandsHover(t *testing.T) {
	for _, c := range []struct {
		name     string
		hand     Hand
		response hands.Response
		within   float64
	}{
		{"ideal", IdealHand(), hands.Attitude, 0.1},
		{"expert", ExpertHand(), hands.Attitude, 0.3},
		{"trained", TrainedHand(), hands.Attitude, 0.3},
		{"novice", NoviceHand(), hands.Attitude, 1.0},
		{"unaware", UnawareHand(), hands.Attitude, 0.1},
		{"trained, height held", TrainedHand(), hands.HeightHold, 0.35},
		{"trained, place held", TrainedHand(), hands.PositionHold, 0.2},
	} {
		worst := 0.0
		for seed := range uint64(4) {
			craft := flying(kernel.Vec3{X: 0.3, Z: 1.2}, c.response)
			craft.wind = kernel.Vec3{Y: 0.3, Z: -0.4}
			if c.response == hands.PositionHold {
				craft.wind = kernel.Vec3{}
			}
			s := &still{hand: c.hand, grip: grip{seed: seed}, placeW: kernel.Vec3{Z: 1.2}}
			for i := range 2000 {
				craft.turn(s)
				if i > 500 {
					worst = math.Max(worst, craft.posW.Sub(s.placeW).Norm())
				}
			}
		}
		t.Logf("%s: worst %.3f m", c.name, worst)
		assert.Less(t, worst, c.within, c.name)
	}
}
