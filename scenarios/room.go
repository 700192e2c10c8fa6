package scenarios

import (
	"math"

	"lapwing/dynamics"
)

func roomRules() []rule {
	return append(decorRules(), []rule{
		{[]string{"net", "size_m"}, func(v *value, r *report) {
			if n := v.at("net"); n.present {
				checkBox(n, r)
				inside(n.at("min_m"), wallsOf(v), "the walls", r)
				inside(n.at("max_m"), wallsOf(v), "the walls", r)
			}
		}},
		{[]string{"cage", "size_m", "net"}, checkCage},
		{[]string{"boxes", "size_m"}, func(v *value, r *report) {
			for _, b := range v.list("boxes") {
				checkBox(b, r)
				inside(b.at("min_m"), wallsOf(v), "the walls", r)
				inside(b.at("max_m"), wallsOf(v), "the walls", r)
			}
		}},
		{[]string{"people", "size_m"}, checkPeople},
		{[]string{"take_off_m", "cage", "boxes", "people", "person_radius_m"}, checkTakeOff},
		{[]string{"fans", "size_m"}, func(v *value, r *report) {
			for _, f := range v.list("fans") {
				inside(f.at("position_m"), wallsOf(v), "the walls", r)
				if d := f.at("direction"); math.Abs(d.vector.Norm()-1) > unitLength {
					r.add(d.fault("length "+figureWords(d.vector.Norm()), "length 1", ""))
				}
			}
		}},
		{[]string{"air"}, func(v *value, r *report) {
			if a := v.at("air"); a.num("turbulence_wind_m_s") > 0 && !a.has("turbulence_speed_m_s") {
				r.add(a.at("turbulence_wind_m_s").fault(a.at("turbulence_wind_m_s").text, "0, or the key turbulence_speed_m_s beside it", ""))
			}
		}},
	}...)
}

// span is a box of room axes.
type span struct{ lo, hi dynamics.Vec3 }

func wallsOf(v *value) span {
	s := v.vec("size_m")
	return span{dynamics.Vec3{X: -0.5 * s.X, Y: -0.5 * s.Y}, dynamics.Vec3{X: 0.5 * s.X, Y: 0.5 * s.Y, Z: s.Z}}
}

// cornersOf returns the box between min_m and max_m of v.
func cornersOf(v *value) span { return span{v.vec("min_m"), v.vec("max_m")} }

func (s span) holds(p dynamics.Vec3) bool {
	return p.X >= s.lo.X && p.X <= s.hi.X && p.Y >= s.lo.Y && p.Y <= s.hi.Y && p.Z >= s.lo.Z && p.Z <= s.hi.Z
}

func checkBox(v *value, r *report) {
	lo, hi := v.vec("min_m"), v.vec("max_m")
	if lo.X >= hi.X || lo.Y >= hi.Y || lo.Z >= hi.Z {
		r.add(v.at("max_m").fault(pointWords(hi), "greater than min_m in x, y and z", ""))
	}
}

func inside(at *value, s span, what string, r *report) {
	if !s.holds(at.vector) {
		r.add(at.fault(pointWords(at.vector), pointWords(s.lo)+" to "+pointWords(s.hi), "outside "+what))
	}
}

func pointWords(p dynamics.Vec3) string {
	return "[" + figureWords(p.X) + ", " + figureWords(p.Y) + ", " + figureWords(p.Z) + "]"
}

// checkCage checks that the cage lies within the net, or the walls.
func checkCage(v *value, r *report) {
	cage, bounds, what := v.at("cage"), wallsOf(v), "the walls"
	checkBox(cage, r)
	if n := v.at("net"); n.present {
		bounds, what = cornersOf(n), "the net"
	}
	inside(cage.at("min_m"), bounds, what, r)
	inside(cage.at("max_m"), bounds, what, r)
}

func checkPeople(v *value, r *report) {
	for _, p := range v.list("people") {
		at := p.at("position_m")
		inside(at, wallsOf(v), "the walls", r)
		if at.vector.Z != 0 {
			r.add(at.fault("z "+figureWords(at.vector.Z), "z 0", "people stand on the floor"))
		}
	}
}

func checkTakeOff(v *value, r *report) {
	at := v.at("take_off_m")
	if at.vector.Z != 0 {
		r.add(at.fault("z "+figureWords(at.vector.Z), "z 0", "the mark is on the floor"))
	}
	cage := cornersOf(v.at("cage"))
	inside(at, span{dynamics.Vec3{X: cage.lo.X, Y: cage.lo.Y}, cage.hi}, "the cage", r)
	for _, p := range v.list("people") {
		if d := at.vector.Sub(p.vec("position_m")).NormXY(); d < v.num("person_radius_m") {
			r.add(at.fault(figureWords(d)+" m from a person", "at least person_radius_m of "+figureWords(v.num("person_radius_m"))+" m", ""))
		}
	}
	for _, b := range v.list("boxes") {
		s := cornersOf(b)
		if at.vector.X > s.lo.X && at.vector.X < s.hi.X && at.vector.Y > s.lo.Y && at.vector.Y < s.hi.Y {
			r.add(at.fault(pointWords(at.vector), "a free place", "the mark lies under or in "+b.str("what")))
		}
	}
}

// placeOf returns the prepared place that a sound file gives.
func placeOf(v *value) dynamics.Place {
	walls, cage, net := wallsOf(v), cornersOf(v.at("cage")), v.at("net")
	p := dynamics.Place{Min: walls.lo, Max: walls.hi, CageMin: cage.lo, CageMax: cage.hi,
		PersonRadius: v.num("person_radius_m"), TakeOff: v.vec("take_off_m")}
	if net.present {
		n := cornersOf(net)
		p.HasNet, p.NetMin, p.NetMax = true, n.lo, n.hi
		p.NetStiffness, p.NetDamping = net.num("stiffness_n_m"), net.num("damping_n_s_m")
	}
	for _, b := range v.list("boxes") {
		s := cornersOf(b)
		p.Boxes[p.BoxCount] = dynamics.Box{Min: s.lo, Max: s.hi}
		p.BoxCount++
	}
	for _, b := range v.list("people") {
		p.People[p.PersonCount] = dynamics.Person{PosW: b.vec("position_m"), Radius: b.num("radius_m"), Height: b.num("height_m")}
		p.PersonCount++
	}
	p.Air = airOf(v)
	p.Prepare()
	return p
}

func airOf(v *value) dynamics.Air {
	a := v.at("air")
	air := dynamics.Air{Density: a.num("density_kg_m3"), Gravity: a.num("gravity_m_s2"), WindW: a.vec("wind_m_s"),
		TurbulenceWind: a.num("turbulence_wind_m_s")}
	if a.has("turbulence_speed_m_s") {
		air.TurbulenceSpeed = a.num("turbulence_speed_m_s")
	}
	for _, f := range v.list("fans") {
		air.Fans[air.FanCount] = dynamics.Fan{PosW: f.vec("position_m"), DirW: f.vec("direction").Unit(dynamics.Vec3{X: 1}), Width: f.num("width_m"), Speed: f.num("speed_m_s")}
		air.FanCount++
	}
	return air
}
