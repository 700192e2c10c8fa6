package scenarios

import (
	"fmt"
	"math"

	"lapwing/dynamics"
)

// Bounds of what a craft may be. Judgements of ours.
const (
	leastLift  = 1.2  // thrust per weight below which a craft cannot be flown indoors with anything in hand
	unitLength = 1e-6 // how far the length of a direction may be from 1
	deepest    = 0.01 // m, to which a resting craft may sink into the floor
)

func craftRules() []rule {
	return []rule{
		{[]string{"inertia"}, checkInertia},
		{[]string{"inertia", "mass_kg", "rotors", "feet", "propeller"}, checkGyration},
		{[]string{"propeller"}, checkPropeller},
		{[]string{"motor", "propeller"}, checkGuard},
		{[]string{"rotors"}, checkRotors},
		{[]string{"feet"}, checkFeet},
		{[]string{"battery"}, checkBattery},
		{[]string{"contact", "mass_kg", "inertia", "drag_area_m2", "propeller", "motor", "rotors", "feet", "ground_body", "battery"}, checkContact},
		{[]string{"mass_kg", "motor", "propeller", "rotors"}, checkLift},
		{[]string{"sensors"}, checkSensors},
	}
}

// inertiaOf returns the tensor under "inertia".
func inertiaOf(v *value) dynamics.Mat3 {
	i := v.at("inertia")
	xx, yy, zz := i.num("xx_kg_m2"), i.num("yy_kg_m2"), i.num("zz_kg_m2")
	xy, xz, yz := i.num("xy_kg_m2"), i.num("xz_kg_m2"), i.num("yz_kg_m2")
	return dynamics.Mat3{xx, xy, xz, xy, yy, yz, xz, yz, zz}
}

// checkInertia checks that a solid body can have the tensor: positive definite,
// and no moment greater than the sum of the other two. The latter holds for
// every axis just when half the trace less the tensor is not negative, so both
// are a question of minors.
func checkInertia(v *value, r *report) {
	m := inertiaOf(v)
	at := v.at("inertia")
	if !positive(m) {
		r.add(at.fault("a tensor that is not positive definite", "off-diagonal elements below the diagonal ones", ""))
		return
	}
	half := float64(0.5000000005 * (m[0] + m[4] + m[8])) // a little more: flat plates stand on the bound
	spread := dynamics.Mat3{half - m[0], -m[1], -m[2], -m[3], half - m[4], -m[5], -m[6], -m[7], half - m[8]}
	if !positive(spread) {
		r.add(at.fault(fmt.Sprintf("xx %g, yy %g, zz %g", m[0], m[4], m[8]),
			"no moment greater than the sum of the other two", "no body has these moments of inertia (triangle inequality)"))
	}
}

// positive tells whether the leading minors of m are positive.
func positive(m dynamics.Mat3) bool {
	return m[0] > 0 && float64(m[0]*m[4])-float64(m[1]*m[3]) > 0 && m.Det() > 0
}

// checkGyration checks that the inertia fits mass and size: a radius of
// gyration cannot reach beyond the craft.
func checkGyration(v *value, r *report) {
	reach := 0.0
	for _, rotor := range v.list("rotors") {
		reach = max(reach, rotor.vec("position_m").Norm())
	}
	reach += float64(0.5 * v.at("propeller").num("diameter_m"))
	for _, foot := range v.list("feet") {
		reach = max(reach, foot.vec("position_m").Norm())
	}
	most := float64(v.num("mass_kg") * reach * reach)
	least := most / 1000
	for _, key := range []string{"xx_kg_m2", "yy_kg_m2", "zz_kg_m2"} {
		at := v.at("inertia").at(key)
		if at.number > most || at.number < least {
			r.add(at.fault(figureWords(at.number), fmt.Sprintf("%s to %s kg·m²", figureWords(least), figureWords(most)),
				fmt.Sprintf("does not fit a craft of this mass within %s m of its centre of gravity", figureWords(reach))))
		}
	}
}

func checkPropeller(v *value, r *report) {
	p := v.at("propeller")
	rising(p.list("static"), "speed_rpm", r)
	rising(p.list("advance"), "j", r)
	if j := p.list("advance")[0].at("j"); j.number > 0 && !p.has("advance_speed_rpm") {
		r.add(j.fault(j.text, "a first row at j 0, or the key advance_speed_rpm",
			"the speed at which the rows were measured is needed"))
	}
}

// rising checks that key rises from row to row.
func rising(rows []*value, key string, r *report) {
	for i := 1; i < len(rows); i++ {
		if at := rows[i].at(key); at.number <= rows[i-1].num(key) {
			r.add(at.fault(at.text, "more than in the row before", "the rows must rise"))
		}
	}
}

func checkGuard(v *value, r *report) {
	at, least := v.at("motor").at("guard_radius_m"), float64(0.5*v.at("propeller").num("diameter_m"))
	if at.number != 0 && at.number < least {
		r.add(at.fault(at.text, "0 for no guard, or at least "+figureWords(least)+" m", "the guard must be outside the disc"))
	}
}

func checkRotors(v *value, r *report) {
	names, balance := map[string]int{}, 0
	for i, rotor := range v.list("rotors") {
		name := rotor.at("name")
		if first, twice := names[name.text]; twice {
			r.add(name.fault(name.text, "", fmt.Sprintf("rotors[%d] has this name already", first)))
		} else {
			names[name.text] = i
		}
		if axis := rotor.at("axis"); math.Abs(axis.vector.Norm()-1) > unitLength || axis.vector.Z <= 0 {
			r.add(axis.fault("length "+figureWords(axis.vector.Norm()), "length 1, pointing up", ""))
		}
		if rotor.str("spin") == clockwise {
			balance++
		} else {
			balance--
		}
	}
	if n := len(v.list("rotors")); balance == n || balance == -n {
		r.add(v.at("rotors").fault("all rotors turn the same way", "both ways", "such a craft cannot hold its heading"))
	}
}

func checkFeet(v *value, r *report) {
	for _, foot := range v.list("feet") {
		if at := foot.at("position_m"); at.vector.Z >= 0 {
			r.add(at.fault("z "+figureWords(at.vector.Z), "z below 0", "a foot must be under the centre of gravity"))
		}
	}
}

func checkBattery(v *value, r *report) {
	b := v.at("battery")
	order := []string{"brown_out_v", "critical_v", "caution_v", "full_v"}
	for i := 1; i < len(order); i++ {
		if b.num(order[i]) <= b.num(order[i-1]) {
			r.add(b.at(order[i]).fault(b.at(order[i]).text, "above "+order[i-1]+" of "+figureWords(b.num(order[i-1]))+" V", ""))
		}
	}
}

// checkContact refuses springs that the sub-steps of contact cannot follow, as
// package dynamics says, and springs so soft that the craft would stand in the
// floor.
func checkContact(v *value, r *report) {
	c, contact := bodyOf(v), v.at("contact")
	c.Contact = contactOf(contact, &c)
	for _, err := range eachError(c.Validate()) {
		f, ok := err.(dynamics.Fault)
		if !ok {
			continue
		}
		switch f.Path {
		case "contact.stiffness":
			r.add(contact.at("stiffness_n_m").fault(f.Found, f.Allowed, "too stiff to be computed well"))
		case "contact.damping":
			r.add(contact.at("damping_n_s_m").fault(f.Found, f.Allowed, "too much damping to be computed well"))
		}
	}
	feet := float64(len(v.list("feet")))
	softest := float64(c.Mass*9.80665) / (deepest * feet)
	if at := contact.at("stiffness_n_m"); c.Contact.Stiffness < softest {
		r.add(at.fault(figureWords(c.Contact.Stiffness), "at least "+figureWords(softest)+" N/m for this mass and these feet", "it would sink into the floor"))
	}
}

// contactOf returns what v says of the springs, and for what it leaves out the
// dynamics' own.
func contactOf(v *value, c *dynamics.Craft) dynamics.Contact {
	out := dynamics.DefaultContact(c)
	if v.has("stiffness_n_m") {
		out.Stiffness = v.num("stiffness_n_m")
	}
	if v.has("damping_n_s_m") {
		out.Damping = v.num("damping_n_s_m")
	}
	out.Friction = v.num("friction")
	return out
}

// checkLift refuses a craft that cannot hover with something in hand, in
// standard air.
func checkLift(v *value, r *report) {
	c := dynamics.Craft{Mass: v.num("mass_kg")}
	setRotors(&c, v)
	lift := 0.0
	for i := range c.RotorCount {
		lift += liftOf(&c.Rotors[i], 1.225)
	}
	weight := float64(c.Mass * 9.80665)
	if ratio := lift / weight; ratio <= leastLift {
		r.add(v.at("mass_kg").fault("thrust per weight "+figureWords(ratio), "above "+figureWords(leastLift),
			"such a craft cannot hover with anything in hand"))
	}
}

// liftOf returns the upward thrust (N) of a rotor at rest at full speed in air
// of a density (kg/m³).
func liftOf(rotor *dynamics.Rotor, density float64) float64 {
	n := rotor.SpeedMax / radiansPerTurn
	p := &rotor.Prop
	i := 0
	for i+1 < p.StaticCount && p.StaticSpeed[i+1] <= n {
		i++
	}
	ct := p.StaticCT[i]
	if i+1 < p.StaticCount && n > p.StaticSpeed[i] {
		share := (n - p.StaticSpeed[i]) / (p.StaticSpeed[i+1] - p.StaticSpeed[i])
		ct += float64(share * (p.StaticCT[i+1] - p.StaticCT[i]))
	}
	d2 := float64(rotor.Diameter * rotor.Diameter)
	return float64(ct * density * n * n * d2 * d2 * rotor.AxisB.Z)
}

func checkSensors(v *value, r *report) {
	s := sensorsOf(v)
	if s.RangeMax <= s.RangeMin {
		r.add(v.at("sensors").fault("range_min_m of "+figureWords(s.RangeMin), "below range_max_m of "+figureWords(s.RangeMax), ""))
	}
}

// craftOf returns the prepared craft that a sound file gives.
func craftOf(v *value) dynamics.Craft {
	c := bodyOf(v)
	c.Contact = contactOf(v.at("contact"), &c)
	c.Prepare()
	return c
}

// bodyOf returns the craft without its springs.
func bodyOf(v *value) dynamics.Craft {
	c := dynamics.Craft{Mass: v.num("mass_kg"), Inertia: inertiaOf(v), DragArea: v.vec("drag_area_m2"), GroundBody: v.num("ground_body")}
	setRotors(&c, v)
	for _, foot := range v.list("feet") {
		c.Skids[c.SkidCount] = foot.vec("position_m")
		c.SkidCount++
	}
	c.Battery = packOf(v.at("battery"))
	return c
}

func packOf(b *value) dynamics.Battery {
	return dynamics.Battery{
		Cells: b.integer("cells"), Capacity: b.num("capacity_ah"), Resistance: b.num("resistance_ohm"),
		RCResistance: b.num("slow_resistance_ohm"), RCTime: b.num("slow_time_s"), Idle: b.num("idle_w"),
		FullVolts: b.num("full_v"), CautionVolts: b.num("caution_v"), CriticalVolts: b.num("critical_v"),
		BrownOutVolts: b.num("brown_out_v"), StartingCharge: b.num("starting_charge_share"),
	}
}

func setRotors(c *dynamics.Craft, v *value) {
	m := v.at("motor")
	prop := propellerOf(v.at("propeller"))
	for _, rotor := range v.list("rotors") {
		spin := -1.0
		if rotor.str("spin") == anticlockwise {
			spin = 1
		}
		c.Rotors[c.RotorCount] = dynamics.Rotor{
			PosB: rotor.vec("position_m"), AxisB: rotor.vec("axis").Unit(dynamics.Vec3{Z: 1}), Spin: spin,
			Diameter: v.at("propeller").num("diameter_m"), Prop: prop,
			SpeedMax: m.num("speed_max_rpm"), Lag: m.num("lag_s"), DelayTicks: int(m.ticks("delay_s")),
			Inertia: m.num("inertia_kg_m2"), Drag: m.num("side_drag_n_s2_m"), Guard: m.num("guard_radius_m"),
			BreakSpeed: m.num("break_speed_m_s"), Efficiency: m.num("efficiency"),
		}
		c.RotorCount++
	}
}

func propellerOf(v *value) dynamics.Propeller {
	var p dynamics.Propeller
	for _, row := range v.list("static") {
		i := p.StaticCount
		p.StaticSpeed[i] = row.num("speed_rpm") / radiansPerTurn // rev/s
		p.StaticCT[i], p.StaticCP[i] = row.num("ct"), row.num("cp")
		p.StaticCount++
	}
	if v.has("advance_speed_rpm") {
		p.AdvanceSpeed = v.num("advance_speed_rpm") / radiansPerTurn // rev/s
	}
	for _, row := range v.list("advance") {
		i := p.AdvanceCount
		p.AdvanceJ[i], p.AdvanceCT[i], p.AdvanceCP[i] = row.num("j"), row.num("ct"), row.num("cp")
		p.AdvanceCount++
	}
	return p
}
