package scenarios

import (
	"lapwing/dynamics"
	"lapwing/sim/sight"
)

// decorRules are the rules about what a camera can see of a room.
func decorRules() []rule {
	return []rule{
		{[]string{"surfaces", "boxes", "size_m"}, checkPoints},
		{[]string{"light", "size_m"}, func(v *value, r *report) {
			for _, lamp := range v.at("light").list("lamps") {
				inside(lamp.at("position_m"), wallsOf(v), "the walls", r)
				checkLevels(lamp, r)
			}
		}},
		{[]string{"leaf_walls", "size_m"}, func(v *value, r *report) {
			for _, patch := range v.list("leaf_walls") {
				lo, hi := patch.vec("min_m"), patch.vec("max_m")
				if lo.X > hi.X || lo.Y > hi.Y || lo.Z > hi.Z {
					r.add(patch.at("max_m").fault(pointWords(hi), "nowhere less than min_m", ""))
				}
				inside(patch.at("min_m"), wallsOf(v), "the walls", r)
				inside(patch.at("max_m"), wallsOf(v), "the walls", r)
			}
		}},
	}
}

// checkPoints checks that a room that says what its surfaces are does not ask
// for more points than a camera's scene holds.
func checkPoints(v *value, r *report) {
	surfaces := v.at("surfaces")
	if !surfaces.present {
		return
	}
	place, decor := shapeOf(v), decorOf(v)
	if asked := sight.Asked(&place, &decor); asked > sight.MaxLandmarks {
		r.add(surfaces.fault(figureWords(float64(int(asked)))+" points on all surfaces and boxes together",
			"at most "+figureWords(sight.MaxLandmarks), "lower density_per_m2"))
	}
}

func checkLevels(lamp *value, r *report) {
	before := -1.0
	for _, level := range lamp.list("levels") {
		if at := level.at("at_s"); at.number <= before {
			r.add(at.fault(figureWords(at.number), "later than "+figureWords(before), "levels stand in order of time"))
		}
		before = level.num("at_s")
	}
}

// shapeOf returns the surfaces of a place and nothing else.
func shapeOf(v *value) dynamics.Place {
	walls := wallsOf(v)
	p := dynamics.Place{Min: walls.lo, Max: walls.hi}
	for _, b := range v.list("boxes") {
		s := cornersOf(b)
		p.Boxes[p.BoxCount] = dynamics.Box{Min: s.lo, Max: s.hi}
		p.BoxCount++
	}
	return p
}

// decorOf returns what a sound file says of a room's looks.
func decorOf(v *value) sight.Decor {
	var d sight.Decor
	for _, f := range faces {
		d.Texture[f.face] = textureOf(v.at("surfaces").at(f.key))
	}
	for i := range d.BoxTexture {
		d.BoxTexture[i] = sight.PlainTexture()
	}
	for i, b := range v.list("boxes") {
		d.BoxTexture[i] = textureOf(b.at("texture"))
	}
	light := v.at("light")
	d.Ambient = light.num("ambient")
	for _, lamp := range light.list("lamps") {
		d.Lamps[d.LampCount] = lampOf(lamp)
		d.LampCount++
	}
	for _, patch := range v.list("leaf_walls") {
		d.Leaves[d.LeafCount] = sight.Leaves{Min: patch.vec("min_m"), Max: patch.vec("max_m"),
			SwayW: patch.vec("amplitude_m"), Period: patch.num("period_s")}
		d.LeafCount++
	}
	return d
}

func textureOf(v *value) sight.Texture {
	return sight.Texture{Density: v.num("density_per_m2"), Contrast: v.num("contrast")}
}

func lampOf(v *value) sight.Lamp {
	l := sight.Lamp{PosW: v.vec("position_m"), Strength: v.num("strength")}
	for _, level := range v.list("levels") {
		l.At[l.Count], l.Level[l.Count] = level.num("at_s"), level.num("share")
		l.Count++
	}
	return l
}
