package scenarios

import (
	"lapwing/dynamics"
	"lapwing/sim/sight"
)

// roomFormat describes a room: walls, net, cage, boxes, people, what a camera
// can see of it, and air. The origin is the middle of the floor; x runs along
// the length.
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
			corner("min", "lower corner").need(), corner("max", "upper corner").need(),
			textureField("texture", "of its sides")), "what stands in the room"),
		surfacesField(), lightField(), leafWallsField(),
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

// faces are the keys of a room's sides, as seen from the take-off mark along x.
var faces = [...]struct {
	key, doc string
	face     sight.Face
}{
	{"floor", "the floor", sight.FaceFloor},
	{"ceiling", "the ceiling", sight.FaceCeiling},
	{"wall_ahead", "the wall at the high end of x", sight.FaceXMax},
	{"wall_behind", "the wall at the low end of x", sight.FaceXMin},
	{"wall_left", "the wall at the high end of y", sight.FaceYMax},
	{"wall_right", "the wall at the low end of y", sight.FaceYMin},
}

func textureField(name, doc string) field {
	plain := sight.PlainTexture()
	return group(name, doc+"; what is left out is as rich as a planted bench",
		number("density", "per_m2", 0, 60, "points that a camera can tell again; blank glass has none").or(plain.Density),
		number("contrast", "", 0, 1, "of the typical point").or(plain.Contrast))
}

func surfacesField() field {
	sides := make([]field, len(faces))
	for i, f := range faces {
		sides[i] = textureField(f.key, f.doc)
	}
	return group("surfaces", "what a camera can hold on to on floor, ceiling and walls", sides...)
}

func lightField() field {
	return group("light", "lamps and windows; left out: as bright as day everywhere",
		number("ambient", "", 0, 10, "light everywhere that no lamp gives; 1 is enough to work by").or(1.0),
		list("lamps", 0, sight.MaxLamps, group("", "a lamp, or a window as a lamp at its middle",
			sentence("what", "what it is").need(),
			vector("position", "m", -100, 100, "of its middle").need(),
			number("strength", "", 0, 1000, "light at 1 m, facing it; falls with the square of the distance").need(),
			list("levels", 0, sight.MaxLevels, group("", "a level, joined to the next by a straight line",
				number("at", "s", 0, 7200, "from the start, rising from level to level").need(),
				number("share", "", 0, 1, "of its strength").need()), "how it changes; left out: always on")),
			"in any order"))
}

func leafWallsField() field {
	return list("leaf_walls", 0, sight.MaxLeaves, group("", "a patch of surface whose points swing in the wind",
		sentence("what", "what it is").need(),
		vector("min", "m", -100, 100, "lower corner").need(),
		vector("max", "m", -100, 100, "upper corner").need(),
		vector("amplitude", "m", -1, 1, "how far it swings to one side, along each axis").need(),
		number("period", "s", 0.2, 60, "of one swing to and fro").need()), "leaves in a draught")
}
