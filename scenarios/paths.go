package scenarios

import (
	"lapwing/dynamics"
	"lapwing/sim/path"
)

// pathField describes the stored path. What is left out stands as in the
// program's path for a small room.
func pathField() field {
	d := path.Default()
	centre := vector("centre", "m", -100, 100, "middle of the figure; z is not used").need()
	heading := number("heading", "deg", -360, 360, "of the length, from the room's x towards its y").or(0.0)
	length := number("length", "m", 0.2, 100, "along the heading").need()
	width := number("width", "m", 0.2, 100, "to the left of the length").need()
	height := number("height", "m", 0.2, 20, "above the floor").need()
	way := []field{
		integer("laps", 1, 100, "how often").or(float64(d.Laps)),
		number("speed", "m_s", 0.05, 10, "never exceeded").need(),
		number("acceleration", "m_s2", 0.05, 15, "never exceeded").or(d.Accel),
		number("yaw_rate", "deg_s", 1, 360, "never exceeded").or(45.0),
		truth("nose_along", "the nose follows the way; else it keeps yaw_deg").or(false),
		number("yaw", "deg", -360, 360, "heading of the nose").or(0.0),
	}
	shape := func(k path.Kind, doc string, fields ...field) variantCase {
		return form(k.String(), doc, append(fields, way...)...)
	}
	corner := group("", "one point", vector("position", "m", -100, 100, "of the point").need())
	return variant("path", "shape", "the stored path that the response type path follows",
		shape(path.FigureEight, "crossing itself in its middle", centre, heading, length, width, height),
		shape(path.Line, "along the length and back, each lap", centre, heading, length, height),
		shape(path.Square, "round length and width, each lap", centre, heading, length, width, height),
		shape(path.Waypoints, "from point to point, stopping at each", list("points", 1, path.MaxPoints, corner, "the points").need()))
}

// pathOf returns the path that a sound scenario gives; none where it gives none.
func pathOf(v *value) path.Params {
	if !v.present {
		return path.Params{}
	}
	kind, _ := path.ParseKind(v.text)
	p := path.Params{Kind: kind, Laps: v.integer("laps"), Speed: v.num("speed_m_s"), Accel: v.num("acceleration_m_s2"),
		YawRate: v.num("yaw_rate_deg_s"), YawAlong: v.is("nose_along"), Yaw: v.num("yaw_deg")}
	if kind == path.Waypoints {
		for _, point := range v.list("points") {
			p.Points[p.Count] = point.vec("position_m")
			p.Count++
		}
		return p
	}
	p.CentreW, p.Heading = v.vec("centre_m"), v.num("heading_deg")
	p.Length, p.Height = v.num("length_m"), v.num("height_m")
	if w := v.maybe("width_m"); w != nil {
		p.Width = w.number
	}
	return p
}

func checkPath(v *value, r *report) {
	if at := v.at("path"); at.present {
		p := pathOf(at)
		addErrors(at, p.Validate(), r)
	}
}

// checkPathInside checks that the path lies in the cage.
func checkPathInside(v *value, cage span, r *report) {
	if !v.present {
		return
	}
	p := pathOf(v)
	if p.Validate() != nil {
		return // reported by checkPath
	}
	if p.Kind == path.Waypoints {
		for _, point := range v.list("points") {
			inside(point.at("position_m"), cage, "the cage of this room", r)
		}
		return
	}
	lo, hi := p.Bounds()
	for _, corner := range []dynamics.Vec3{lo, hi} {
		if !cage.holds(corner) {
			r.add(v.fault("a path from "+pointWords(lo)+" to "+pointWords(hi), pointWords(cage.lo)+" to "+pointWords(cage.hi), "outside the cage of this room"))
			return
		}
	}
}
