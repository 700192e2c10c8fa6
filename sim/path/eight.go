package path

import (
	"math"

	"lapwing/dynamics/kernel"
)

// curve is a point of the figure-eight in its own axes with two derivatives by
// the phase φ. The curve is the lemniscate of Gerono, x = a·sin φ,
// y = b·sin 2φ: it begins, ends and crosses itself in the middle.
type curve struct{ x, y, dx, dy, ddx, ddy float64 }

func (p *Params) eight(phase float64) curve {
	a, b := float64(0.5*p.Length), float64(0.5*p.Width)
	sin, cos := kernel.SinCos(phase)
	sin2, cos2 := float64(2*sin*cos), 1-float64(2*sin*sin)
	return curve{
		x: float64(a * sin), y: float64(b * sin2),
		dx: float64(a * cos), dy: float64(2 * b * cos2),
		ddx: float64(-a * sin), ddy: float64(-4 * b * sin2),
	}
}

// eightPhase is the phase flown in all laps (rad).
func (p *Params) eightPhase() float64 { return float64(2 * math.Pi * float64(p.Laps)) }

// eightTime is the least time (s) for the figure-eight within the limits of
// speed, acceleration and, with the nose along the way, yaw rate. With
// r(φ(t)): speed |r'|·φ̇, acceleration at most |r”|·φ̇² + |r'|·φ̈.
func (p *Params) eightTime() float64 {
	a, b, phase := float64(0.5*p.Length), float64(0.5*p.Width), p.eightPhase()
	first := math.Sqrt(float64(a*a) + float64(4*b*b)) // greatest |r'|, at the crossing
	rate := float64(peakRate * phase)
	bend := float64(eightBend(a, b)*rate*rate) + float64(first*peakAccel*phase)
	t := max(first*rate/p.Speed, math.Sqrt(bend/p.Accel))
	if p.YawAlong {
		t = max(t, eightTurn(a, b)*rate/p.YawRate)
	}
	return t
}

// eightBend is the greatest |r”|: |r”|² = z·(a² + 64b²·(1 − z)) with
// z = sin² φ, greatest at z = (a² + 64b²)/(128b²) where that is below 1.
func eightBend(a, b float64) float64 {
	aa, bb := float64(a*a), float64(64*b*b)
	z := min((aa+bb)/(2*bb), 1)
	return math.Sqrt(float64(z * (aa + float64(bb*(1-z)))))
}

// eightTurn is the greatest turn of the heading for each radian of phase. It is
// looked for on a grid, once for each engagement, and a hundredth is added for
// what lies between.
func eightTurn(a, b float64) float64 {
	const steps = 512
	turn := 0.0
	for i := range steps + 1 {
		s := float64(i) / steps
		z := float64(s * s)
		c := 1 - float64(2*z)
		slope := float64(a*a*(1-z)) + float64(4*b*b*c*c)
		turn = max(turn, float64(2*a*b*s)*(3-float64(2*z))/slope)
	}
	return float64(1.01 * turn)
}

// eightAt fills out for the share u of a figure-eight that takes t seconds.
func (p *Params) eightAt(u, t float64, out *Setpoint) {
	share, rate, accel := snap(u)
	phase := p.eightPhase()
	c := p.eight(float64(phase * share))
	dot, ddot := float64(phase*rate)/t, float64(phase*accel)/(float64(t*t))
	dot2 := float64(dot * dot)
	r := p.figure()
	out.PosW = p.at(r.turned(c.x, c.y))
	out.VelW = r.turned(float64(c.dx*dot), float64(c.dy*dot))
	out.AccW = r.turned(float64(c.ddx*dot2)+float64(c.dx*ddot), float64(c.ddy*dot2)+float64(c.dy*ddot))
	if p.YawAlong {
		out.Yaw = wrap(kernel.Atan2(c.dy, c.dx) + p.Heading)
		out.YawRate = (float64(c.dx*c.ddy) - float64(c.dy*c.ddx)) / (float64(c.dx*c.dx) + float64(c.dy*c.dy)) * dot
	}
}

// heading is the figure's direction in the room.
type heading struct{ sin, cos float64 }

func (p *Params) figure() heading {
	sin, cos := kernel.SinCos(p.Heading)
	return heading{sin, cos}
}

// turned turns a vector of the figure into room axes.
func (h heading) turned(x, y float64) kernel.Vec3 {
	return kernel.Vec3{X: float64(h.cos*x) - float64(h.sin*y), Y: float64(h.sin*x) + float64(h.cos*y)}
}

// at moves a turned point of the figure (m) to its place in the room.
func (p *Params) at(v kernel.Vec3) kernel.Vec3 {
	return kernel.Vec3{X: p.CentreW.X + v.X, Y: p.CentreW.Y + v.Y, Z: p.Height}
}

// place brings a point of the figure (m) into the room.
func (p *Params) place(x, y float64) kernel.Vec3 { return p.at(p.figure().turned(x, y)) }

// wrap brings an angle (rad) to −π … π.
func wrap(a float64) float64 {
	return a - float64(2*math.Pi*math.Floor(float64(a*(1/(2*math.Pi)))+0.5))
}
