package path

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// State is how far along the path the craft is. A plain value; its zero value
// is not engaged.
type State struct {
	Active bool // engaged
	Done   bool // the end has been reached

	Leg       int64       // 0 lead-in, then 1 … legs
	LegStart  int64       // tick
	FromW     kernel.Vec3 // m, where the leg begins
	ToW       kernel.Vec3 // m, where it ends
	YawFrom   float64     // rad, heading at its beginning
	YawBy     float64     // rad, turn on it, the short way round
	TurnTicks int64       // ticks that the turn takes from the leg's start
	MoveAt    int64       // ticks from the leg's start to the way's
	MoveTicks int64       // ticks that the way takes
}

// Follow leaves in out where the craft should be at tick. The path starts anew
// on each engagement, from fromW (m, room axes) and heading fromYaw (rad), where
// the craft holds; while it is not engaged out is zero. At the end the setpoint
// rests there. Any tick after the last one may follow; each 20 to 40 will do.
func Follow(p *Params, s *State, engaged bool, fromW kernel.Vec3, fromYaw float64, tick int64, out *Setpoint) {
	if !engaged || p.Kind == None {
		*s, *out = State{}, Setpoint{}
		return
	}
	if !s.Active {
		s.begin(p, fromW, fromYaw, tick)
	}
	for !s.Done && tick-s.LegStart >= s.ticks() {
		s.next(p)
	}
	s.at(p, tick, out)
}

// begin sets up the lead-in: way and turn together.
func (s *State) begin(p *Params, fromW kernel.Vec3, fromYaw float64, tick int64) {
	*s = State{Active: true, LegStart: tick, FromW: fromW, ToW: p.point(0), YawFrom: fromYaw}
	s.YawBy = wrap(p.yawOf(1, fromYaw) - fromYaw)
	s.MoveTicks = max(p.moveTicks(s.FromW, s.ToW), p.turnTicks(s.YawBy))
	s.TurnTicks = s.MoveTicks
}

// next sets up the leg after the present one, or ends the path.
func (s *State) next(p *Params) {
	s.LegStart += s.ticks()
	yaw := wrap(s.YawFrom + s.YawBy)
	s.FromW, s.YawFrom, s.YawBy = s.ToW, yaw, 0
	s.TurnTicks, s.MoveAt, s.MoveTicks = 0, 0, 0
	if s.Leg == p.legs() {
		s.Done = true
		return
	}
	s.Leg++
	if p.Kind == FigureEight {
		s.MoveTicks = ticksOf(p.eightTime())
		return
	}
	s.ToW = p.point(s.Leg)
	s.YawBy = wrap(p.yawOf(s.Leg, yaw) - yaw)
	s.TurnTicks = p.turnTicks(s.YawBy)
	s.MoveAt = s.TurnTicks
	s.MoveTicks = p.moveTicks(s.FromW, s.ToW)
}

// ticks is how long the present leg takes.
func (s *State) ticks() int64 { return max(s.TurnTicks, s.MoveAt+s.MoveTicks) }

// at fills out for tick, which lies in the present leg or after the end.
func (s *State) at(p *Params, tick int64, out *Setpoint) {
	*out = Setpoint{PosW: s.FromW, Yaw: s.YawFrom, Active: true, Done: s.Done}
	if s.Done {
		return
	}
	age := tick - s.LegStart
	if s.TurnTicks > 0 {
		share, rate, _, t := progress(age, s.TurnTicks)
		out.Yaw = wrap(s.YawFrom + float64(s.YawBy*share))
		out.YawRate = float64(s.YawBy*rate) / t
	}
	if s.Leg == 1 && p.Kind == FigureEight {
		p.eightAt(float64(age)/float64(s.MoveTicks), float64(s.MoveTicks)*dynamics.DT, out)
		return
	}
	if age > s.MoveAt {
		share, rate, accel, t := progress(age-s.MoveAt, s.MoveTicks)
		way, inverse := s.ToW.Sub(s.FromW), 1/t
		out.PosW = s.FromW.AddScaled(share, way)
		out.VelW = way.Scale(rate * inverse)
		out.AccW = way.Scale(accel * inverse * inverse)
	}
}

// progress is the law of time age ticks into a way of ticks, which takes t
// seconds. After its end it rests.
func progress(age, ticks int64) (share, rate, accel, t float64) {
	share, rate, accel = snap(float64(min(age, ticks)) / float64(ticks))
	return share, rate, accel, float64(ticks) * dynamics.DT
}

// moveTicks is the time for a straight way from rest to rest.
func (p *Params) moveTicks(fromW, toW kernel.Vec3) int64 {
	return ticksOf(snapTime(toW.Sub(fromW).Norm(), p.Speed, p.Accel))
}

// turnTicks is the time for a turn (rad) on the spot. Its acceleration is
// limited by its rate alone.
func (p *Params) turnTicks(turn float64) int64 {
	return ticksOf(peakRate * max(turn, -turn) / p.YawRate)
}

// ticksOf rounds seconds up to ticks, so that no limit is passed; what is
// shorter than a thousandth of a tick is nothing.
func ticksOf(seconds float64) int64 {
	ticks := seconds / dynamics.DT
	if ticks < 1e-3 {
		return 0
	}
	return int64(ticks) + 1
}

// legs is how many legs follow the lead-in.
func (p *Params) legs() int64 {
	switch laps := int64(p.Laps); p.Kind {
	case FigureEight:
		return 1
	case Line:
		return 2 * laps
	case Square:
		return 4 * laps
	case Waypoints:
		return int64(p.Count)*laps - 1
	}
	return 0
}

// point is the corner at which leg j ends and the next begins; point 0 is where
// the lead-in ends.
func (p *Params) point(j int64) kernel.Vec3 {
	a, b := float64(0.5*p.Length), float64(0.5*p.Width)
	switch p.Kind {
	case Waypoints:
		return p.Points[j%int64(p.Count)]
	case Line:
		if j%2 == 0 {
			a = -a
		}
		return p.place(a, 0)
	case Square:
		x := [4]float64{-a, a, a, -a}
		y := [4]float64{-b, -b, b, b}
		return p.place(x[j&3], y[j&3])
	}
	return p.place(0, 0)
}

// noWay is the horizontal length below which a leg has no direction.
const noWay = 1e-3 // m

// yawOf is the heading wanted on leg j; a leg without direction keeps yaw.
func (p *Params) yawOf(j int64, yaw float64) float64 {
	if !p.YawAlong {
		return wrap(p.Yaw)
	}
	if p.Kind == FigureEight {
		return wrap(kernel.Atan2(p.Width, 0.5*p.Length) + p.Heading)
	}
	way := p.point(j).Sub(p.point(j - 1))
	if j > p.legs() || way.NormXY() < noWay {
		return yaw
	}
	return kernel.Atan2(way.Y, way.X)
}
