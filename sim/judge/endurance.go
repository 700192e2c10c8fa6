package judge

import "lapwing/dynamics"

// Bounds of an endurance: a pack that gives next to no current lasts for longer
// than any run.
const (
	leastCurrent = 0.01  // A
	longest      = 36000 // s
)

// endurance returns for how long (s) a pack lasts at the current it gives now
// until its voltage under load is critical: the charge is found at which the
// voltage at rest, less what the load takes now, is the critical one.
func endurance(b *dynamics.Battery, cell *dynamics.Cell) float64 {
	if cell.Current < leastCurrent {
		return longest
	}
	drop := dynamics.RestVolts(cell.Charge) - cell.Volts
	lo, hi := 0.0, cell.Charge
	for range 30 {
		mid := (lo + hi) / 2
		if dynamics.RestVolts(mid)-drop > b.CriticalVolts {
			hi = mid
		} else {
			lo = mid
		}
	}
	return min(float64((cell.Charge-hi)*b.Capacity)/cell.Current, longest)
}
