package safety

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
)

// wander changes one thing at random now and then: hands, frames, belief,
// battery, floor. It favours what arms and flies, or little would happen.
func (r *rig) wander(rnd *rand.Rand) {
	h := &r.heard.Hands
	if r.heard.Age++; rnd.IntN(20) == 0 && (rnd.IntN(400) != 0 || r.heard.Age > 3000) {
		r.heard.Age = 20
	}
	if rnd.IntN(2000) == 0 {
		r.heard.Age += 900
	}
	if r.heard.Age == 20 {
		if rnd.IntN(100) == 0 {
			r.heard.Age = 250 // a frame that comes late
		}
		switch rnd.IntN(24) {
		case 0:
			h.CutOff = !h.CutOff
		case 1:
			h.CutOff = false
		case 2:
			h.Armed = !h.Armed
		case 3:
			h.Throttle = int16(rnd.IntN(1001))
		case 4, 5:
			h.Throttle = 0
		case 6:
			h.Response = hands.Response(rnd.IntN(5))
		case 7:
			h.Response = hands.Attitude
		case 8:
			h.Yaw = int16(rnd.IntN(3)-1) * 1000
		}
	}
	switch rnd.IntN(400) {
	case 0:
		r.belief.Health = estimate.Health(rnd.IntN(3))
	case 1:
		r.belief.HeightOK = rnd.IntN(4) != 0
	case 2:
		r.in.CellVolts = 3.1 + rnd.Float64()
	case 3:
		r.belief.QWB = kernel.QuatEuler(rnd.Float64()-.5, 0, 0)
	case 4, 5, 6:
		r.belief.Health, r.belief.HeightOK, r.in.CellVolts, r.belief.QWB = estimate.Agrees, true, 4, kernel.Quat{W: 1}
	case 7:
		r.in.Powered = rnd.IntN(10) != 0
	case 8:
		r.belief.Height, r.in.DutyMean = 1.5*rnd.Float64(), rnd.Float64()
	case 9:
		r.belief.Height, r.in.DutyMean = 0, 0.1
	case 10:
		r.in.PathStored, r.in.PathDone = rnd.IntN(2) == 0, rnd.IntN(2) == 0
	}
}

// fail lets one of the watchman's own faults come or go now and then.
func (r *rig) fail(rnd *rand.Rand) {
	switch rnd.IntN(4000) {
	case 0:
		r.in.ActionFails = !r.in.ActionFails
	case 1:
		r.in.HoldDenied = !r.in.HoldDenied
	case 2:
		r.in.LandingMissed = !r.in.LandingMissed
	case 3:
		r.in.ArmsItself = !r.in.ArmsItself
	case 4:
		r.in.CutOffDead = !r.in.CutOffDead
	case 5, 6, 7, 8, 9:
		r.in.ActionFails, r.in.HoldDenied, r.in.LandingMissed, r.in.ArmsItself, r.in.CutOffDead = false, false, false, false, false
	}
}

// Goal: what must hold at every tick does, whatever a person does with the
// hands and whatever the craft senses; and each fault of the watchman itself
// breaks what it is about and nothing else. Method: random walks over both kinds
// of cut-off, both ways to arm and every action, a third of them with faults,
// checked at every tick; and all the walks together do reach every phase, deed,
// refusal and denial.
func TestInvariantsOnRandomWalks(t *testing.T) {
	phases, acts := map[Phase]int{}, map[Deed]int{}
	refused, denied := map[Refusal]int{}, map[Denial]int{}
	masked, ignored, byItself := 0, 0, 0
	for walk := range 72 {
		rnd := rand.New(rand.NewPCG(uint64(walk), 1))
		p := with(func(p *Params) {
			p.CutOffLatches, p.ArmBy = walk&1 == 0, ArmBy(walk>>1&1)
			p.LostLinkAction = ActionMotorStop + Action(walk>>2%3)
			p.CautionAction = [...]Action{ActionNone, ActionControlledLanding, ActionHoldThenLand}[walk%3]
			p.DropsHold = walk%5 == 0
			p.StickTicks, p.WaitTicks, p.SettledTicks, p.LandTicks = 40, 300, 100, 100
		})
		r := newRig(p)
		for range 40_000 {
			was := r.s
			r.wander(rnd)
			if walk >= 48 {
				r.fail(rnd)
			}
			st := *r.tick()
			h, a, in := &r.heard.Hands, &r.s, &r.in
			fresh := r.heard.Age <= p.FreshTicks
			bad := ""
			switch {
			case h.CutOff && st.MotorsOn && !in.CutOffDead:
				bad = "motors on with cut-off heard"
			case h.CutOff && !st.CutOff:
				bad = "cut-off heard but not told"
			case st.MotorsOn && !(st.Armed && r.in.Powered):
				bad = "motors on, but not armed or not powered"
			case st.Armed && !was.Status.Armed && !in.ArmsItself && (h.Throttle != 0 || h.CutOff || !fresh || h.Response > hands.Attitude || was.Phase != Disarmed):
				bad = "armed against the rules"
			case st.Armed && !was.Status.Armed && h.CutOff:
				bad = "armed with cut-off heard"
			case p.CutOffLatches && st.MotorsOn && !was.Status.MotorsOn && was.Status.Armed:
				bad = "a latching cut-off restarted motors"
			case st.MotorsOn && !was.Status.MotorsOn && h.Throttle != 0 && was.Phase != Masked && !in.ArmsItself:
				bad = "motors started with the throttle up"
			case p.ArmBy == BySwitch && !h.Armed && st.Armed && !in.ArmsItself:
				bad = "armed with the switch at off"
			case a.Deed == Obeying && st.Response > h.Response:
				bad = "more help than asked for"
			case a.Deed == Obeying && was.Deed == Obeying && st.Armed && was.Status.Armed && h.Response == was.Asked && st.Response > was.Status.Response:
				bad = "more help set in by itself"
			case !st.Armed && st.Landing:
				bad = "landing while disarmed"
			case a.Deed != Obeying && !st.Armed:
				bad = "acts by itself while disarmed"
			case st.Response == hands.Path && was.Status.Response < hands.PositionHold:
				bad = "path from nowhere"
			case r.heard.Age > p.FreshTicks+p.HoldTicks && st.Link != LinkLost && !in.ActionFails:
				bad = "lost link not told"
			case r.heard.Age > p.FreshTicks+p.HoldTicks && st.MotorsOn && a.Deed == Obeying && !in.ActionFails && !in.ArmsItself:
				bad = "flies on without its pilot"
			case st.Response.PositionBased() && !was.Status.Response.PositionBased() && a.Deed == Obeying && in.HoldDenied && st.Armed:
				bad = "holds a place though that is denied"
			case st.Landed && in.LandingMissed:
				bad = "notices a landing that it misses"
			}
			if bad != "" {
				t.Fatalf("walk %d, tick %d: %s\nwas %+v\nis  %+v\nhands %+v", walk, r.in.Tick, bad, was, r.s, *h)
			}
			if st.MotorsOn && was.Phase == Masked && h.Throttle != 0 {
				masked++
			}
			if st.MotorsOn && h.CutOff {
				ignored++
			}
			if st.Armed && !was.Status.Armed && !h.Armed && in.ArmsItself {
				byItself++
			}
			phases[a.Phase]++
			acts[a.Deed]++
			refused[st.Refused]++
			denied[st.Denied]++
		}
	}
	assert.Len(t, phases, int(phaseCount))
	assert.Len(t, acts, int(deedCount))
	assert.Len(t, refused, int(RefusedLink)+1)
	assert.Len(t, denied, int(DeniedUnsaid)+1)
	assert.Positive(t, ignored, "a cut-off that fails leaves the motors on")
	assert.Positive(t, byItself)
	assert.Positive(t, masked, "a masking cut-off, released, starts motors with the throttle up")
}

// Goal: the watchman is a value: a copy goes on exactly as the original.
func TestFork(t *testing.T) {
	r := newRig(Default())
	rnd := rand.New(rand.NewPCG(9, 9))
	fork := r.s
	for range 20_000 {
		r.wander(rnd)
		in := r.in
		Watch(&r.p, &fork, &in)
		r.tick()
		if fork != r.s {
			t.Fatalf("they part at tick %d", r.in.Tick)
		}
	}
}
