package sim_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unsafe"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
	"lapwing/sim/pilot"
)

// wild is a pilot who flies the plan and now and then does anything at all for a
// while, also what no transmitter could send.
type wild struct {
	plan   pilot.Executor
	random *rand.Rand
	until  int64
	absurd bool
}

func (x *wild) Act(p *percept.Percept, h *hands.Hands) {
	r := x.random
	if p.Tick >= x.until {
		x.plan.Act(p, h)
		if r.IntN(80) == 0 {
			x.until = p.Tick + 20*r.Int64N(40)
		}
		return
	}
	if r.IntN(5) > 0 { // hands rest a little, so that corners and holds are met
		return
	}
	stick := func() int16 {
		if x.absurd && r.IntN(8) == 0 {
			return int16(r.Uint32())
		}
		return [...]int16{0, 0, hands.Full, -hands.Full, int16(r.IntN(2001) - 1000)}[r.IntN(5)]
	}
	h.Roll, h.Pitch, h.Yaw, h.Throttle = stick(), stick(), stick(), stick()
	if !x.absurd && h.Throttle < 0 {
		h.Throttle = 0
	}
	h.Response = hands.Response(r.IntN(5))
	h.Armed, h.CutOff = r.IntN(3) > 0, r.IntN(4) == 0
	h.Call, h.Step = hands.Call(r.IntN(9)), hands.Step(r.IntN(7))
	if x.absurd && r.IntN(20) == 0 {
		h.Response, h.Call, h.Step = hands.Response(r.Uint32()), hands.Call(r.Uint32()), hands.Step(r.Uint32())
	}
	if h.Call == hands.CallStop || h.Call == hands.CallRealWorld {
		h.Call = hands.CallNone // they end the run
	}
	if h.Step == hands.StepBatteryOut && r.IntN(8) > 0 {
		h.Step = hands.StepNone // it would end most flights before they begin
	}
}

// before is what stood a tick before.
type before struct{ armed, motors, cutOff, refused bool }

// Goal: what must never happen never does, whatever the hands do. Method: whole
// runs with every craft and with seeded random hands, sane and absurd, checked
// after every tick. It must have armed, cut off and flown for that to say much.
func TestSafetyHoldsWithAnyHands(t *testing.T) {
	armed, cutInFlight, refused := 0, 0, 0
	for _, craft := range scenarios.Names(scenarios.KindCraft) {
		for seed := range uint64(8) {
			name := []string{"nothing-happens", "drift-in-hold", "lost-link-in-hold", "voltage-sag"}[seed%4]
			c := other(t, name, craft, seed)
			c.Duration = 25000
			was := before{}
			numbers := floats()
			x := &wild{plan: executor(&c), random: rand.New(rand.NewPCG(seed, 77)), absurd: seed%2 == 1}
			r := sim.Run(&c, x, ticking(func(w *sim.World) {
				s, h, tick := &w.Safety.Status, &w.Heard.Hands, w.Tick-1
				if h.CutOff && w.Input.Duty != [dynamics.MaxRotors]float64{} {
					t.Fatalf("%s, seed %d, tick %d: cut-off is heard and duties are %v", craft, seed, tick, w.Input.Duty)
				}
				if !s.MotorsOn && w.Input.Duty != [dynamics.MaxRotors]float64{} {
					t.Fatalf("%s, seed %d, tick %d: motors are off and duties are %v", craft, seed, tick, w.Input.Duty)
				}
				if s.Armed && !was.armed {
					armed++
					if h.Throttle != 0 || h.CutOff || s.LinkAge > c.Safety.FreshTicks {
						t.Fatalf("%s, seed %d, tick %d: armed with %+v, %d ms old", craft, seed, tick, *h, s.LinkAge)
					}
				}
				if s.MotorsOn && !was.motors && c.Safety.CutOffLatches && h.Throttle != 0 {
					t.Fatalf("%s, seed %d, tick %d: motors start with the throttle at %d", craft, seed, tick, h.Throttle)
				}
				for i, d := range w.Input.Duty {
					if !(d >= 0 && d <= 1) || i >= c.Craft.RotorCount && d != 0 {
						t.Fatalf("%s, seed %d, tick %d: duty %d is %g", craft, seed, tick, i, d)
					}
				}
				if h.CutOff && !was.cutOff && w.Craft.Touch.Kinds == 0 {
					cutInFlight++
				}
				if s.Refused != 0 && !was.refused {
					refused++
				}
				if tick%1000 == 0 {
					require.Empty(t, notFinite(w, numbers), "%s, seed %d, tick %d", craft, seed, tick)
				}
				was = before{s.Armed, s.MotorsOn, h.CutOff, s.Refused != 0}
			}))
			assert.NotEqual(t, sim.EndVoid, r.Why, "%s, seed %d: %s at %d", craft, seed, r.End.Void.Reason.Words(), r.End.Void.Tick)
		}
	}
	t.Logf("armed %d times, cut off in the air %d times, refused %d times", armed, cutInFlight, refused)
	assert.Greater(t, armed, 30)
	assert.Greater(t, cutInFlight, 10)
	assert.Greater(t, refused, 5)
}

// number is a float64 of the world.
type number struct {
	name   string
	offset uintptr
}

// floats lists every float64 of the world.
func floats() (all []number) {
	var walk func(t reflect.Type, name string, offset uintptr)
	walk = func(t reflect.Type, name string, offset uintptr) {
		switch t.Kind() {
		case reflect.Float64:
			all = append(all, number{name, offset})
		case reflect.Struct:
			for i := range t.NumField() {
				walk(t.Field(i).Type, name+"."+t.Field(i).Name, offset+t.Field(i).Offset)
			}
		case reflect.Array:
			for i := range t.Len() {
				walk(t.Elem(), name, offset+uintptr(i)*t.Elem().Size())
			}
		}
	}
	walk(reflect.TypeFor[sim.World](), "", 0)
	return all
}

func (n number) in(w *sim.World) *float64 { return (*float64)(unsafe.Add(unsafe.Pointer(w), n.offset)) }

// notFinite names the numbers of w that are not finite.
func notFinite(w *sim.World, numbers []number) (names []string) {
	for _, n := range numbers {
		if x := *n.in(w); math.IsNaN(x) || math.IsInf(x, 0) {
			names = append(names, n.name)
		}
	}
	return names
}

// Goal: a poisoned state makes the run void, in the tick in which it is seen and
// with the reason, and never goes on being scored. Method: put a number that is
// not one where it shows at once.
func TestPoisonMakesTheRunVoid(t *testing.T) {
	nan := math.NaN()
	cases := []struct {
		name   string
		poison func(w *sim.World)
		why    sim.VoidReason
	}{
		{"place", func(w *sim.World) { w.Craft.PosW.Y = nan }, sim.VoidCraft},
		{"speed", func(w *sim.World) { w.Craft.VelW.X = nan }, sim.VoidCraft},
		{"attitude", func(w *sim.World) { w.Craft.QWB.W = nan }, sim.VoidCraft},
		{"body rate", func(w *sim.World) { w.Craft.OmegaB.Z = math.Inf(1) }, sim.VoidCraft},
		{"rotor speed", func(w *sim.World) { w.Craft.RotorSpeed[1] = nan }, sim.VoidCraft},
		{"charge", func(w *sim.World) { w.Craft.Cell.Charge = nan }, sim.VoidCraft},
		{"far away", func(w *sim.World) { w.Craft.PosW.X = 2e3 }, sim.VoidCraft},
		{"law", func(w *sim.World) { w.Law.RateTrimB.X = nan }, sim.VoidLaw},
		{"estimate", func(w *sim.World) { w.Estimate.Belief.VelW.X = nan }, sim.VoidEstimate},
	}
	c, start, e := hovering(t)
	for _, tc := range cases {
		t.Run(tc.name, func(t *testing.T) {
			w, p := start, e
			tc.poison(&w)
			at := w.Tick
			r := sim.Continue(&c, &w, &p)
			assert.Equal(t, sim.EndVoid, r.Why)
			assert.Contains(t, []sim.VoidReason{tc.why, sim.VoidLaw}, r.End.Void.Reason, r.End.Void.Reason.Words())
			assert.InDelta(t, at, r.End.Void.Tick, 5)
			assert.Equal(t, r.End.Void.Tick+1, r.End.Tick, "nothing is flown after it")
			assert.NotEmpty(t, r.End.Void.Reason.Words())
		})
	}
}

// Goal: the stop word and the phrase of a real emergency end a run in the tick in
// which they are called; other calls do not.
func TestStopWordEndsTheRun(t *testing.T) {
	c, start, _ := hovering(t)
	for call := hands.CallNone; call <= hands.CallRealWorld; call++ {
		w, k := start, keep{start.Hands}
		k.hands.Call = call
		fly(&c, &w, k, start.Tick+1)
		why, over := sim.Over(&c, &w)
		stops := call == hands.CallStop || call == hands.CallRealWorld
		assert.Equal(t, stops, over, call.String())
		if stops {
			assert.Equal(t, sim.EndVoid, why)
			assert.Equal(t, sim.Void{Tick: start.Tick, Reason: sim.VoidWithdrawn}, w.Void)
		}
	}
}

// Goal: poison never spreads unseen. Method: poison one number of the world's
// stages after the other in the air and fly on for a fifth of a second: the run
// is void, or nothing else has become poisoned. What nothing reads now, such as
// the rotors that this craft does not have, may keep it.
func TestPoisonNeverSpreads(t *testing.T) {
	c, start, e := hovering(t)
	numbers := floats()
	void, healed, unread := 0, 0, 0
	copies := []string{".Input.", ".Percept.", ".Sight.Shot.", ".Judge.shiftW"} // of the effects
	for _, n := range numbers {
		part := strings.SplitN(n.name, ".", 3)[1]
		if part == "Judge" || part == "Eye" || part == "Percept" { // read from the rest, and by the person alone
			continue
		}
		w, p := start, e
		*n.in(&w) = math.NaN()
		fly(&c, &w, &p, w.Tick+200)
		left := notFinite(&w, numbers)
		spread := slices.DeleteFunc(slices.Clone(left), func(name string) bool {
			return name == n.name || slices.ContainsFunc(copies, func(of string) bool { return strings.HasPrefix(name, of) })
		})
		switch {
		case w.Void.Reason != sim.VoidNot:
			void++
		case len(left) == 0:
			healed++
		case len(spread) == 0:
			unread++
		default:
			t.Errorf("%s poisoned: the run goes on with %v", n.name, spread)
		}
	}
	t.Logf("void %d, healed %d, unread %d", void, healed, unread)
	assert.Greater(t, void, 100)
}
