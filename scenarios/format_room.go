package scenarios

import "lapwing/dynamics"

// roomFormat describes a room: walls, net, cage, boxes, people and air. The
// origin is the middle of the floor; x runs along the length.
func roomFormat() format {
	corner := func(name, doc string) field { return vector(name, "m", -100, 100, doc) }
	return format{kind: KindRoom, dir: "rooms", rules: roomRules(), root: document(KindRoom,
		"A room. Axes: origin in the middle of the floor, x along the length, y to the left, z up.",
		vector("size", "m", 1.5, 100, "length, width, height between the walls").need(),
		group("net", "a soft wall inside the walls",
			corner("min", "lower corner").need(), corner("max", "upper corner").need(),
			number("stiffness", "n_m", 10, 1e4, "each touching point").need(),
			number("damping", "n_s_m", 0, 100, "each touching point").need()),
		group("cage", "where the craft may fly (keep in)",
			corner("min", "lower corner").need(), corner("max", "upper corner").need()).need(),
		list("boxes", 0, dynamics.MaxBoxes, group("", "a solid with faces along the room's axes",
			sentence("what", "what it is").need(),
			corner("min", "lower corner").need(), corner("max", "upper corner").need()), "what stands in the room"),
		list("people", 0, dynamics.MaxPeople, group("", "a person's place",
			sentence("who", "a code or a part, never a name").need(),
			corner("position", "on the floor").need(),
			number("radius", "m", 0.1, 1, "of the body").or(0.25),
			number("height", "m", 0.5, 2.5, "of the body").or(1.75)), "who stands where"),
		number("person_radius", "m", 0.2, 10, "powered flight inside it is a hard fail").or(1.5),
		corner("take_off", "the take-off mark on the floor").need(),
		group("air", "the air",
			number("density", "kg_m3", 0.3, 1.6, "of the air").or(1.225),
			number("gravity", "m_s2", 9.7, 9.9, "at the place").or(9.80665),
			vector("wind", "m_s", -10, 10, "steady, the way the air moves").or(dynamics.Vec3{}),
			number("turbulence_wind", "m_s", 0, 30, "mean wind at 6 m that sets the intensity; a model of the open air").or(0.0),
			number("turbulence_speed", "m_s", 0.1, 30, "speed at which the frozen field passes the craft")),
		list("fans", 0, dynamics.MaxFans, group("", "a round free jet",
			corner("position", "middle of the mouth").need(),
			vector("direction", "", -1, 1, "the way it blows, of length 1").need(),
			number("width", "m", 0.05, 3, "of the mouth").need(),
			number("speed", "m_s", 0, 20, "at the mouth").need()), "fans that run"),
	)}
}
