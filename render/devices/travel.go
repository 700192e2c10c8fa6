package devices

import (
	"errors"
	"fmt"
	"math"

	"lapwing/sim/control"
)

// Travel is the calibration of one axis.
type Travel struct {
	Low     float64 // −1 … 1, raw value at one end
	Centre  float64 // raw value when let go, between Low and High
	High    float64 // −1 … 1, raw value at the other end, above Low
	Reverse bool    // the Low end is up or right
}

// FullTravel is an axis that uses its whole range.
func FullTravel() Travel { return Travel{Low: -1, Centre: 0, High: 1} }

// leastTravel is the least distance between the ends and from end to centre.
const leastTravel = 0.1

// Validate reports every fault at once.
func (t *Travel) Validate() error {
	var errs []error
	for _, x := range []struct {
		name  string
		value float64
	}{{"low", t.Low}, {"centre", t.Centre}, {"high", t.High}} {
		if !(x.value >= -1 && x.value <= 1) {
			errs = append(errs, fmt.Errorf("%s: %g is not within -1 to 1", x.name, x.value))
		}
	}
	if !(t.High-t.Centre >= leastTravel && t.Centre-t.Low >= leastTravel) {
		errs = append(errs, fmt.Errorf("low %g, centre %g, high %g: each must be at least %g above the one before",
			t.Low, t.Centre, t.High, leastTravel))
	}
	return errors.Join(errs...)
}

// Position returns where the stick stands, −1 … 1 with up and right positive: a
// straight line from end to centre on each side.
func (t *Travel) Position(raw float64) float64 {
	x := 0.0
	if raw >= t.Centre {
		x = (raw - t.Centre) / (t.High - t.Centre)
	} else {
		x = (raw - t.Centre) / (t.Centre - t.Low)
	}
	return t.turned(x)
}

// Straight returns where a stick without a centre stands, −1 … 1: a straight line
// from end to end. It is for a throttle that holds its place.
func (t *Travel) Straight(raw float64) float64 {
	return t.turned(2*(raw-t.Low)/(t.High-t.Low) - 1)
}

func (t *Travel) turned(x float64) float64 {
	if t.Reverse {
		x = -x
	}
	if math.IsNaN(x) {
		return 0
	}
	return min(max(x, -1), 1)
}

// Shape is what is done to a self-centring stick. The law shapes once more, by
// its own file; Drawn shows both together.
type Shape struct {
	DeadBand float64 // 0 … 0.5, share of half travel that gives nothing
	Expo     float64 // 0 … 1, 0 is straight
}

// DefaultShape takes away the noise round the centre of a worn thumb stick (a
// judgement) and leaves the rest to the law.
func DefaultShape() Shape { return Shape{DeadBand: 0.04} }

// Formula is the formula of the curve, for the page that draws it.
const Formula = control.CurveFormula

// Curve shapes a stick position x, −1 … 1: see Formula.
func (s Shape) Curve(x float64) float64 { return control.Curve(x, s.DeadBand, s.Expo) }

// Drawn returns n points (stick, what is asked for) of the curve from −1 to 1:
// Curve itself, then what the law makes of it. Without a law, the second is the
// Shape of zeros.
func (s Shape) Drawn(n int, law Shape) [][2]float64 {
	points := make([][2]float64, n)
	for i := range points {
		x := -1 + 2*float64(i)/float64(max(n-1, 1))
		points[i] = [2]float64{x, law.Curve(s.Curve(x))}
	}
	return points
}

// Validate reports every fault at once.
func (s Shape) Validate() error {
	var errs []error
	if !(s.DeadBand >= 0 && s.DeadBand <= 0.5) {
		errs = append(errs, fmt.Errorf("dead-band: %g is not within 0 to 0.5", s.DeadBand))
	}
	if !(s.Expo >= 0 && s.Expo <= 1) {
		errs = append(errs, fmt.Errorf("expo: %g is not within 0 to 1", s.Expo))
	}
	return errors.Join(errs...)
}
