// Package ability works out, from a craft's file alone, what the craft can do:
// how it hovers and for how long, what thrust it has to spare, how fast it flies,
// how quickly motors and control loops answer, and what is left of it without
// any one of its rotors. It also says what of a real craft is modelled, from
// which source and in which range, and what is not.
//
// It stands apart because it flies nothing: it asks the models of dynamics and
// the design rules of the control law, and puts the answers side by side.
package ability

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
)

// Ability is what a craft can do in the air of a place, far from any surface.
type Ability struct {
	Mass        float64 `json:"mass_kg"`
	Rotors      int     `json:"rotors"`
	Span        float64 `json:"span_m"`    // over the tips of the discs
	AirDensity  float64 `json:"air_kg_m3"` // in which the rest was worked out
	Hover       Hover   `json:"hover"`
	Lift        []Lift  `json:"thrust_to_weight"` // from full to critical cells
	Speed       []Speed `json:"top_speed"`        // at the law's tilt limit, then at the best tilt
	Motor       Motor   `json:"motor"`
	Loops       []Loop  `json:"loops"`
	Losses      []Loss  `json:"rotor_losses"`
	LossesVolts float64 `json:"rotor_losses_at_v"` // V for each cell
}

// Hover is a hover far from any surface in still air.
type Hover struct {
	Speed        float64 `json:"speed_rad_s"`        // of the rotors
	DutyFull     float64 `json:"duty_at_full"`       // 1, cells full, under the load of the hover
	DutyCaution  float64 `json:"duty_at_caution"`    // 1, cells at the caution voltage
	Power        float64 `json:"power_w"`            // of motors and electronics
	TimeCaution  float64 `json:"time_to_caution_s"`  // from full cells
	TimeCritical float64 `json:"time_to_critical_s"` // from full cells
}

// Lift is the greatest thrust over the weight.
type Lift struct {
	Cells  string  `json:"cells"`
	Volts  float64 `json:"volts"` // V for each cell under load
	Weight float64 `json:"thrust_to_weight"`
}

// Speed is a steady level flight.
type Speed struct {
	At      string  `json:"at"`
	Tilt    float64 `json:"tilt_rad"`
	MPS     float64 `json:"speed_m_s"`
	Carried bool    `json:"carried"` // nominal cells carry it; otherwise the craft sinks
}

// Motor is how a rotor's speed follows the duty.
type Motor struct {
	Lag       float64 `json:"lag_s"`
	Delay     float64 `json:"delay_s"`
	Bandwidth float64 `json:"bandwidth_rad_s"` // of the lag: 1/lag
}

// Loop is a control loop of the built-in law as designed for this craft.
type Loop struct {
	Name      string  `json:"name"`
	Bandwidth float64 `json:"bandwidth_rad_s"` // crossover
}

// Loss is what is left without one rotor.
type Loss struct {
	Rotor   string  `json:"rotor"`
	Outcome string  `json:"outcome"`
	Yaw     float64 `json:"margin_with_yaw"`    // share of the weight, below 0.02 none
	NoYaw   float64 `json:"margin_without_yaw"` // share of the weight, below 0.02 none
}

// nominal is the share of full volts at which a pack works most of the time:
// 3.7 V of 4.2 V, common practice; control.Design takes the same.
const nominal = 0.88

// StandardPlace returns the air that a craft is judged in when no room is named:
// the U.S. Standard Atmosphere 1976 at sea level, and standard gravity (3rd
// General Conference on Weights and Measures, 1901).
func StandardPlace() dynamics.Place {
	return dynamics.Place{Air: dynamics.Air{Density: dynamics.StandardAir(0).Density, Gravity: 9.80665}}
}

// Of works out what a prepared craft can do in the air of a place, with the
// built-in law as designed for it. rotors names the rotors in their order.
func Of(c *dynamics.Craft, p *dynamics.Place, rotors []string) Ability {
	law := control.Design(c, p, nil)
	a := Ability{
		Mass: c.Mass, Rotors: c.RotorCount, Span: span(c), AirDensity: p.Air.Density,
		Hover: hover(c, p), Lift: lift(c, &law), Speed: speeds(c, p, &law),
		Motor: motor(c), Loops: loops(&law), LossesVolts: float64(nominal * c.Battery.FullVolts),
	}
	verdicts := control.Losses(c, &law, a.LossesVolts)
	for i := range c.RotorCount {
		v := &verdicts[i]
		a.Losses = append(a.Losses, Loss{rotors[i], v.Outcome.String(), v.Yaw, v.NoYaw})
	}
	return a
}

// span returns the greatest distance over the discs, m.
func span(c *dynamics.Craft) float64 {
	most := 0.0
	for i := range c.RotorCount {
		for k := range c.RotorCount {
			a, b := &c.Rotors[i], &c.Rotors[k]
			most = max(most, a.PosB.Sub(b.PosB).NormXY()+float64(0.5*(a.Diameter+b.Diameter)))
		}
	}
	return most
}

func hover(c *dynamics.Craft, p *dynamics.Place) Hover {
	b := &c.Battery
	h := Hover{
		Speed: dynamics.HoverSpeed(c, p),
		Power: dynamics.HoverPower(c, p) + b.Idle,
	}
	_, volts, _ := dynamics.Draw(dynamics.RestVolts(1), b.Resistance, h.Power/float64(b.Cells))
	h.DutyFull = dynamics.HoverDuty(c, p, volts)
	h.DutyCaution = dynamics.HoverDuty(c, p, b.CautionVolts)
	h.TimeCaution = endurance(b, h.Power, b.CautionVolts)
	h.TimeCritical = endurance(b, h.Power, b.CriticalVolts)
	return h
}

// endurance returns how long (s) full cells give a power (W) before their
// voltage under load falls below the given one: the battery model of dynamics,
// with the power of a steady hover. A step that passes the end is taken back and
// halved, until the end is known to a thousandth of the first step.
func endurance(b *dynamics.Battery, power, volts float64) float64 {
	const most = 24 * 3600.0
	load := func(y []float64) (current, volts float64, starved bool) {
		return dynamics.Draw(dynamics.RestVolts(y[0])-y[1], b.Resistance, power/float64(b.Cells))
	}
	slope := func(_ float64, y, dy []float64) {
		current, _, _ := load(y)
		dy[0] = -current / b.Capacity
		dy[1] = (float64(current*b.RCResistance) - y[1]) / b.RCTime
	}
	ended := func(y []float64) bool {
		_, now, starved := load(y)
		return starved || now < volts || y[0] <= 0
	}
	cell := [2]float64{1, 0} // charge, 0 to 1, and the slow pair's drop, V
	first := min(5, b.RCTime)
	t := 0.0
	for step := first; step > first/1024 && t < most; {
		next := cell
		kernel.RungeKutta(slope, t, step, next[:])
		if ended(next[:]) {
			step = float64(0.5 * step)
			continue
		}
		cell, t = next, t+step
	}
	return t
}

func lift(c *dynamics.Craft, law *control.Params) []Lift {
	b := &c.Battery
	var all []Lift
	for _, at := range []Lift{
		{Cells: "full", Volts: b.FullVolts}, {Cells: "nominal", Volts: float64(nominal * b.FullVolts)},
		{Cells: "caution", Volts: b.CautionVolts}, {Cells: "critical", Volts: b.CriticalVolts},
	} {
		at.Weight = control.ThrustToWeight(c, law, at.Volts)
		all = append(all, at)
	}
	return all
}

// tiltMost is the steepest steady tilt that is looked at, rad: beyond it a
// steady level flight says nothing about a room.
const tiltMost = 1.2

func speeds(c *dynamics.Craft, p *dynamics.Place, law *control.Params) []Speed {
	limit := Speed{At: "the tilt limit of the built-in law", Tilt: law.Limits.Tilt}
	limit.MPS, limit.Carried = level(c, p, limit.Tilt)
	best := Speed{At: "the greatest tilt that the thrust of nominal cells carries"}
	const steps = 600
	for i := range steps {
		tilt := tiltMost * float64(i+1) / steps
		speed, ok := level(c, p, tilt)
		if !ok {
			break
		}
		best.Tilt, best.MPS, best.Carried = tilt, speed, true
	}
	return []Speed{limit, best}
}

// level returns the speed (m/s) of steady level flight at a tilt (rad) forward,
// and whether the rotors can carry it with nominal cells. Along body x the
// weight's part works against frame drag and the rotors' side drag,
//
//	m·g·sin θ = ½ρ·Ax·V²·cos θ + K·V·cos θ,
//
// along body z thrust carries the rest: T = m·g·cos θ + ½ρ·Az·V²·sin θ. K is the
// rotors' side drag at the speed that this thrust takes at rest; that edgewise
// flow adds thrust is left aside.
func level(c *dynamics.Craft, p *dynamics.Place, tilt float64) (speed float64, ok bool) {
	sin, cos := kernel.SinCos(tilt)
	weight := float64(c.Mass * p.Air.Gravity)
	turns := dynamics.HoverSpeed(c, p)
	half := float64(0.5 * p.Air.Density)
	thrust := float64(weight * cos)
	for range 20 { // thrust and speed settle within a few rounds
		k := 0.0
		for i := range c.RotorCount {
			k += float64(c.Rotors[i].Drag * turns * math.Sqrt(thrust/weight))
		}
		speed = root(float64(half*c.DragArea.X*cos), float64(k*cos), float64(weight*sin))
		thrust = float64(weight*cos) + float64(half*c.DragArea.Z*float64(speed*speed)*sin)
	}
	return speed, thrust <= available(c, p, float64(speed*sin))
}

// root returns the x ≥ 0 with a·x² + b·x = c, for a, b, c ≥ 0.
func root(a, b, c float64) float64 {
	under := float64(b*b) + float64(4*a*c)
	if sum := b + math.Sqrt(under); sum > 0 {
		return float64(2*c) / sum
	}
	return 0
}

// available returns the thrust (N) of all rotors at full duty and nominal cells
// with the air coming along the axes at a speed (m/s).
func available(c *dynamics.Craft, p *dynamics.Place, along float64) (sum float64) {
	for i := range c.RotorCount {
		r := &c.Rotors[i]
		n := nominal * r.SpeedMax / (2 * math.Pi)
		ct := r.Prop.CT(n, along/float64(n*r.Diameter))
		d2 := float64(r.Diameter * r.Diameter)
		sum += float64(ct * p.Air.Density * float64(n*n) * float64(d2*d2) * r.AxisB.Z)
	}
	return sum
}

func motor(c *dynamics.Craft) (m Motor) {
	n := float64(c.RotorCount)
	for i := range c.RotorCount {
		m.Lag += c.Rotors[i].Lag / n
		m.Delay += float64(c.Rotors[i].DelayTicks) * dynamics.DT / n
	}
	m.Bandwidth = 1 / m.Lag
	return m
}

func loops(law *control.Params) []Loop {
	g := &law.Gains
	return []Loop{
		{"roll and pitch rate", min(g.Rate.X, g.Rate.Y)},
		{"yaw rate", g.Rate.Z},
		{"attitude", g.Attitude},
		{"heading", g.Yaw},
		{"horizontal velocity", g.Velocity},
		{"climb", g.Climb},
		{"position", g.Position},
		{"height", g.Height},
	}
}
