package safety

import (
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
)

// respond decides which response type is in force.
//
// Less help than now is always given. More help is asked for at the moment the
// selector moves, and checked then: what is denied stays denied until the
// selector moves again, so no help sets in on its own seconds later. What is in
// force stays when its estimate goes bad, unless DropsHold is set.
func (s *State) respond(p *Params, in *Input) {
	st := &s.Status
	if s.Deed != Obeying {
		st.Response, st.Denied = s.responseByItself(in), DeniedNot
		s.LowFor = 0
		return
	}
	asked := in.Heard.Hands.Response
	moved := asked != s.Asked || !s.flies()
	s.Asked = asked
	switch {
	case asked == st.Response, moved && asked < st.Response:
		st.Response, st.Denied = asked, DeniedNot
	case moved:
		if st.Denied = s.denial(in, asked); st.Denied == DeniedNot {
			st.Response = asked
		}
	}
	if p.DropsHold && st.Response.PositionBased() && in.Belief.Health == estimate.Disagrees {
		st.Response, st.Denied = hands.Attitude, DeniedEstimate
		if in.Belief.HeightOK {
			st.Response = hands.HeightHold
		}
	}
	s.watchThrottle(p, in)
}

// denial says why more help cannot be given.
func (s *State) denial(in *Input, asked hands.Response) Denial {
	b := in.Belief
	flying := s.Phase == Armed && !s.Status.Landed
	switch {
	case asked.PositionBased() && in.HoldDenied:
		return DeniedUnsaid
	case asked.PositionBased() && b.Health == estimate.Disagrees:
		return DeniedEstimate
	case asked.HoldsHeight() && !b.HeightOK:
		return DeniedHeight
	case asked == hands.Path && !(in.PathStored && flying && s.Status.Response == hands.PositionHold):
		return DeniedPath
	}
	return DeniedNot
}

// responseByItself is the response type of what the craft does by itself: it
// keeps the place where it held one and can, else it is level.
func (s *State) responseByItself(in *Input) hands.Response {
	holds := s.Deed == Holding || s.Status.Response.PositionBased()
	if holds && canHold(in.Belief) {
		return hands.PositionHold
	}
	return hands.Attitude
}

// watchThrottle counts for how long the throttle is lowest while a place is
// held: that begins a landing, and raising it ends the landing.
func (s *State) watchThrottle(p *Params, in *Input) {
	r := s.Status.Response
	holds := r == hands.PositionHold || r == hands.Path && in.PathDone
	if s.flies() && holds && in.Heard.Hands.Throttle == 0 {
		s.LowFor = min(s.LowFor+1, p.LandTicks)
		return
	}
	s.LowFor = 0
}
