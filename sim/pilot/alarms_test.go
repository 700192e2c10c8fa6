package pilot

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// Goal: a sign that alarms is answered in its own way although no drill speaks of
// it. Method: a drill without cues; a person or none near, a craft that tips, a
// link that is gone, a contact; what was said and switched.
func TestAlarmsAreAnswered(t *testing.T) {
	for _, c := range []struct {
		name string
		set  func(p *percept.Percept)
		said []string
	}{
		{"a person", func(p *percept.Percept) { p.Person, p.Tilt = 1.2, 0 },
			[]string{"person", "lowest", "disarm", "cut-off", "motors-safe", "battery-out"}},
		{"contact", func(p *percept.Percept) { p.Contact = true },
			[]string{"attitude", "lowest", "disarm", "cut-off", "motors-safe", "battery-out"}},
		{"a slide", func(p *percept.Percept) { p.Uncommanded = 0.9 },
			[]string{"attitude", "lowest", "disarm", "cut-off", "motors-safe", "battery-out"}},
		{"battery", func(p *percept.Percept) { p.Battery = 2 },
			[]string{"lowest", "disarm", "cut-off", "motors-safe", "battery-out"}},
		{"a lost link", func(p *percept.Percept) { p.LinkLost = true }, []string{"link-lost-stand-clear", "attitude"}},
		{"motors on the floor", func(p *percept.Percept) { p.OnFloor, p.MotorsTurn = true, !p.CutOff },
			[]string{"lowest", "cut-off", "disarm", "motors-safe", "battery-out"}},
		{"tipping", func(p *percept.Percept) { p.OnFloor, p.Tilt = true, 0.6 },
			[]string{"lowest", "cut-off", "disarm", "motors-safe", "battery-out"}},
	} {
		profile := Trained()
		profile.WrongFirst, profile.Unmatched = 0, 0
		craft := flying(kernel.Vec3{Z: 1.2}, hands.PositionHold)
		x := NewPerson(briefed(), drillOf(judge.ClassN), &profile, 2)
		x.exec.Progress.Leg, x.flown = 5, true
		d := &diary{pilot: &x, before: craft.h}
		craft.onlyOnce = func(t *toy) { c.set(&t.p) }
		for range 1500 {
			craft.turn(d)
		}
		assert.Equal(t, c.said, d.said, c.name)
	}
}

// Goal: mild signs fool a person with the probability of a false alarm, other
// signs always, and nothing alarms without a sign. Method: 400 seeds.
func TestFalseAlarms(t *testing.T) {
	count := func(profile Profile, set func(p *percept.Percept)) int {
		n := 0
		for seed := range uint64(400) {
			x := NewPerson(briefed(), drillOf(judge.ClassN), &profile, seed)
			x.exec.Progress.Leg, x.flown = 5, true
			p := percept.Percept{Armed: true, MotorsTurn: true, Person: 1000, PosW: kernel.Vec3{Z: 1},
				Actual: hands.PositionHold, Commanded: hands.PositionHold}
			set(&p)
			for p.Tick < 5000 {
				p.Tick += percept.Every
				x.notice(&p)
			}
			if x.noticed != judge.Never {
				n++
			}
		}
		return n
	}
	for _, profile := range []Profile{Ideal(), Expert(), Trained(), Novice(), StrategyAttitude()} {
		assert.Zero(t, count(profile, func(*percept.Percept) {}), profile.Name)
		mild := count(profile, func(p *percept.Percept) { p.Camera = 1 })
		assert.InDelta(t, 400*profile.FalseAlarm, mild, 25, profile.Name)
		assert.Equal(t, 400, count(profile, func(p *percept.Percept) { p.Tilt = 1.2 }), profile.Name)
	}
}

// Goal: who answers an alarm and then sees what the drill is about goes over to
// the drill.
func TestFromAlarmToDrill(t *testing.T) {
	profile := Trained()
	x := NewPerson(briefed(), slide(), &profile, 1)
	x.exec.Progress.Leg, x.flown = 5, true
	p := percept.Percept{Armed: true, Contact: true, Actual: hands.PositionHold, PosW: kernel.Vec3{Z: 1}, Person: 1000}
	for range 10 {
		p.Tick += percept.Every
		x.notice(&p)
	}
	assert.NotZero(t, x.alarm)
	p.Uncommanded = 1
	for range 100 {
		p.Tick += percept.Every
		x.notice(&p)
	}
	assert.Zero(t, x.alarm)
}

// Goal: the one answer of always-attitude is attitude, land, disarm: it never cuts
// off, never calls and does not look at people; always-cut-off cuts off whatever
// comes.
func TestHabitsAtEverySign(t *testing.T) {
	for _, c := range []struct {
		name string
		set  func(p *percept.Percept)
		sees bool // by always-attitude
	}{
		{"a person", func(p *percept.Percept) { p.Person = 1 }, false},
		{"a lost station", func(p *percept.Percept) { p.Camera = 2 }, true},
		{"motors on the floor", func(p *percept.Percept) { p.OnFloor, p.MotorsTurn = true, true }, true},
		{"a slide", func(p *percept.Percept) { p.Uncommanded = 0.9 }, true},
	} {
		for _, profile := range []Profile{StrategyAttitude(), StrategyCutOff()} {
			craft := flying(kernel.Vec3{Z: 1.2}, hands.PositionHold)
			x := NewPerson(briefed(), drillOf(judge.ClassN), &profile, 2)
			x.exec.Progress.Leg, x.flown = 5, true
			d := &diary{pilot: &x, before: craft.h}
			craft.onlyOnce = func(t *toy) { c.set(&t.p) }
			for range 450 {
				craft.turn(d)
			}
			if profile.Habit == WrongCutOff {
				assert.Contains(t, d.said[:2], "cut-off", c.name)
				continue
			}
			assert.NotContains(t, d.said, "cut-off", c.name)
			assert.NotContains(t, d.said, "motors-safe", c.name)
			assert.Equal(t, c.sees, x.noticed != judge.Never, c.name)
			if c.sees {
				assert.Contains(t, d.said, "attitude", c.name)
				assert.Contains(t, d.said, "disarm", c.name)
			}
		}
	}
}

// Goal: motors that turn on the floor are expected only where the plan has come to
// them: not after a cut-off that is released. A craft in a hand does not alarm by
// how it leans or moves.
func TestWhatThePlanExpects(t *testing.T) {
	profile := Trained()
	plan := planOf(Leg{Do: LegArm}, Leg{Do: LegIdle, For: 2000}, Leg{Do: LegCutOff}, Leg{Do: LegRelease}, Leg{Do: LegHold, For: 9000})
	x := NewPerson(plan, slide(), &profile, 1)
	for leg, may := range []bool{true, true, false, false, false} {
		x.exec.Progress.Leg = int64(leg)
		assert.Equal(t, may, x.mayTurn(), "leg %d", leg)
	}
	held := percept.Percept{Held: true, Armed: true, Tilt: 1, Contact: true, OddRotor: 1, Uncommanded: 2, Person: 1000,
		PosW: kernel.Vec3{Z: 1}}
	for held.Tick < 3000 {
		held.Tick += percept.Every
		x.Act(&held, &hands.Hands{Armed: true})
	}
	noticed, _ := x.Noticed()
	assert.Equal(t, judge.Never, noticed)
	assert.False(t, x.flown)
}

// Goal: a craft is secured also when its station says nothing, and nobody touches
// a pack that smokes.
func TestSecuringBlindAndSmoking(t *testing.T) {
	for _, c := range []struct {
		name string
		set  func(p *percept.Percept)
		want []string
	}{
		{"silent", func(p *percept.Percept) { p.Silent, p.Armed, p.CutOff = true, true, false },
			[]string{"disarm", "cut-off", "motors-safe", "battery-out"}},
		{"smoking", func(p *percept.Percept) { p.Smoke = true }, []string{"disarm", "cut-off", "motors-safe"}},
	} {
		craft := newToy()
		craft.h, craft.armed = hands.Hands{Response: hands.Attitude, Armed: true}, true
		e := NewExecutor(planOf(Leg{Do: LegDisarm}), TrainedHand(), 1)
		d := &diary{pilot: &e, before: craft.h}
		craft.onlyOnce = func(t *toy) { c.set(&t.p) }
		for range 600 {
			craft.turn(d)
		}
		assert.Equal(t, c.want, d.said, c.name)
	}
}
