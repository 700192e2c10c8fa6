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

// watchGround counts for how long the craft may have been standing.
func (s *State) watchGround(p *Params, in *Input) {
	s.StoodFor = count(s.StoodFor, s.stands(p, in) && !in.LandingMissed, p.LandedTicks+p.SettledTicks)
}

// stands tells whether the craft may be standing: nothing asks it to fly, its
// rotors do not carry it, it feels its weight as at rest (in a fall it would
// feel none), it is low and neither climbs nor sinks. What it cannot know it
// does not ask.
func (s *State) stands(p *Params, in *Input) bool {
	if s.Phase == Armed && !s.Status.Landing && in.Heard.Hands.Throttle != 0 {
		return false
	}
	b := in.Belief
	blind := b.Health == estimate.Disagrees && !b.HeightOK
	return in.DutyMean < p.LandedDuty &&
		math.Abs(in.SpecificForce-p.GravityNearby) < p.LandedForce &&
		(b.Height < p.LandedHeight || !b.HeightOK) &&
		(math.Abs(b.VelW.Z) < p.LandedClimb || blind)
}

// count counts up to most while is, and starts anew otherwise.
func count(ticks int64, is bool, most int64) int64 {
	if !is {
		return 0
	}
	return min(ticks+1, most)
}
