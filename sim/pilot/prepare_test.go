package pilot

import (
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/bench"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
	"lapwing/sim/prompt"
)

// prepare lets a pilot with a care work through legs at a desk, for a while.
func prepare(d *desk, care Care, seed uint64, looks int, legs ...Leg) *Executor {
	e := NewExecutor(planOf(legs...), TrainedHand(), seed)
	e.Care = care
	for range looks {
		d.turn(&e)
		if e.Progress.Done(e.plan) {
			break
		}
	}
	return &e
}

func finding(t *testing.T, noGo bool) bench.Finding {
	t.Helper()
	for f := bench.Sound + 1; int(f) < bench.Findings; f++ {
		if f.NoGo() == noGo {
			return f
		}
	}
	t.Fatal("no such finding")
	return bench.Sound
}

// Goal: every place is looked at and then ticked in the order of the list, and
// the verdict follows from what was found. Method: lists with nothing wrong, with
// something to be mended, and with something that forbids flying; after a no-go
// the plan ends there.
func TestInspectAndDecide(t *testing.T) {
	mend, forbid := finding(t, false), finding(t, true)
	for _, c := range []struct {
		name   string
		care   Care
		states []bench.Finding
		ticks  []string
		call   hands.Call
		leg    int64 // after the verdict
	}{
		{"sound", careful(), []bench.Finding{0, 0, 0}, []string{"tick-good", "tick-good", "tick-good"}, hands.CallGo, 2},
		{"mended", careful(), []bench.Finding{0, mend, 0}, []string{"tick-good", "tick-bad", "tick-good"}, hands.CallGo, 2},
		{"forbidden", careful(), []bench.Finding{0, mend, forbid}, []string{"tick-good", "tick-bad", "tick-bad"}, hands.CallNoGo, 3},
		{"overlooked", careless(), []bench.Finding{0, mend, forbid}, []string{"tick-good", "tick-good", "tick-good"}, hands.CallGo, 2},
		{"nothing to inspect", careful(), nil, nil, hands.CallGo, 2},
	} {
		d := newDesk()
		d.states = c.states
		e := NewExecutor(planOf(Leg{Do: LegInspect}, Leg{Do: LegDecide}, Leg{Do: LegHold, For: 60000}), TrainedHand(), 1)
		e.Care = c.care
		var call hands.Call
		for range 1000 {
			d.turn(&e)
			if d.h.Call == hands.CallGo || d.h.Call == hands.CallNoGo {
				call = d.h.Call
				break
			}
		}
		var want []string
		for _, tick := range c.ticks {
			want = append(want, "look", tick)
		}
		assert.Equal(t, want, d.steps, c.name)
		for i, item := range d.items {
			assert.EqualValues(t, i/2, item, c.name)
		}
		assert.Equal(t, c.call, call, c.name)
		assert.Equal(t, c.leg, e.Progress.Leg, c.name)
	}
}

// Goal: levels of care are told apart by what they overlook, and only what hides
// is overlooked. Method: 400 seeds of a list with one discrepancy; the share
// missed against Overlook·(1 − ease).
func TestCareOverlooks(t *testing.T) {
	f := finding(t, true)
	for _, profile := range []Profile{Ideal(), Expert(), Trained(), Novice()} {
		missed := 0
		for seed := range uint64(400) {
			d := newDesk()
			d.states = []bench.Finding{f}
			e := prepare(d, profile.Care, seed, 200, Leg{Do: LegInspect})
			if !e.refuses {
				missed++
			}
		}
		assert.InDelta(t, profile.Care.Overlook*(1-f.Ease())*400, missed, 25, profile.Name)
	}
}

// Goal: a carry finds a station that shows the wrong way, and takes one within
// its 2 % for sound. Method: the same three moves with stations that are sound,
// 3 % too long, 12 % too long, and turned round in one axis.
func TestCarryComparesWhatIsShown(t *testing.T) {
	scaled := func(x, y float64) func(kernel.Vec3) kernel.Vec3 {
		return func(v kernel.Vec3) kernel.Vec3 { return kernel.Vec3{X: x * v.X, Y: y * v.Y, Z: v.Z} }
	}
	for _, c := range []struct {
		name  string
		shown func(kernel.Vec3) kernel.Vec3
		care  Care
		want  bool
	}{
		{"sound", scaled(1, 1), careful(), false},
		{"a little long", scaled(1.03, 1.03), careful(), false},
		{"too long", scaled(1.12, 1.12), careful(), true},
		{"x the other way", scaled(-1, 1), careful(), true},
		{"y the other way", scaled(1, -1), careful(), true},
		{"x the other way for who does not compare", scaled(-1, 1), careless(), false},
	} {
		d := newDesk()
		d.shown = c.shown
		d.moves = []deskMove{{to: kernel.Vec3{X: 1, Z: 1}}, {to: kernel.Vec3{X: 1, Y: 1, Z: 1}}, {to: kernel.Vec3{}}}
		e := prepare(d, c.care, 1, 1500, Leg{Do: LegCarry})
		require.True(t, e.Progress.Done(e.plan), c.name)
		assert.Equal(t, []string{"pick-up", "carry", "carry", "carry", "set-down"}, d.steps, c.name)
		assert.Equal(t, []uint8{0, 0, 1, 2, 0}, d.items, c.name)
		assert.Equal(t, c.want, e.refuses, c.name)
	}
}

// Goal: a tilt test finds motors that would make a lean worse, or do nothing.
// Method: a craft of four rotors leant to each side; the motors work harder on
// the low side, on the high side, or not at all. It ends disarmed and set down.
func TestTiltComparesTheMotors(t *testing.T) {
	brief := DefaultBrief()
	brief.Rotors = 4
	copy(brief.RotorB[:], []kernel.Vec3{{X: 0.1, Y: 0.1}, {X: 0.1, Y: -0.1}, {X: -0.1, Y: 0.1}, {X: -0.1, Y: -0.1}})
	push := func(gain float64) func(p *percept.Percept) [8]float64 {
		return func(p *percept.Percept) (m [8]float64) {
			for i := range brief.Rotors {
				if p.Armed {
					m[i] = 0.3 + gain*brief.RotorB[i].Dot(p.TiltW)
				}
			}
			return m
		}
	}
	for _, c := range []struct {
		name string
		gain float64
		want bool
	}{{"against the lean", 2, false}, {"with the lean", -2, true}, {"nothing", 0, true}} {
		d := newDesk()
		d.motors = push(c.gain)
		d.moves = []deskMove{{leanW: kernel.Vec3{X: 0.3}}, {leanW: kernel.Vec3{Y: -0.3}}, {}}
		e := NewExecutor(planOf(Leg{Do: LegTilt}), TrainedHand().With(brief), 1)
		e.Care = careful()
		armed := false
		for range 1500 {
			d.turn(&e)
			armed = armed || d.p.Armed && d.p.Held
			if e.Progress.Done(e.plan) {
				break
			}
		}
		require.True(t, e.Progress.Done(e.plan), c.name)
		assert.True(t, armed, c.name)
		assert.Equal(t, []string{"pick-up", "carry", "carry", "carry", "set-down"}, d.steps, c.name)
		assert.Equal(t, c.want, e.refuses, c.name)
		assert.True(t, d.h.CutOff && !d.h.Armed && d.h.Throttle == 0, c.name)
	}
}

// Goal: the lens is uncovered again, and a station that says nothing of a covered
// one stands against flying.
func TestCover(t *testing.T) {
	for _, blind := range []bool{false, true} {
		d := newDesk()
		d.blind = blind
		e := prepare(d, careful(), 1, 600, Leg{Do: LegCover})
		require.True(t, e.Progress.Done(e.plan))
		assert.Equal(t, []string{"cover-lens", "uncover-lens"}, d.steps)
		assert.Equal(t, blind, e.refuses)
	}
}

// Goal: each prompt is answered by its switch, at the person's own time, and a
// slip is corrected. Method: every ask; the median of the times over 300 seeds
// against that of the profile's distribution.
func TestPromptsAreAnswered(t *testing.T) {
	asks := []prompt.Ask{prompt.CutOffOff, prompt.Arm, prompt.PositionHold, prompt.HeightHold, prompt.Attitude,
		prompt.Disarm, prompt.CutOffOn}
	for _, slip := range []float64{0, 1} {
		d := newDesk()
		d.asks = append([]prompt.Ask{}, asks...)
		e := prepare(d, Care{Answer: withMean(0.5), Slip: slip}, 1, 3000, Leg{Do: LegPrompts})
		assert.True(t, e.Progress.Done(e.plan))
		assert.Empty(t, d.asks)
		assert.Equal(t, slip == 1, d.wrong > 0)
		assert.True(t, d.h.CutOff && !d.h.Armed && d.h.Response == hands.Attitude)
	}
	care := Trained().Care
	care.Slip = 0
	var times []float64
	for seed := range uint64(300) {
		e := NewExecutor(planOf(Leg{Do: LegPrompts}), TrainedHand(), seed)
		e.Care = care
		h := hands.Rest()
		p := percept.Percept{OnFloor: true, CutOff: true, Prompt: uint8(prompt.PositionHold), Prompts: 1}
		for h.Response != hands.PositionHold {
			e.Act(&p, &h)
			p.Tick += percept.Every
		}
		times = append(times, float64(p.Tick)/1000)
	}
	sort.Float64s(times)
	assert.InEpsilon(t, care.Answer.Quantile(0.5), times[150], 0.12)
}

// Goal: after a no-go the craft is secured, also where the plan would have said so
// later.
func TestNoGoIsSecured(t *testing.T) {
	d := newDesk()
	d.states = []bench.Finding{finding(t, true)}
	e := NewExecutor(planOf(Leg{Do: LegInspect}, Leg{Do: LegDecide}, Leg{Do: LegArm}, Leg{Do: LegLift, Height: 1},
		Leg{Do: LegLand}, Leg{Do: LegDisarm}, Leg{Do: LegCall, Call: hands.CallMotorsSafe},
		Leg{Do: LegStep, Step: hands.StepBatteryOut}), TrainedHand(), 1)
	e.Care = careful()
	w := &diary{pilot: &e, before: d.h}
	for range 600 {
		d.turn(w)
	}
	assert.Equal(t, []string{"look", "tick-bad", "no-go", "motors-safe", "battery-out"}, w.said)
	assert.False(t, d.h.Armed)
}

// Goal: who arms and is refused reads which check it was and says that, once; who
// slips says another, and without a refusal nothing is said.
func TestRefusalIsNamed(t *testing.T) {
	slips := careful()
	slips.Slip = 1
	for _, c := range []struct {
		name    string
		care    Care
		refused hands.Call
		want    hands.Call
	}{
		{"careful", careful(), hands.CallRefusedBattery, hands.CallRefusedBattery},
		{"slips", slips, hands.CallRefusedBattery, hands.CallRefusedThrottle},
		{"not refused", careful(), hands.CallNone, hands.CallNone},
	} {
		d := newDesk()
		d.p.Refused = c.refused
		e := prepare(d, c.care, 1, 200, Leg{Do: LegNameRefusal})
		assert.Equal(t, c.want, d.h.Call, c.name)
		assert.Equal(t, c.want != hands.CallNone, e.Progress.Done(e.plan), c.name)
	}
}
