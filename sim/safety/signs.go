package safety

import (
	"math"

	"lapwing/sim/estimate"
)

// alarm is one low-voltage alarm. It comes and goes only after a while, and goes
// only some way above its limit: voltage dips with each burst of thrust.
type alarm struct {
	On  bool
	For int64 // ticks for which the opposite has been so
}

// watch moves the alarm on by one tick and tells whether it comes on now. Volts
// that are not a number count as low.
func (a *alarm) watch(volts, limit, recover float64, ticks int64) (comes bool) {
	against := !(volts >= limit)
	if a.On {
		against = volts > limit+recover
	}
	if !against {
		a.For = 0
		return false
	}
	if a.For++; a.For < ticks {
		return false
	}
	a.On, a.For = !a.On, 0
	return a.On
}

// actionDue returns what the craft should begin to do by itself in this tick.
// The link is asked at every tick; the battery only as its alarm comes on, so
// that a pilot who has taken over keeps the craft.
func (s *State) actionDue(p *Params, in *Input, lost bool) Action {
	caution := s.Caution.watch(in.CellVolts, in.CautionVolts, p.RecoverVolts, p.CautionTicks)
	critical := s.Critical.watch(in.CellVolts, in.CriticalVolts, p.RecoverVolts, p.CriticalTicks)
	switch {
	case lost:
		return p.LostLinkAction
	case critical:
		return p.CriticalAction
	case caution:
		return p.CautionAction
	}
	return ActionNone
}

// watchCorners counts for how long a stick corner is held in fresh frames. Where
// the throttle sets climb, the disarming corner counts only on the floor: a
// descending turn to the left would stop the motors in the air.
func (s *State) watchCorners(p *Params, in *Input, fresh bool) {
	if p.ArmBy != ByStickCorners {
		return
	}
	h := &in.Heard.Hands
	low := fresh && h.Throttle == 0
	stops := !s.Status.Response.HoldsHeight() || s.Status.Landed
	s.ArmFor = count(s.ArmFor, low && h.Yaw >= corner, p.StickTicks)
	s.DisarmFor = count(s.DisarmFor, low && stops && h.Yaw <= -corner, p.StickTicks)
}

// watchGround counts for how long the craft may have been standing: nothing asks
// it to fly, it neither climbs nor sinks, is low, feels its weight as at rest
// (in a fall it would feel none), and its rotors do not carry it.
func (s *State) watchGround(p *Params, in *Input) {
	b := in.Belief
	grounded := s.Phase != Armed || s.Status.Landing || in.Heard.Hands.Throttle == 0
	blind := b.Health == estimate.Disagrees && !b.HeightOK
	still := math.Abs(b.VelW.Z) < p.LandedClimb || blind
	low := b.Height < p.LandedHeight || !b.HeightOK
	atRest := math.Abs(in.SpecificForce-p.GravityNearby) < p.LandedForce
	light := in.DutyMean < p.LandedDuty
	s.StoodFor = count(s.StoodFor, grounded && still && low && atRest && light, p.LandedTicks+p.SettledTicks)
}

// count counts up to most while is, and starts anew otherwise.
func count(ticks int64, is bool, most int64) int64 {
	if !is {
		return 0
	}
	return min(ticks+1, most)
}
