package ability

import (
	"fmt"
	"math"

	"lapwing/dynamics"
)

// Model is one part of a craft or its air as it is modelled.
type Model struct {
	What   string `json:"what"`
	Source string `json:"source"`
	Range  string `json:"range"` // where it holds
}

// Models returns what is modelled of a craft, from which source and in which
// range. The sources of a craft's own numbers stand in its file.
func Models(c *dynamics.Craft) []Model {
	p, r := &c.Rotors[0].Prop, &c.Rotors[0]
	return []Model{
		{"Rigid body", "Euler's equations with the rotors' angular momentum: Landau and Lifshitz, Mechanics, 3rd edition 1976, section 36 (from memory); fourth-order Runge-Kutta at 1000 Hz",
			"any attitude; the frame does not bend"},
		{"Propeller at rest", "table of the craft file; coefficients as J. B. Brandt and others, UIUC Propeller Database, define them",
			staticRange(p, r)},
		{"Propeller in climb and descent", "table of the craft file over the advance ratio; in descent momentum theory and the measured bridge: Leishman, Principles of Helicopter Aerodynamics, 2nd edition 2006, equation 2.96 (from memory)",
			advanceRange(p)},
		{"Propeller in flow from the side", "Glauert's induced flow: Leishman 2006, section 2.14 (from memory); side drag linear in air speed and rotor speed: Faessler, Franchi and Scaramuzza, IEEE RA-L 3(2), 2018 (from memory)",
			"level flight at indoor speeds; no flapping"},
		{"Vortex-ring state", "band after Johnson, NASA/TP-2005-213477 (from memory); depth and period are choices of this program",
			"descent of 0.5 to 1.5 times the hover inflow"},
		{"Ground, box tops and ceiling", "Cheeseman and Bennett, ARC R&M 3021, 1955; Sanchez-Cuevas, Heredia and Ollero, International Journal of Aerospace Engineering 2017, 1823056 (from memory)",
			"above half a propeller radius; held below"},
		{"Motor and speed controller", "delay, then a first-order lag of the speed towards duty times voltage; values of the craft file",
			fmt.Sprintf("lag %.0f ms, delay %.0f ms, the same for speeding up and slowing down", 1000*r.Lag, 1000*float64(r.DelayTicks)*dynamics.DT)},
		{"Battery", "voltage at rest: Chen and Rincón-Mora, IEEE Transactions on Energy Conversion 21(2), 2006, equation 2; ohmic and slow resistance of the craft file",
			"charge from a tenth to full; below, the fit promises little; one temperature, no ageing"},
		{"Frame drag", "square of the air speed times the drag areas of the craft file", "still or slowly changing air"},
		{"Contact", "spring, damper and bristle: Cundall and Strack, Géotechnique 29(1), 1979 (from memory)",
			"touchdown, sliding, nets and walls; what breaks is only a blade"},
		{"Turbulence and fans", "Dryden filters: MIL-F-8785C, 1980, section 3.7.3; round jet: Pope, Turbulent Flows, 2000, section 5.1 (from memory)",
			"the Dryden model is stated for open air above 3 m: indoors it is outside its range"},
		{"Gyro and accelerometer", "white noise and a wandering bias as IEEE Std 952 takes them apart (from memory); figures of Burri and others, The EuRoC micro aerial vehicle datasets, IJRR 35(10), 2016",
			"no vibration, no temperature; a low-pass, a limit"},
		{"Camera", "a pinhole that follows landmarks drawn from the room: in view, near, lit, sharp, facing, not hidden; its errors tuned once to the drift of a real flight, V1_02 of Burri and others 2016",
			"landmarks, not pixels: no wrong matches by themselves, no glare, no lens that distorts"},
		{"Estimate", "error-state Kalman filter with the keyframe's pose cloned; range above what lies below; no barometer, no compass",
			"one camera; scale comes of motion"},
		{"C2 link", "losses in bursts: Gilbert, Bell System Technical Journal 39, 1960, and Elliott, the same 42, 1963",
			"a room; no interference that a real one would have"},
		{"A hand that carries the craft", "the way of least jerk: Flash and Hogan, Journal of Neuroscience 5(7), 1985; a spring and a damper",
			"slow moves by one person"},
		{"Modelled pilots", "response times: Green, Transportation Human Factors 2(3), 2000; Hick, QJEP 4, 1952; hands by the crossover model: McRuer and others, AFFDL-TR-65-15, 1965 (from memory)",
			"levels meant to be told apart, not to predict anybody"},
	}
}

const rpm = 60 / (2 * math.Pi) // revolutions per minute in a rad/s

func staticRange(p *dynamics.Propeller, r *dynamics.Rotor) string {
	low, high := 60*p.StaticSpeed[0], 60*p.StaticSpeed[max(0, p.StaticCount-1)]
	top := rpm * r.SpeedMax
	words := fmt.Sprintf("%.0f to %.0f revolutions per minute", low, high)
	if p.StaticCount == 1 {
		words = "one row: the same coefficients at all speeds"
	} else if top > high {
		words += fmt.Sprintf("; from there to the %.0f of full duty the last row is held", top)
	}
	return words
}

func advanceRange(p *dynamics.Propeller) string {
	if p.AdvanceCount == 0 {
		return "no table in the craft file"
	}
	return fmt.Sprintf("advance ratio up to %.2f measured at %.0f revolutions per minute; held beyond", p.AdvanceJ[p.AdvanceCount-1], 60*p.AdvanceSpeed)
}

// NotModelled returns what a real craft has and this program has not.
func NotModelled() []string {
	return []string{
		"Vibration, and what it does to sensors and filters.",
		"Blades that flap, bend or are nicked; a frame that bends or breaks.",
		"Rotors that blow on each other, walls that blow back, and recirculation in a small room.",
		"Motors and speed controllers that heat up, lose step or stop by themselves.",
		"Cells that differ, age, or are cold.",
		"Magnetic fields and air pressure: there is no compass and no barometer.",
		"What a camera makes of glare, reflections, people walking through most of the picture, or a dirty lens.",
		"Wear, dirt, loose screws and wrong assembly.",
	}
}
