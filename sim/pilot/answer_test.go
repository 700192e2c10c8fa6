package pilot

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
)

func oneOf(first bool, kinds ...judge.DeedKind) judge.Demand {
	d := judge.Demand{Count: len(kinds), First: first, Within: judge.NoLimit}
	for i, k := range kinds {
		d.AnyOf[i] = judge.Deed{Kind: k}
	}
	return d
}

func drillOf(class judge.Class, demands ...judge.Demand) *judge.Drill {
	d := &judge.Drill{Class: class}
	d.DemandCount = copy(d.Demands[:], demands)
	return d
}

// Goal: the answers tried are those that the first right actions permit.
func TestAnswersOfADrill(t *testing.T) {
	for _, c := range []struct {
		name  string
		drill *judge.Drill
		want  []Answer
	}{
		{"none", drillOf(judge.ClassN), []Answer{AnswerGoOn}},
		{"take over", drillOf(judge.ClassB, oneOf(true, judge.DeedRefuge, judge.DeedCutOff), oneOf(false, judge.DeedTouchdown)),
			[]Answer{AnswerRefuge, AnswerHeightHold, AnswerCutOff}},
		{"stop", drillOf(judge.ClassA, oneOf(true, judge.DeedCutOff), oneOf(true, judge.DeedThrottleLowest)),
			[]Answer{AnswerCutOff}},
		{"land", drillOf(judge.ClassC, oneOf(true, judge.DeedDescend)), []Answer{AnswerLand, AnswerRefuge}},
		{"tell", drillOf(judge.ClassE, oneOf(true, judge.DeedCall), oneOf(false, judge.DeedReturnSafe)), []Answer{AnswerGoOn}},
		{"move away", drillOf(judge.ClassF, oneOf(true, judge.DeedMoveAway, judge.DeedArrest)),
			[]Answer{AnswerAway, AnswerRefuge, AnswerPositionHold}},
		{"hold still", drillOf(judge.ClassB, oneOf(true, judge.DeedSticksNeutral)), []Answer{AnswerNeutral, AnswerNeutralLand}},
		{"stop turning", drillOf(judge.ClassB, oneOf(true, judge.DeedYawStopped)), []Answer{AnswerRefuge, AnswerHeightHold}},
		{"ease", drillOf(judge.ClassC, oneOf(true, judge.DeedEaseThrottle)), []Answer{AnswerLand, AnswerRefuge}},
		{"hold lowest", drillOf(judge.ClassA, oneOf(true, judge.DeedHoldLowest)), []Answer{AnswerCutOff}},
		{"none is first", drillOf(judge.ClassB, oneOf(false, judge.DeedAttitude)), []Answer{AnswerRefuge}},
	} {
		all, n := Answers(c.drill)
		assert.Equal(t, c.want, all[:n], c.name)
	}
}

// Goal: the ideal hand arrests close to what physics allows and lands softly.
// Method: from 2.5 m/s under attitude and height-hold; with a lean of 0.6 rad
// the best deceleration is g·tan 0.6 = 6.7 m/s², so a stop takes 0.47 m at the
// least, and 0.9 m with the link (40 ms) and the lag of the lean (0.13 s) at full
// speed before it. The trained hand adds its delay of 0.22 s and leans less.
func TestIdealArrests(t *testing.T) {
	for _, c := range []struct {
		name   string
		answer Answer
		hand   Hand
		within float64 // m, of travel
	}{
		{"ideal refuge", AnswerRefuge, IdealHand(), 1.0},
		{"ideal height-hold", AnswerHeightHold, IdealHand(), 1.0},
		{"trained refuge", AnswerRefuge, TrainedHand(), 2.4},
		{"ideal in position-hold", AnswerLand, IdealHand(), 2.0},
	} {
		craft := flying(kernel.Vec3{Z: 1.2}, hands.PositionHold)
		craft.velW = kernel.Vec3{X: 2.5}
		craft.look()
		a := NewAnswering(c.answer, c.hand, &craft.p)
		farthest, highest, lean := 0.0, 0.0, 0.0
		for range 500 {
			craft.turn(&a)
			farthest, highest = max(farthest, craft.posW.X), max(highest, craft.posW.Z)
			lean = max(lean, craft.p.Tilt)
		}
		t.Logf("%s: %.2f m of travel, %.2f m high, lean %.2f rad, touch %.2f m/s", c.name, farthest, highest, lean, craft.touched)
		assert.Less(t, farthest, c.within, c.name)
		assert.Less(t, highest, 1.7, c.name)
		assert.Less(t, craft.touched, 0.55, c.name)
		assert.True(t, craft.onFloor(), c.name)
		if c.answer == AnswerRefuge {
			assert.True(t, craft.h.CutOff && !craft.h.Armed && craft.h.Throttle == 0, c.name)
		}
	}
}

// Goal: a craft that came to rest at a wall is moved to where room is.
func TestIdealLeavesTheWall(t *testing.T) {
	craft := flying(kernel.Vec3{X: 2.75, Z: 1.5}, hands.PositionHold)
	craft.holdW = kernel.Vec3{X: 1, Z: 1.5}
	craft.look()
	a := NewAnswering(AnswerRefuge, IdealHand(), &craft.p)
	for range 100 {
		craft.turn(&a)
	}
	assert.Less(t, craft.posW.X, 2.5)
	assert.False(t, craft.hit)
}

// Goal: the other answers do what they say.
func TestOtherAnswers(t *testing.T) {
	act := func(a Answer, b Brief) hands.Hands {
		craft := flying(kernel.Vec3{Z: 1.2}, hands.Path)
		craft.h.Roll = 300
		x := NewAnswering(a, IdealHand().With(b), &craft.p)
		for range 10 {
			x.Act(&craft.p, &craft.h)
		}
		return craft.h
	}
	brief := DefaultBrief()
	stops := brief
	stops.LostLinkStops = true
	assert.Equal(t, hands.Hands{Response: hands.Path, CutOff: true}, act(AnswerCutOff, brief))
	assert.Equal(t, hands.Hands{Response: hands.PositionHold, Throttle: 500, Armed: true}, act(AnswerPositionHold, brief))
	assert.Equal(t, hands.Hands{Response: hands.Attitude, Throttle: 420, Armed: true}, act(AnswerReturnSafe, brief))
	assert.Equal(t, hands.Hands{Response: hands.Path, CutOff: true, Armed: true}, act(AnswerReturnSafe, stops))
	assert.Equal(t, hands.Hands{Response: hands.Path, Throttle: 500, Armed: true}, act(AnswerGoOn, brief))
}

// Goal: the answers that move off get away from people or walls, and land there;
// holding still ends in position-hold or on the floor.
func TestAnswersThatMoveOff(t *testing.T) {
	for _, r := range []hands.Response{hands.Attitude, hands.PositionHold, hands.Path} {
		for _, hand := range []Hand{IdealHand(), TrainedHand()} {
			craft := flying(kernel.Vec3{Z: 1.2}, r)
			craft.personW = kernel.Vec3{X: 1.6}
			craft.look()
			a := NewAnswering(AnswerAway, hand, &craft.p)
			for range 700 {
				craft.turn(&a)
			}
			assert.Greater(t, craft.posW.Sub(craft.personW).NormXY(), 2.0, "%s", r)
			assert.True(t, craft.onFloor() && craft.h.CutOff, "%s", r)
		}
	}
	craft := flying(kernel.Vec3{X: 2.6, Z: 1.2}, hands.PositionHold)
	craft.holdW = kernel.Vec3{X: 1}
	craft.look()
	a := NewAnswering(AnswerClear, TrainedHand(), &craft.p)
	craft.holdW = craft.posW
	for range 700 {
		craft.turn(&a)
	}
	assert.Less(t, craft.posW.X, 2.3)
	assert.True(t, craft.onFloor())

	for answer, down := range map[Answer]bool{AnswerNeutral: false, AnswerNeutralLand: true} {
		craft := flying(kernel.Vec3{Z: 1.2}, hands.Attitude)
		craft.h.Roll = 400
		a := NewAnswering(answer, TrainedHand(), &craft.p)
		for range 700 {
			craft.turn(&a)
		}
		assert.Equal(t, down, craft.onFloor(), "%s", answer)
		assert.Equal(t, down, craft.h.CutOff, "%s", answer)
	}
}
