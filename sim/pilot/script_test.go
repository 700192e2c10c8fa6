package pilot

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

func scriptOf(lines ...Line) *Script {
	var s Script
	s.Count = copy(s.Lines[:], lines)
	return &s
}

// Goal: lines come at their tick, after their mark, after their sign, each once.
// Method: a percept by hand whose tilt is above the level from 1,000 to 1,400.
func TestScriptTimes(t *testing.T) {
	script := scriptOf(
		Line{When: WhenTick, After: 0, Set: FlyHands},
		Line{When: WhenTick, After: 300, Set: SetRoll, To: 250},
		Line{When: WhenMark, Mark: inject.MarkArmed, After: 200, Set: SetThrottle, To: 400},
		Line{When: WhenSign, Rule: percept.Rule{Sign: percept.SignTilt, Above: 0.2, For: 100}, After: 260,
			Set: SetResponse, Resp: hands.HeightHold},
		Line{When: WhenSign, Rule: percept.Rule{Sign: percept.SignTilt, Above: 0.2, For: 100}, After: 500,
			Set: SetCutOff, To: 1},
		Line{When: WhenTick, After: 2000, Set: SetCall, Call: hands.CallStandClear},
		Line{When: WhenTick, After: 2100, Set: SetStep, Step: hands.StepTransmitterOff},
	)
	s := NewScripted(briefed(), script, TrainedHand(), 1)
	d := &diary{pilot: &s}
	h := hands.Rest()
	d.before = h
	p := percept.Percept{OnFloor: true, HoverStick: 0.4}
	roll, throttle := judge.Never, judge.Never
	for tick := int64(0); tick < 3000; tick += percept.Every {
		p.Tick = tick
		p.Armed = tick >= 600
		p.Tilt = 0
		if tick >= 1000 && tick <= 1400 || tick >= 2500 {
			p.Tilt = 0.3
		}
		d.Act(&p, &h)
		if h.Roll == 250 && roll == judge.Never {
			roll = tick
		}
		if h.Throttle == 400 && throttle == judge.Never {
			throttle = tick
		}
	}
	assert.EqualValues(t, 300, roll)
	assert.EqualValues(t, 800, throttle)
	assert.EqualValues(t, 1360, d.tickOf("height-hold"), "1,000 + 100 + 260")
	assert.Equal(t, []string{"height-hold", "stand-clear", "transmitter-off"}, d.said, "each fires once; cut-off stood already")
	assert.EqualValues(t, 2000, d.tickOf("stand-clear"))
	assert.EqualValues(t, 2100, d.tickOf("transmitter-off"))
	assert.True(t, h.CutOff)
	assert.EqualValues(t, 250, h.Roll, "what a line has set stays")
}

// Goal: a script flies the plan by itself, answers a sign with a delay, and
// lands. Method: toy craft that slides; attitude a second after the sign.
func TestScriptAnswersASign(t *testing.T) {
	script := scriptOf(
		Line{When: WhenSign, Rule: percept.Rule{Sign: percept.SignSlide, Above: 0.15, For: 500}, After: 1000,
			Set: SetResponse, Resp: hands.Attitude},
		Line{When: WhenSign, Rule: percept.Rule{Sign: percept.SignSlide, Above: 0.15, For: 500}, After: 1020, Set: FlyLand},
	)
	craft := newToy()
	craft.onlyOnce = func(t *toy) {
		if t.tick >= slideAt {
			t.slideW = kernel.Vec3{X: 0.5}
		}
	}
	s := NewScripted(briefed(), script, TrainedHand(), 1)
	d := &diary{pilot: &s, before: craft.h}
	for range 2000 {
		craft.turn(d)
	}
	assert.EqualValues(t, slideAt+percept.Every+1500, d.tickOf("attitude"))
	assert.True(t, craft.onFloor())
	assert.Less(t, craft.touched, 0.6)
	assert.NotEqual(t, judge.Never, d.tickOf("battery-out"))
}

// Goal: recorded hands come at their ticks and stay in between.
func TestRecordedRepeats(t *testing.T) {
	moments := []Moment{{0, hands.Rest()}, {40, hands.Hands{Throttle: 100}}, {50, hands.Hands{Throttle: 200}}}
	r := NewRecorded(moments)
	var h hands.Hands
	var throttles []int16
	for tick := int64(0); tick < 100; tick += percept.Every {
		r.Act(&percept.Percept{Tick: tick}, &h)
		throttles = append(throttles, h.Throttle)
	}
	assert.Equal(t, []int16{0, 0, 100, 200, 200}, throttles)
}

// Goal: every name gives a pilot, another name an error that lists them.
func TestByName(t *testing.T) {
	task := Task{Plan: briefed(), Drill: slide(), Brief: DefaultBrief(), Seed: 1, Script: scriptOf()}
	for _, name := range Names() {
		p, err := ByName(name, task)
		require.NoError(t, err, name)
		require.NotNil(t, p)
	}
	assert.Subset(t, Names(), []string{"none", "novice", "trained", "expert", "ideal", "script"})
	_, err := ByName("nobody", task)
	assert.ErrorContains(t, err, "trained")
	_, err = ByName("trained", Task{Plan: task.Plan, Drill: task.Drill})
	assert.ErrorContains(t, err, "lean at full stick", "a pilot must be briefed")
	assert.ErrorContains(t, err, "yaw rate", "all faults at once")
	task.Script = nil
	_, err = ByName("script", task)
	assert.Error(t, err)
}

// Goal: nobody allocates in a look.
func TestActAllocatesNothing(t *testing.T) {
	task := Task{Plan: briefed(), Drill: slide(), Brief: DefaultBrief(), Seed: 1, Script: scriptOf(
		Line{When: WhenSign, Rule: percept.Rule{Sign: percept.SignSlide, Above: 0.15}, Set: FlyLand})}
	for _, name := range Names() {
		p, err := ByName(name, task)
		require.NoError(t, err)
		craft := newToy()
		assert.Zero(t, testing.AllocsPerRun(1000, func() {
			craft.slideW.X = float64(craft.tick) / 60000
			craft.turn(p)
		}), name)
	}
}
