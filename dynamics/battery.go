package dynamics

import (
	"math"

	"lapwing/dynamics/kernel"
)

// The battery in one tick, cell by cell alike:
//
//  1. charge gives the voltage at rest;
//  2. less the slow pair's drop and a fault's sag, behind the ohmic resistance,
//     the power asked for gives current and voltage under load, in closed form;
//  3. the current empties the cell and moves the slow pair;
//  4. 20 ms below the brown-out voltage stop the electronics until the pack is
//     plugged in anew.
//
// A pack that gives no current (a plug that lets go) shows no voltage and is at
// rest; when it gives current again, the electronics start as at power-up.
//
// Power that the cell cannot give is an event (Starved), never a NaN: the cell
// then stands at the point of greatest power, half its voltage.

// brownOutTicks is how long the voltage must stay low before the electronics
// stop: 20 ms, what their capacitors bridge (common practice).
const brownOutTicks = 20

// RestVolts returns the voltage at rest of a lithium-polymer cell, V, at a
// charge of 0 … 1, held at the ends outside: below 0 and above 1 the fit goes
// wrong. The source promises little below a tenth of the charge.
//
// M. Chen and G. A. Rincón-Mora, Accurate Electrical Battery Model Capable of
// Predicting Runtime and I–V Performance, IEEE Trans. Energy Conversion 21(2),
// 2006, eq. 2. Its resistances and capacitances belong to a cell of 850 mA·h
// and are not used: a craft's pack has its own.
func RestVolts(charge float64) float64 {
	s := kernel.Clamp(charge, 0, 1)
	p := -0.1178 + float64(0.3201*s)
	p = 0.2156 + float64(s*p)
	p = 3.685 + float64(s*p)
	if s > 0.6 { // the rest is below a nanovolt: not worth an exponential each tick
		return p
	}
	return p - float64(1.031*kernel.Exp(-35*s))
}

// Draw returns current (A) and voltage (V) of a source with the given open
// voltage (V) and resistance (Ω, ≥ 0) from which a power (W, ≥ 0) is drawn.
// Where the power exceeds what the source can give, open²/(4R), starved is true
// and the result is the point of greatest power. An open voltage that is not
// positive gives nothing.
func Draw(open, resistance, power float64) (current, volts float64, starved bool) {
	if !(open > 0) {
		return 0, 0, power > 0
	}
	room := float64(open*open) - float64(4*resistance*power)
	if room < 0 {
		return open / (2 * resistance), float64(0.5 * open), true
	}
	// The root without cancellation: 2P/(V + √(V² − 4RP)).
	current = float64(2*power) / (open + math.Sqrt(room))
	return current, open - float64(current*resistance), false
}

// batteryStep draws the motors' electrical power (W) and the electronics' own
// for one tick.
func batteryStep(c *Craft, s *State, in *Input, power float64) {
	b, cell := &c.Battery, &s.Cell
	if cell.Unplugged && !in.PowerLost {
		cell.BrownOut, cell.LowTicks = false, 0
	}
	cell.Unplugged = in.PowerLost
	if cell.BrownOut {
		power = 0
	} else {
		power += b.Idle
	}
	open := RestVolts(cell.Charge) - cell.SlowDrop - in.SagVolts
	if in.PowerLost {
		open = 0
	}
	cell.Current, cell.Volts, cell.Starved = Draw(open, b.Resistance, power/float64(b.Cells))
	settled := float64(cell.Current * b.RCResistance)
	cell.SlowDrop = settled + float64((cell.SlowDrop-settled)*b.keep)
	cell.Charge = max(0, cell.Charge-float64(cell.Current*DT)/b.Capacity)
	if cell.Volts >= b.BrownOutVolts {
		cell.LowTicks = 0
		return
	}
	cell.LowTicks++
	if cell.LowTicks >= brownOutTicks {
		cell.LowTicks = brownOutTicks
		cell.BrownOut = true
	}
}
