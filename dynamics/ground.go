package dynamics

import "math"

// Ground and ceiling: a disc near a surface pushes harder at the same speed of
// revolution. Each rotor has its own factor, so a craft half over a box's top
// rolls. Pure functions, and the table that makes them cheap in the tick.
//
// Torque is left alone: at a held speed the profile part stays, and thrust times
// induced flow, the other part, hardly changes (more of one, less of the other).

const (
	groundNearest = 0.5               // z/R below which the formula is not valid and is held
	groundCells   = 64                // cells of the table over R/z = 0 … 2
	groundTaper   = 8                 // z/R, cell 4, from where the rest of the effect fades …
	groundFar     = groundCells / 6.0 // … to nothing at cell 3: a choice, so that a craft high up pays nothing
	groundLeast   = 0.5               // least denominator: no surface more than doubles thrust

	// Ceiling fit: the shape and ceilingA are from Sanchez-Cuevas, Heredia and
	// Ollero (2017), from memory; ceilingB, there a length of their propeller, is
	// here 0.8 radii, a choice: 1.29 times the thrust at contact.
	ceilingA     = 6.924
	ceilingB     = 0.8
	ceilingTaper = 4 // z/R from where the effect fades …
	ceilingFar   = 6 // … to nothing
)

// GroundRatio returns thrust near the ground per thrust far from it at the same
// power, for a single rotor at height z over the ground, both in m. Below
// z/R = 0.5 it holds the value there.
//
// I. C. Cheeseman and W. E. Bennett, The Effect of the Ground on a Helicopter
// Rotor in Forward Flight, ARC R&M 3021, 1955: 1/(1 − (R/4z)²).
func GroundRatio(z, radius float64) float64 {
	q := radius / (4 * max(z, groundNearest*radius))
	return 1 / (1 - float64(q*q))
}

// GroundRatioQuad returns the same for each rotor of a quad with adjacent hubs d
// apart and opposite hubs b apart (m). kb is the body's coefficient, 2 in the
// source, 0 without a body.
//
// P. J. Sanchez-Cuevas, G. Heredia, A. Ollero, Characterization of the
// Aerodynamic Ground Effect and Its Influence in Multirotor Control, Int. J.
// Aerospace Eng. 2017, 1823056, eqs 4 and 5 (from memory).
func GroundRatioQuad(z, radius, d, b, kb float64) float64 {
	z = max(z, groundNearest*radius)
	lost := imageSource(z, radius, 0) + float64(2*imageSource(z, radius, d)) +
		imageSource(z, radius, math.Sqrt2*d) + bodySource(z, radius, b, kb)
	return 1 / max(1-lost, groundLeast)
}

// imageSource returns what the image below the ground of a rotor at plan
// distance d takes off the induced flow: (R²/2)·z/(d² + 4z²)^1.5. At d = 0 this
// is Cheeseman and Bennett's (R/4z)²; summed over all rotors of a quad it is the
// formula above, so it serves for six and eight rotors as well.
func imageSource(z, radius, d float64) float64 {
	s := float64(d*d) + float64(4*z*z)
	return float64(0.5 * radius * radius * z / (s * math.Sqrt(s)))
}

// bodySource returns the body's part, 2R²·z·Kb/(b² + 4z²)^1.5.
func bodySource(z, radius, b, kb float64) float64 {
	s := float64(b*b) + float64(4*z*z)
	return float64(2 * radius * radius * z * kb / (s * math.Sqrt(s)))
}

// CeilingRatio returns thrust per free thrust at the same speed for a rotor
// z ≥ 0 below a ceiling, in m: 1/(1 − (1/a1)·(R/(z + a2))²).
//
// P. J. Sanchez-Cuevas, G. Heredia, A. Ollero, Multirotor UAS for bridge
// inspection by contact using the ceiling effect, ICUAS 2017 (from memory).
func CeilingRatio(z, radius float64) float64 {
	q := radius / (max(z, 0) + float64(ceilingB*radius))
	return 1 / (1 - float64(q*q)/ceilingA)
}

// groundTable holds a rotor's gain in thrust, ratio − 1, over R/z. In that
// variable the curve is nearly a parabola; the straight lines are within 1e-4.
type groundTable [groundCells + 1]float64

// fillGround tabulates the effect for rotor i among the craft's rotors. The
// body's distance b is twice the mean distance of the hubs from the centre,
// which is the distance of opposite hubs on a regular craft.
func (c *Craft) fillGround(i int) {
	r := &c.Rotors[i]
	radius := float64(0.5 * r.Diameter)
	b := 0.0
	for j := range c.RotorCount {
		b += float64(2*c.Rotors[j].PosB.NormXY()) / float64(c.RotorCount)
	}
	for k := range r.fixed.ground {
		u := math.Inf(1) // z/R
		if k > 0 {
			u = groundCells / (2 * float64(k))
		}
		if u >= groundFar {
			r.fixed.ground[k] = 0
			continue
		}
		z, lost := u*radius, 0.0
		for j := range c.RotorCount {
			lost += imageSource(z, radius, r.PosB.Sub(c.Rotors[j].PosB).NormXY())
		}
		lost += bodySource(z, radius, b, c.GroundBody)
		gain := 1/max(1-lost, groundLeast) - 1
		r.fixed.ground[k] = gain * taper(u, groundTaper, groundFar)
	}
}

// at returns the gain at height z (m) of a rotor of that radius.
func (t *groundTable) at(z, radius float64) float64 {
	if z >= groundFar*radius {
		return 0
	}
	u := float64(0.5 * groundCells * radius / max(z, groundNearest*radius)) // 0 … groundCells
	k := min(uint(int(u)), groundCells-1)
	return t[k] + float64((u-float64(int(k)))*(t[k+1]-t[k]))
}

// taper is 1 up to from, 0 from to onwards, straight between.
func taper(u, from, to float64) float64 {
	return max(0, min(1, (to-u)/(to-from)))
}

// surroundings is what the rotors need to know of floor and ceiling in a tick.
type surroundings struct {
	up    Vec3 // room's up in body axes
	low   bool // the floor or a box's top may act
	high  bool // the ceiling may act
	boxes bool // a box stands close enough below to look at
}

// look finds out cheaply whether any surface is near.
func (e *surroundings) look(c *Craft, p *Place, s *State) bool {
	q := &s.QWB
	e.up = Vec3{
		X: 2 * (float64(q.X*q.Z) - float64(q.W*q.Y)),
		Y: 2 * (float64(q.Y*q.Z) + float64(q.W*q.X)),
		Z: 1 - float64(2*(float64(q.X*q.X)+float64(q.Y*q.Y))),
	}
	pos := &s.PosW
	reach := c.reach
	e.low = pos.Z-p.Min.Z < reach
	e.high = p.Max.Z-pos.Z < reach
	e.boxes = false
	for i := range min(p.BoxCount, MaxBoxes) {
		b := &p.Boxes[i]
		e.boxes = e.boxes || pos.Z-b.Max.Z < reach && pos.Z > b.Min.Z &&
			pos.X > b.Min.X-c.span && pos.X < b.Max.X+c.span &&
			pos.Y > b.Min.Y-c.span && pos.Y < b.Max.Y+c.span
	}
	return e.low || e.high || e.boxes
}

// gain returns the factor of floor, boxes and ceiling on the thrust of a rotor.
// It fades with the square of the cosine of the tilt, a choice: the wash of a
// leaning disc runs off to one side.
func (e *surroundings) gain(p *Place, s *State, r *Rotor) float64 {
	if e.up.Z <= 0 {
		return 1
	}
	radius := float64(0.5 * r.Diameter)
	hub := s.PosW.Z + e.up.Dot(r.PosB)
	rise := 0.0
	if e.low {
		rise = r.fixed.ground.at(hub-p.Min.Z, radius)
	}
	if e.boxes {
		rise = overBoxes(p, s, r, rise)
	}
	if e.high {
		room := p.Max.Z - hub
		if far := taper(room/radius, ceilingTaper, ceilingFar); far > 0 {
			rise += float64(far * (CeilingRatio(room, radius) - 1))
		}
	}
	return 1 + float64(rise*float64(e.up.Z*e.up.Z))
}

// overBoxes returns the gain of the surface below a hub, where it is a box's top
// instead of the floor, whose gain is given. Across an edge the two mix over one
// diameter.
func overBoxes(p *Place, s *State, r *Rotor, floor float64) float64 {
	hub := s.PosW.Add(s.QWB.Rotate(r.PosB))
	radius := float64(0.5 * r.Diameter)
	rise := floor
	for i := range min(p.BoxCount, MaxBoxes) {
		b := &p.Boxes[i]
		if hub.Z <= b.Max.Z {
			continue
		}
		inside := min(hub.X-b.Min.X, b.Max.X-hub.X, hub.Y-b.Min.Y, b.Max.Y-hub.Y)
		cover := max(0, min(1, float64(0.5*(inside/radius))+0.5))
		rise = max(rise, floor+float64(cover*(r.fixed.ground.at(hub.Z-b.Max.Z, radius)-floor)))
	}
	return rise
}
