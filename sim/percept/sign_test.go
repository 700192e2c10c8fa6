package percept

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
)

// Goal: each sign shows its own figure of the percept, in its unit. Method: set
// one thing each in an otherwise quiet look; every sign is in the table.
func TestEachSignShowsItsFigure(t *testing.T) {
	cases := []struct {
		sign Sign
		set  func(p *Percept)
		want float64
	}{
		{SignSlide, func(p *Percept) { p.Uncommanded = 0.4 }, 0.4},
		{SignAway, func(p *Percept) { p.Away = 0.7 }, 0.7},
		{SignTilt, func(p *Percept) { p.Tilt = 0.3 }, 0.3},
		{SignSpeed, func(p *Percept) { p.VelW = kernel.Vec3{X: 3, Y: 4, Z: 9} }, 5},
		{SignSink, func(p *Percept) { p.VelW.Z = -0.6 }, 0.6},
		{SignClimb, func(p *Percept) { p.VelW.Z = 0.6 }, 0.6},
		{SignAccel, func(p *Percept) { p.AccelW = kernel.Vec3{X: -3, Y: 4, Z: 9} }, 5},
		{SignYawRate, func(p *Percept) { p.YawRate = -0.5 }, 0.5},
		{SignOverPath, func(p *Percept) { p.PathSpeed, p.VelW.X = 0.5, 0.75 }, 1.5},
		{SignOverPath, func(p *Percept) { p.PathSpeed, p.VelW.X = 0.2, 0.75 }, 0}, // too slow to compare
		{SignOddRotor, func(p *Percept) { p.OddRotor = 0.2 }, 0.2},
		{SignCamera, func(p *Percept) { p.Camera = 2 }, 2},
		{SignLinkLost, func(p *Percept) { p.LinkLost = true }, 1},
		{SignDeadSticks, func(p *Percept) { p.DeadSticks = 1.5 }, 1.5},
		{SignBattery, func(p *Percept) { p.Battery = 1 }, 1},
		{SignContact, func(p *Percept) { p.Contact = true }, 1},
		{SignTipping, func(p *Percept) { p.Tilt, p.OnFloor = 0.3, true }, 0.3},
		{SignTipping, func(p *Percept) { p.Tilt = 0.3 }, 0},
		{SignMotorsOnFloor, func(p *Percept) { p.OnFloor, p.MotorsTurn = true, true }, 1},
		{SignMotorsOnFloor, func(p *Percept) { p.OnFloor, p.MotorsTurn = true, false }, 0},
		{SignPersonNear, func(p *Percept) { p.Person = 2 }, 0.5},
		{SignNotHolding, func(p *Percept) { p.Commanded, p.Actual = hands.PositionHold, hands.Attitude }, 1},
		{SignNotHolding, func(p *Percept) { p.Commanded, p.Actual = hands.Attitude, hands.PositionHold }, 0},
		{SignAirborne, func(p *Percept) { p.PosW.Z = 0.3 }, 1},
		{SignAirborne, func(p *Percept) { p.PosW.Z, p.OnFloor = 0.3, true }, 0}, // on a bench
		{SignOnFloor, func(p *Percept) { p.OnFloor = true }, 1},
		{SignLow, func(p *Percept) { p.PosW.Z = 0.5 }, 2},
		{SignYawSlide, func(p *Percept) { p.Turned, p.Uncommanded = 0.79, 0.2 }, 0.2}, // 45 degrees a second are 0.785 rad/s
		{SignYawSlide, func(p *Percept) { p.Turned, p.Uncommanded = 0.78, 0.2 }, 0},
		{SignSwing, func(p *Percept) { p.Swing = 0.1 }, 0.1},
		{SignStationSilent, func(p *Percept) { p.Silent = true }, 1},
		{SignFliesOn, func(p *Percept) { p.DeadFly = 0.7 }, 0.7},
		{SignMotorsSilent, func(p *Percept) { p.MotorsTurn, p.PosW.Z = false, 0.3 }, 1},
		{SignMotorsSilent, func(p *Percept) { p.MotorsTurn, p.PosW.Z, p.Held = false, 0.3, true }, 0},
		{SignMotorsSilent, func(p *Percept) { p.MotorsTurn, p.PosW.Z, p.OnFloor = false, 0.3, true }, 0}, // on a bench
		{SignMotorsSilent, func(p *Percept) { p.PosW.Z = 0.3 }, 0},
		{SignSmoke, func(p *Percept) { p.Smoke = true }, 1},
		{SignPinned, func(p *Percept) { p.Tilt, p.VelW.X = 1.1, 0.1 }, 1.1},
		{SignPinned, func(p *Percept) { p.Tilt, p.VelW.X = 1.1, 0.3 }, 0},
		{SignPinned, func(p *Percept) { p.Tilt, p.MotorsTurn = 1.1, false }, 0},
		{SignCeiling, func(p *Percept) { p.Above = 0.1 }, 10},
		{SignOtherMoves, func(p *Percept) { p.OtherMoves = true }, 1},
		{SignPictureStill, func(p *Percept) { p.Frozen = true }, 1},
		{SignCageAlert, func(p *Percept) { p.CageAlert = true }, 1},
		{SignCutOffIgnored, func(p *Percept) { p.CutRuns = 0.6 }, 0.6},
		{SignLeap, func(p *Percept) { p.Leap = 0.9 }, 0.9},
		{SignNoseIn, func(p *Percept) { p.NoseIn = true }, 1},
		{SignPrompt, func(p *Percept) { p.Prompt = 3 }, 1},
		{SignHeld, func(p *Percept) { p.Held = true }, 1},
		{SignItemBad, func(p *Percept) { p.ItemState = 4 }, 1},
		{SignFlicker, func(p *Percept) { p.Flicker = 3 }, 3},
	}
	seen := map[Sign]bool{}
	for _, c := range cases {
		seen[c.sign] = true
		p := Percept{Person: 1e3, Above: 1e3, MotorsTurn: true, PosW: kernel.Vec3{Z: 1e3}}
		if c.sign != SignAirborne {
			assert.InDelta(t, 0, p.Figure(c.sign), 1e-2, "%s in a quiet look", c.sign)
		}
		p.PosW.Z = 0
		c.set(&p)
		assert.InDelta(t, c.want, p.Figure(c.sign), 1e-6, "%s", c.sign)
	}
	for s := SignNone + 1; s < signCount; s++ {
		assert.True(t, seen[s], "%s is not tested", s)
		parsed, ok := ParseSign(s.String())
		assert.True(t, ok && parsed == s)
	}
	assert.Len(t, SignWords(), int(signCount)-1)
}

// Goal: a rule holds once its figure has been above its level for its time
// without a break. Method: a figure look by look, at a level of 0.5 for 60 ms.
func TestRuleHoldsAfterItsTime(t *testing.T) {
	const up, level, down = 0.6, 0.5, 0.4
	cases := []struct {
		name    string
		figures []float64
		want    int // the first look, from 0, in which it holds; −1 for never
	}{
		{"from the first look on", []float64{up, up, up, up, up}, 3},
		{"from the third", []float64{down, down, up, up, up, up}, 5},
		{"with a break", []float64{up, up, up, down, up, up, up, up}, 7},
		{"never above", []float64{level, level, level, level, level}, -1},
		{"too short", []float64{up, up, up, down}, -1},
	}
	r := Rule{Sign: SignAway, Above: level, For: 60}
	for _, c := range cases {
		var w Watch
		first := -1
		for i, figure := range c.figures {
			p := Percept{Tick: 1000 + int64(i)*Every, Away: figure}
			if r.Holds(&w, &p) && first < 0 {
				first = i
			}
		}
		assert.Equal(t, c.want, first, c.name)
	}
	now := Rule{Sign: SignAway, Above: level}
	assert.True(t, now.Holds(&Watch{}, &Percept{Tick: Every, Away: up}), "at once")
}
