package sim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/percept"
	"lapwing/sim/safety"
)

// suffering returns c with injects that come at tick.
func suffering(c sim.Conditions, tick int64, injects ...inject.Inject) sim.Conditions {
	c.Injects = inject.Plan{}
	c.Injects.Count = copy(c.Injects.Injects[:], injects)
	for i := range c.Injects.Count {
		in := &c.Injects.Injects[i]
		in.Onset = inject.Onset{After: inject.MarkStart, DelayTicks: tick}
		if in.LastsTicks == 0 {
			in.LastsTicks = inject.Forever
		}
	}
	return c
}

// there is an inject that is there or not.
func there(k inject.Kind) inject.Inject { return inject.Inject{Kind: k, Severity: 1} }

// onPath returns a world on the figure-eight, where it moves at 0.3 m/s or more.
func onPath(t *testing.T) (sim.Conditions, sim.World) {
	t.Helper()
	c := quiet(rehearsal(t, "figure-eight", 1))
	w, p := sim.Start(&c), nobody(t, &c)
	for !(w.Setpoint.Active && w.Setpoint.VelW.NormXY() > 0.3) {
		require.Less(t, w.Tick, int64(60_000))
		sim.Turn(&c, &w, p)
	}
	return c, w
}

// Goal: a stick that is heard where it does not stand flies the craft off, and
// only that stick counts as dead. Method: pitch stuck forward in position-hold;
// then pull it back, which helps nothing.
func TestStuckAxisFliesOff(t *testing.T) {
	c, w, _ := hovering(t)
	c = suffering(c, w.Tick, inject.Inject{Kind: inject.StuckAxis, Severity: 1, Axis: inject.AxisPitch, At: 0.4})
	k := keep{w.Hands}
	fly(&c, &w, k, w.Tick+1200)
	ahead := w.Craft.QWB.RotateInv(w.Craft.VelW).X
	assert.Greater(t, ahead, 0.3, "m/s")
	assert.Zero(t, w.Percept.DeadSticks, "no stick was moved")
	k.hands.Pitch, k.hands.Roll = -300, 100
	fly(&c, &w, k, w.Tick+600)
	assert.Greater(t, w.Craft.QWB.RotateInv(w.Craft.VelW).X, 0.3, "m/s")
	assert.InDelta(t, 0.6, w.Percept.DeadSticks, 0.05, "s")
	k.hands.Pitch = 0
	fly(&c, &w, k, w.Tick+100)
	assert.Zero(t, w.Percept.DeadSticks, "the roll stick is answered")
}

// Goal: a stutter lets frames grow stale again and again, and now and then is
// taken for a lost link; the craft is landing in the end. Method: 20 s of hover
// with 60 % of the time without frames.
func TestStutterTroublesTheLink(t *testing.T) {
	c, w, _ := hovering(t)
	c = suffering(c, w.Tick, inject.Inject{Kind: inject.LinkStutter, Severity: 0.6})
	seen, was := map[safety.Link]int{}, safety.LinkGood
	for k := (keep{w.Hands}); w.Tick < 30_000; sim.Turn(&c, &w, k) {
		if now := w.Safety.Status.Link; now != was {
			seen[now]++
			was = now
		}
	}
	assert.Greater(t, seen[safety.LinkStale], 5)
	assert.Positive(t, seen[safety.LinkLost])
}

// Goal: where another craft answers the transmitter, this one hears nothing and
// loses its link, while the station shows a link that is up.
func TestOtherCraftAnswers(t *testing.T) {
	c, w, _ := hovering(t)
	c = suffering(c, w.Tick, there(inject.OtherCraft))
	k := keep{w.Hands}
	fly(&c, &w, k, w.Tick+300)
	k.hands.Roll += 400
	fly(&c, &w, k, w.Tick+1200)
	assert.Equal(t, safety.LinkLost, w.Safety.Status.Link)
	assert.True(t, w.Safety.Status.Landing)
	assert.False(t, w.Percept.LinkLost)
	assert.Greater(t, w.Percept.DeadSticks, 1.0, "s")
}

// Goal: a craft that does not notice its lost link flies on as it was last told.
// Method: a little roll stick in position-hold, then the link dies, with and
// without the lost-link action.
func TestFlyAway(t *testing.T) {
	for _, fails := range []bool{false, true} {
		c, w, _ := hovering(t)
		k := keep{w.Hands}
		k.hands.Roll = 300
		c = suffering(c, w.Tick+500, there(inject.LostLink), there(inject.ActionFails))
		if !fails {
			c.Injects.Count = 1
		}
		fly(&c, &w, k, w.Tick+2000)
		assert.Equal(t, !fails, w.Safety.Status.Landing)
		assert.True(t, w.Percept.LinkLost, "the station knows either way")
		speed := w.Craft.VelW.NormXY()
		assert.Equal(t, fails, speed > 0.25, "%.2f m/s", speed)
	}
}

// Goal: a computer that dies on the path leaves the last velocity standing: the
// craft leaves the path on a straight line, the station falls silent and its
// picture stands, the link stays up, and the selector still works.
func TestComputerDiesOnThePath(t *testing.T) {
	c, w := onPath(t)
	p := keep{w.Hands}
	before := w.Setpoint.VelW
	c = suffering(c, w.Tick, there(inject.ComputerDead))
	onset := w.Tick
	fly(&c, &w, p, onset+900)
	assert.False(t, w.Percept.Silent, "not noticed within a second")
	volts := w.Percept.CellVolts
	fly(&c, &w, p, onset+3000)
	assert.True(t, w.Percept.Silent)
	assert.False(t, w.Percept.LinkLost)
	assert.Equal(t, volts, w.Percept.CellVolts)
	assert.Equal(t, hands.Path, w.Safety.Status.Response)
	along := w.Craft.VelW.Dot(before.Unit(kernel.Vec3{}))
	assert.InDelta(t, before.NormXY(), along, 0.25, "m/s")
	assert.Greater(t, w.Percept.Away, 0.4, "m from where the briefed path is")
	p.hands.Response = hands.Attitude
	fly(&c, &w, p, w.Tick+200)
	assert.Equal(t, hands.Attitude, w.Safety.Status.Response)
	assert.Equal(t, volts, w.Percept.CellVolts)
}

// Goal: a computer that has gone astray steers by its own velocity, on the path
// as in position-hold, against the sticks, and keeps the height; attitude ends
// it. What the eye takes for the briefed path stays the briefed path.
func TestAstrayWherever(t *testing.T) {
	c, hover, _ := hovering(t)
	pathC, path := onPath(t)
	for _, at := range []struct {
		name string
		c    sim.Conditions
		w    sim.World
	}{{"position-hold", c, hover}, {"path", pathC, path}} {
		t.Run(at.name, func(t *testing.T) {
			w, k := at.w, keep{at.w.Hands}
			if at.name == "position-hold" {
				k.hands.Roll = 300
			}
			high := w.Craft.PosW.Z
			c := suffering(at.c, w.Tick, inject.Inject{Kind: inject.PathAstray, Severity: 0.7, Direction: math.Pi})
			fly(&c, &w, k, w.Tick+2000)
			assert.InDelta(t, 0, w.Craft.VelW.Sub(kernel.Vec3{X: -0.7}).NormXY(), 0.2, "m/s, %v", w.Craft.VelW)
			assert.InDelta(t, high, w.Craft.PosW.Z, 0.15, "m")
			assert.Greater(t, w.Percept.Uncommanded, 0.3, "m/s")
			assert.Equal(t, at.name == "path", w.Setpoint.Active)
			k.hands.Response, k.hands.Roll = hands.Attitude, 0
			k.hands.Throttle = hands.Stick(w.Percept.HoverStick)
			fly(&c, &w, k, w.Tick+300)
			assert.Zero(t, w.Steer)
			assert.Less(t, w.Law.Setpoint.Tilt, 1e-9, "rad: the sticks alone count")
		})
	}
}

// Goal: after it was astray, the craft holds the place where that ended.
func TestAstrayEnds(t *testing.T) {
	c, w, _ := hovering(t)
	c = suffering(c, w.Tick, inject.Inject{Kind: inject.PathAstray, Severity: 0.5, LastsTicks: 1500})
	k, began := keep{w.Hands}, w.Craft.PosW
	fly(&c, &w, k, w.Tick+1500)
	assert.Greater(t, w.Craft.PosW.X-began.X, 0.3, "m")
	fly(&c, &w, k, w.Tick+3000)
	assert.Less(t, w.Craft.VelW.NormXY(), 0.1, "m/s")
	assert.InDelta(t, began.Z, w.Craft.PosW.Z, 0.1, "m")
	assert.Equal(t, hands.PositionHold, w.Safety.Status.Response)
}

// Goal: without telemetry the station stands still and says so after a second,
// while the craft still obeys.
func TestTelemetryLost(t *testing.T) {
	c, w, _ := hovering(t)
	c = suffering(c, w.Tick, inject.Inject{Kind: inject.TelemetryLost, Severity: 1, LastsTicks: 3000})
	k := keep{w.Hands}
	fly(&c, &w, k, w.Tick+100)
	volts, shown, onset := w.Percept.CellVolts, w.Percept.ShownPosW, w.Tick-100
	fly(&c, &w, k, onset+1000)
	assert.False(t, w.Percept.Silent)
	k.hands.Response = hands.HeightHold
	fly(&c, &w, k, onset+2900)
	assert.True(t, w.Percept.Silent)
	assert.False(t, w.Percept.LinkLost)
	assert.Equal(t, volts, w.Percept.CellVolts)
	assert.Equal(t, shown, w.Percept.ShownPosW)
	assert.Equal(t, hands.PositionHold, w.Percept.Actual, "as last told")
	assert.Equal(t, hands.HeightHold, w.Safety.Status.Response)
	fly(&c, &w, k, onset+3100)
	assert.False(t, w.Percept.Silent)
	assert.Equal(t, hands.HeightHold, w.Percept.Actual)
}

// Goal: a wrong hover mark is where a person believes that it hovers, off by its
// share, and none at all leaves the mark to the bit.
func TestHoverMarkIsOff(t *testing.T) {
	c, w, _ := hovering(t)
	mark := w.Percept.HoverStick
	for _, off := range []float64{0, 0.2, -0.3} {
		w.Effects.MarkOff = off
		sim.Look(&c, &w)
		assert.InDelta(t, mark*(1+off), w.Percept.HoverStick, 1e-15)
		if off == 0 {
			assert.Equal(t, mark, w.Percept.HoverStick)
		}
	}
}

// Goal: a person who walks in is seen to come nearer, stops after the distance,
// and is where the craft would touch them. Method: person 0 of the bay, from
// (−5.3, 0.5) along x.
func TestPersonEnters(t *testing.T) {
	c := quiet(rehearsal(t, "figure-eight", 1))
	w := sim.Start(&c)
	c = suffering(c, 200, inject.Inject{Kind: inject.PersonEnters, Severity: 1, Distance: 3})
	k := keep{hands.Rest()}
	fly(&c, &w, k, 200)
	assert.InDelta(t, 6.1, w.Percept.Person, 0.1, "m, from (0.8, 0) to (−5.3, 0.5)")
	fly(&c, &w, k, 1700)
	assert.InDelta(t, 6.1-1.5, w.Percept.Person, 0.1, "m")
	assert.True(t, w.Percept.PersonClosing)
	fly(&c, &w, k, 6000)
	assert.InDelta(t, 6.1-3, w.Percept.Person, 0.1, "m")
	assert.False(t, w.Percept.PersonClosing)
	assert.Equal(t, kernel.Vec3{X: 3}, w.Input.PersonShiftW)
}

// Goal: a plug that lets go in the air stops the motors and all that the station
// hears; when it makes contact again, no motor restarts though the switch stands
// at armed.
func TestPowerLossInTheAir(t *testing.T) {
	c, w, _ := hovering(t)
	c = suffering(c, w.Tick, inject.Inject{Kind: inject.PowerLoss, Severity: 1, LastsTicks: 1500})
	k, onset := keep{w.Hands}, w.Tick
	fly(&c, &w, k, onset+400)
	assert.False(t, w.Safety.Status.MotorsOn)
	assert.Less(t, w.Craft.RotorSpeed[0], 60.0, "rad/s: it is not heard any more")
	assert.Less(t, w.Craft.VelW.Z, -2.0, "m/s")
	assert.True(t, w.Percept.LinkLost)
	fly(&c, &w, k, onset+6000)
	assert.False(t, w.Craft.Cell.BrownOut)
	assert.True(t, w.Hands.Armed)
	assert.False(t, w.Safety.Status.MotorsOn)
	assert.False(t, w.Percept.LinkLost, "it answers again")
}

// Goal: with two motors that got each other's commands a quad does not leave the
// floor upright. Method: front-left and rear-right, from the start; the plan
// lifts.
func TestSwappedRotorsTipOver(t *testing.T) {
	for _, swapped := range []bool{false, true} {
		c := quiet(rehearsal(t, "nothing-happens", 1))
		if swapped {
			c = suffering(c, 0, inject.Inject{Kind: inject.RotorsSwapped, Severity: 1, Rotor: 0, Partner: 2})
		}
		w, p := sim.Start(&c), nobody(t, &c)
		worst := 0.0
		for w.Tick < 12_000 {
			sim.Turn(&c, &w, p)
			worst = math.Max(worst, w.Craft.QWB.Tilt())
		}
		assert.Equal(t, swapped, worst > 0.5, "%.2f rad", worst)
	}
}

// Goal: a pack that slips forward drops the nose and carries the craft forward
// for a moment, and the law trims it.
func TestBatteryShiftInHover(t *testing.T) {
	c, w, _ := hovering(t)
	c = suffering(c, w.Tick, inject.Inject{Kind: inject.BatteryShift, Severity: 0.012})
	k, began, yaw := keep{w.Hands}, w.Craft.PosW, w.Craft.QWB.Yaw()
	fly(&c, &w, k, w.Tick+40)
	assert.Greater(t, w.Craft.OmegaB.Y, 0.1, "rad/s, nose down")
	fly(&c, &w, k, w.Tick+500)
	moved := kernel.QuatYaw(yaw).RotateInv(w.Craft.PosW.Sub(began))
	assert.Greater(t, moved.X, 0.01, "m, forward")
	fly(&c, &w, k, w.Tick+5000)
	assert.Less(t, w.Craft.VelW.Norm(), 0.15, "m/s: it still hovers")
}

// Goal: a craft that arms by itself idles on the floor with nobody asking, until
// the cut-off.
func TestArmsItselfOnTheFloor(t *testing.T) {
	c := quiet(rehearsal(t, "nothing-happens", 1))
	c = suffering(c, 1000, there(inject.ArmsItself))
	w, k := sim.Start(&c), keep{hands.Rest()}
	k.hands.CutOff = false
	fly(&c, &w, k, 900)
	assert.False(t, w.Percept.MotorsTurn)
	fly(&c, &w, k, 2500)
	assert.True(t, w.Percept.MotorsTurn && w.Percept.OnFloor && w.Percept.Armed)
	assert.InDelta(t, c.Law.Limits.Idle, w.Input.Duty[0], 1e-9)
	k.hands.CutOff = true
	fly(&c, &w, k, 4000)
	assert.False(t, w.Percept.MotorsTurn)
}

// Goal: a landing that is missed leaves the motors working on the floor; without
// the fault they idle. Method: throttle lowest in position-hold.
func TestLandingMissedWorksOn(t *testing.T) {
	for _, missed := range []bool{false, true} {
		c, w, _ := hovering(t)
		if missed {
			c = suffering(c, w.Tick, there(inject.LandingMissed))
		}
		k := keep{w.Hands}
		k.hands.Throttle = 0
		fly(&c, &w, k, w.Tick+12_000)
		require.True(t, w.Percept.OnFloor)
		assert.Equal(t, !missed, w.Safety.Status.Landed)
		assert.Equal(t, missed, w.Input.Duty[0] > 1.5*c.Law.Limits.Idle, "duty %.2f", w.Input.Duty[0])
	}
}

// Goal: a response type that is denied shows as selected and not in force; and a
// cut-off without effect leaves the motors on until the craft is disarmed.
func TestDeniedAndIgnored(t *testing.T) {
	c, w, _ := hovering(t)
	c = suffering(c, w.Tick, there(inject.HoldDenied), there(inject.CutOffFails))
	k := keep{w.Hands}
	k.hands.Response = hands.HeightHold
	fly(&c, &w, k, w.Tick+500)
	k.hands.Response = hands.PositionHold
	fly(&c, &w, k, w.Tick+500)
	assert.Equal(t, hands.HeightHold, w.Percept.Actual)
	assert.Equal(t, 1.0, w.Percept.Figure(percept.SignNotHolding))
	k.hands.CutOff = true
	fly(&c, &w, k, w.Tick+1000)
	assert.True(t, w.Percept.MotorsTurn && w.Safety.Status.MotorsOn)
	k.hands.Armed = false
	fly(&c, &w, k, w.Tick+500)
	assert.False(t, w.Safety.Status.MotorsOn)
}
