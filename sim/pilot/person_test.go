package pilot

import (
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// slide is a drill of the class "take over": the craft slides under
// position-hold.
func slide() *judge.Drill {
	d := drillOf(judge.ClassB,
		oneOf(true, judge.DeedAttitude), oneOf(false, judge.DeedArrest), oneOf(false, judge.DeedTouchdown),
		oneOf(false, judge.DeedThrottleLowest), oneOf(false, judge.DeedDisarm), oneOf(false, judge.DeedCutOff))
	d.Demands[1].AnyOf[0].Level = 0.3
	d.Cues[0] = percept.Rule{Sign: percept.SignSlide, Above: 0.15, For: 500}
	d.CueCount = 1
	return d
}

const slideAt = 12000 // ticks, in the second hold of briefed

// rehearse flies briefed on the toy craft, which slides from slideAt on, and
// returns what was done.
func rehearse(profile Profile, drill *judge.Drill, seed uint64, looks int) (*diary, *toy, *Person) {
	craft := newToy()
	craft.onlyOnce = func(t *toy) {
		if t.tick >= slideAt && drill.CueCount > 0 {
			t.slideW = kernel.Vec3{X: 0.5}
		}
	}
	x := NewPerson(briefed(), drill, &profile, seed)
	d := &diary{pilot: &x, before: craft.h}
	for range looks {
		craft.turn(d)
	}
	return d, craft, &x
}

// Goal: ideal, trained and expert carry out the drill's actions in order and
// secure the craft. Method: those seeds where nothing is drawn as wrong or left
// out; order and touchdown.
func TestPersonsCarryOutTheDrill(t *testing.T) {
	for _, profile := range []Profile{Ideal(), Expert(), Trained()} {
		profile.WrongFirst, profile.Omit, profile.Unmatched = 0, 0, 0
		for seed := range uint64(5) {
			d, craft, x := rehearse(profile, slide(), seed, 2200)
			noticed, acts := x.Noticed()
			require.NotEqual(t, judge.Never, noticed, profile.Name)
			assert.GreaterOrEqual(t, noticed, int64(slideAt+500), profile.Name)
			assert.Equal(t, []string{"area-clear", "release", "arm", "position-hold", "attitude", "lowest", "disarm",
				"cut-off", "motors-safe", "battery-out"}, d.said, profile.Name)
			assert.InDelta(t, acts, d.tickOf("attitude"), 140, "%s matches the throttle and switches", profile.Name)
			assert.Less(t, d.worst, 0.06, "%s matches the throttle", profile.Name)
			assert.Less(t, craft.touched, 0.55, profile.Name)
			assert.False(t, craft.hit, profile.Name)
		}
	}
}

// Goal: nobody knows about an inject: without a sign the plan is completed.
// Method: the same drill on a craft that never slides, and a run without event.
func TestPersonsKnowNothing(t *testing.T) {
	for _, profile := range []Profile{Ideal(), Expert(), Trained(), StrategyWait()} {
		for _, drill := range []*judge.Drill{slide(), drillOf(judge.ClassN)} {
			craft := newToy()
			x := NewPerson(briefed(), drill, &profile, 9)
			for range 2500 {
				craft.turn(&x)
			}
			noticed, _ := x.Noticed()
			assert.Equal(t, judge.Never, noticed, profile.Name)
			assert.True(t, x.exec.Progress.Done(x.exec.plan), profile.Name)
		}
	}
}

// Goal: response times are those of the profile. Method: 4,000 seeds of a trained
// person; the median of the time from noticing to acting against the
// distribution's, for each grade of announcing.
func TestPersonsResponseTimes(t *testing.T) {
	profile := Trained()
	halfway := profile.Unannounced
	halfway.Mu = (profile.Unannounced.Mu + profile.Announced.Mu) / 2
	halfway.Sigma = (profile.Unannounced.Sigma + profile.Announced.Sigma) / 2
	halfway.Tau = (profile.Unannounced.Tau + profile.Announced.Tau) / 2
	for announced, want := range map[judge.Announced]ExGauss{judge.AnnouncedNot: profile.Unannounced,
		judge.AnnouncedKind: halfway, judge.AnnouncedFully: profile.Announced} {
		drill := slide()
		drill.Announced = announced
		var times []float64
		for seed := range uint64(4000) {
			x := NewPerson(briefed(), drill, &profile, seed)
			times = append(times, float64(x.responseTicks())/1000)
		}
		sort.Float64s(times)
		for _, q := range []float64{0.25, 0.5, 0.95} {
			assert.InEpsilon(t, want.Quantile(q)+profile.Travel, times[int(q*4000)], 0.03, "quantile %g", q)
		}
	}
}

// Goal: levels differ the right way round: a novice is later and errs more.
func TestLevelsAreTold(t *testing.T) {
	n, tr, e := Novice(), Trained(), Expert()
	late := func(p Profile) float64 { return p.Unannounced.Mean() + p.Travel }
	assert.Greater(t, late(n), late(tr))
	assert.Greater(t, late(tr), late(e))
	for _, p := range []Profile{n, tr, e} {
		assert.Greater(t, p.Unannounced.Mean(), p.Announced.Mean(), p.Name)
		assert.GreaterOrEqual(t, p.Threshold, 1.0, p.Name)
	}
	assert.InDelta(t, 1.56, late(tr), 1e-9, "1.25 s unexpected and two bits of 0.155 s")
	wrong := map[string]int{}
	for _, p := range []Profile{n, tr, e} {
		for seed := range uint64(300) {
			d := slide()
			x := NewPerson(briefed(), d, &p, seed)
			x.flown = true
			look := percept.Percept{Uncommanded: 5, Tick: 1000}
			x.notice(&look)
			look.Tick = 3000
			x.notice(&look)
			if x.wrong != WrongNot {
				wrong[p.Name]++
			}
		}
	}
	assert.InDelta(t, 0.35*300, wrong["novice"], 35)
	assert.Less(t, wrong["trained"], wrong["novice"]/2)
	assert.LessOrEqual(t, wrong["expert"], wrong["trained"])
}

// Goal: the four strategies do what they are called.
func TestStrategies(t *testing.T) {
	d, _, _ := rehearse(StrategyCutOff(), slide(), 2, 1200)
	assert.NotEqual(t, judge.Never, d.tickOf("cut-off"))
	assert.Equal(t, judge.Never, d.tickOf("attitude"))

	d, craft, _ := rehearse(StrategyAttitude(), slide(), 2, 2200)
	assert.NotEqual(t, judge.Never, d.tickOf("attitude"))
	assert.True(t, craft.onFloor())

	quick, _, _ := rehearse(Trained(), slide(), 2, 1200)
	late, _, _ := rehearse(StrategyWait(), slide(), 2, 1200)
	assert.EqualValues(t, 2000, late.tickOf("attitude")-quick.tickOf("attitude"))

	d, _, x := rehearse(StrategyStir(), slide(), 2, 900)
	assert.Equal(t, judge.Never, d.tickOf("attitude"))
	assert.Equal(t, WrongStir, x.wrong)
	assert.GreaterOrEqual(t, max(d.before.Roll, -d.before.Roll), int16(100))
}

// Goal: every wrong action leaves its trace in the hands.
func TestWrongActions(t *testing.T) {
	for _, c := range []struct {
		wrong Wrong
		seen  func(was, h *hands.Hands) bool
	}{
		{WrongFreeze, func(was, h *hands.Hands) bool { return *was == *h }},
		{WrongCutOff, func(_, h *hands.Hands) bool { return h.CutOff && h.Throttle == 0 }},
		{WrongFight, func(_, h *hands.Hands) bool { return h.Pitch < -700 && h.Response == hands.PositionHold }},
		{WrongThrottleUp, func(was, h *hands.Hands) bool { return h.Throttle >= was.Throttle+240 }},
		{WrongReselect, func(_, h *hands.Hands) bool { return h.Response == hands.PositionHold }},
		{WrongTransmitterOff, func(_, h *hands.Hands) bool { return h.Step == hands.StepNone }},
		{WrongStir, func(_, h *hands.Hands) bool { return h.Roll > 500 || h.Roll < -500 }},
		{WrongAttitude, func(_, h *hands.Hands) bool { return h.Response == hands.Attitude }},
	} {
		profile := Trained()
		profile.Habit = c.wrong
		craft := flying(kernel.Vec3{Z: 1.2}, hands.PositionHold)
		x := NewPerson(briefed(), slide(), &profile, 1)
		x.exec.Progress.Leg, x.noticed, x.wrong, x.wrongUntil = 5, 0, c.wrong, judge.NoLimit
		x.acts = 0
		craft.slideW = kernel.Vec3{X: 5}
		was, off, left := craft.h, false, false
		for range 45 {
			craft.turn(&x)
			off = off || craft.h.Step == hands.StepTransmitterOff
			left = left || craft.h.Response == hands.Attitude
		}
		assert.True(t, c.seen(&was, &craft.h), "%s: %+v", c.wrong, craft.h)
		assert.Equal(t, c.wrong == WrongTransmitterOff, off)
		assert.Equal(t, c.wrong == WrongReselect || c.wrong == WrongAttitude, left)
	}
}

// Goal: a lost link is told and the sticks are set for its return, then left
// alone. Method: link flag shown from the start of the hold.
func TestPersonTellsOfALostLink(t *testing.T) {
	drill := drillOf(judge.ClassE, oneOf(true, judge.DeedCall), oneOf(false, judge.DeedReturnSafe))
	drill.Demands[0].AnyOf[0].Call = hands.CallLinkLost
	drill.Cues[0], drill.CueCount = percept.Rule{Sign: percept.SignLinkLost, Above: 0.5}, 1
	profile := Trained()
	profile.Omit, profile.WrongFirst = 0, 0
	craft := flying(kernel.Vec3{Z: 1.2}, hands.PositionHold)
	x := NewPerson(briefed(), drill, &profile, 4)
	x.exec.Progress.Leg = 5
	d := &diary{pilot: &x, before: craft.h}
	for i := range 300 {
		craft.look()
		craft.p.Tick, craft.p.LinkLost = int64(i)*percept.Every, true
		d.Act(&craft.p, &craft.h)
	}
	assert.Equal(t, []string{"link-lost-stand-clear", "attitude"}, d.said)
	assert.Equal(t, hands.Hands{Throttle: 420, Response: hands.Attitude, Armed: true}, craft.h)
}

// Goal: a person who is told to stop at once does not land first.
func TestPersonStopsATipOver(t *testing.T) {
	drill := drillOf(judge.ClassA, oneOf(true, judge.DeedThrottleLowest, judge.DeedCutOff), oneOf(false, judge.DeedDisarm))
	drill.Cues[0], drill.CueCount = percept.Rule{Sign: percept.SignTipping, Above: 0.26}, 1
	profile := Ideal()
	x := NewPerson(briefed(), drill, &profile, 4)
	x.exec.Progress.Leg = 2
	h := hands.Hands{Throttle: 300, Armed: true}
	p := percept.Percept{Tick: 2000, OnFloor: true, Armed: true, MotorsTurn: true, Tilt: 0.4, HoverStick: 0.4}
	for range 12 {
		x.Act(&p, &h)
		p.Tick += percept.Every
	}
	assert.Zero(t, h.Throttle)
	assert.False(t, h.Armed)
}

// Goal: the same seed is the same run, another seed another, and a copied person
// goes on as the original.
func TestPersonsAreDetermined(t *testing.T) {
	for _, profile := range Profiles() {
		a, craftA, x := rehearse(profile, slide(), 11, 900)
		b, craftB, y := rehearse(profile, slide(), 11, 900)
		assert.Equal(t, a.said, b.said)
		assert.Equal(t, a.at, b.at)
		assert.Equal(t, craftA.posW, craftB.posW)
		fork := *x
		craftA.onlyOnce, craftB.onlyOnce = nil, nil
		for range 100 {
			craftA.turn(&fork)
			craftB.turn(y)
		}
		assert.Equal(t, *craftA, *craftB, profile.Name)
	}
	p := Trained()
	_, one, _ := rehearse(p, slide(), 1, 600)
	_, two, _ := rehearse(p, slide(), 2, 600)
	assert.NotEqual(t, one.posW, two.posW)
}

// Goal: signs that belong to the plan alarm nobody. Method: one percept that
// shows a sign, at points of the plan where it is expected and where it is not.
func TestSignsThatBelongToThePlan(t *testing.T) {
	standing := percept.Percept{OnFloor: true, MotorsTurn: true, Armed: true}
	sinking := percept.Percept{VelW: kernel.Vec3{Z: -1}, Armed: true}
	for _, c := range []struct {
		name  string
		sign  percept.Sign
		p     percept.Percept
		leg   int64 // of briefed: 1 arm, 2 lift, 5 hold, 7 land
		flown bool
		want  bool
	}{
		{"motors before arming", percept.SignMotorsOnFloor, standing, 0, false, true},
		{"motors before the lift", percept.SignMotorsOnFloor, standing, 2, false, false},
		{"motors after the flight", percept.SignMotorsOnFloor, standing, 7, true, true},
		{"sinking in a hold", percept.SignSink, sinking, 5, true, true},
		{"sinking in a landing", percept.SignSink, sinking, 7, true, false},
		{"odd rotor in the air", percept.SignOddRotor, sinking, 5, true, true},
		{"odd rotor running down", percept.SignOddRotor, standing, 7, true, false},
		{"camera on the floor", percept.SignCamera, standing, 1, false, false},
		{"camera in the air", percept.SignCamera, sinking, 5, true, true},
	} {
		profile := Trained()
		x := NewPerson(briefed(), slide(), &profile, 1)
		x.exec.Progress.Leg, x.flown = c.leg, c.flown
		assert.Equal(t, c.want, x.means(c.sign, &c.p), c.name)
	}
}

// Goal: thresholds are not below the cue's, and a hover by eye does not alarm
// the one who flies it.
func TestThresholds(t *testing.T) {
	for _, profile := range Profiles() {
		x := NewPerson(briefed(), slide(), &profile, 1)
		for s := percept.SignSlide; s.String() != "unknown"; s++ {
			rule := percept.Rule{Sign: s, Above: 0.5}
			assert.GreaterOrEqual(t, x.level(&rule, &percept.Percept{}), 0.5, "%s, %s", profile.Name, s)
		}
		away := percept.Rule{Sign: percept.SignAway, Above: 0.1}
		eye := x.level(&away, &percept.Percept{Actual: hands.Attitude})
		held := x.level(&away, &percept.Percept{Actual: hands.PositionHold})
		assert.GreaterOrEqual(t, eye, profile.Wobble)
		assert.InDelta(t, 0.1*profile.Threshold, held, 1e-12)
	}
}
