package margins

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
)

// Loop is one loop of the cascade: the signal at which it is opened, and the
// response type under which it is closed and those round it are not.
type Loop uint8

// The loops, from the inside out.
const (
	RollRate Loop = iota
	PitchRate
	YawRate
	RollAngle
	PitchAngle
	Heading
	Speed      // horizontal, along x
	ClimbSpeed // vertical
	Height
	Place // horizontal, along x
	LoopCount
)

var loopWords = [LoopCount]string{"roll rate", "pitch rate", "yaw rate", "roll angle", "pitch angle", "heading",
	"speed", "climb speed", "height", "place"}

// String returns the loop's word.
func (l Loop) String() string { return loopWords[l] }

// inside is the loop just inside each, itself for the innermost.
var inside = [LoopCount]Loop{RollRate, PitchRate, YawRate, RollRate, PitchRate, YawRate, PitchAngle, ClimbSpeed, ClimbSpeed, Speed}

// response is the response type under which l is the outermost loop of its axis.
// In it the sticks must not be where a loop outside would close.
func (l Loop) response() hands.Response {
	switch {
	case l <= YawRate:
		return hands.Rate
	case l <= Heading:
		return hands.Attitude
	case l == ClimbSpeed || l == Height:
		return hands.HeightHold
	}
	return hands.PositionHold
}

// swing is how far the signal is swung: small against the limits, so that the
// law stays linear.
func (l Loop) swing() float64 {
	switch {
	case l <= YawRate:
		return 0.02 // rad/s
	case l <= Heading:
		return 0.01 // rad
	case l <= ClimbSpeed:
		return 0.02 // m/s
	}
	return 0.02 // m
}

// add swings the signal that l feeds back by d.
func (l Loop) add(b *estimate.Belief, d float64) {
	switch l {
	case RollRate:
		b.OmegaB.X += d
	case PitchRate:
		b.OmegaB.Y += d
	case YawRate:
		b.OmegaB.Z += d
	case RollAngle:
		b.QWB = b.QWB.Mul(kernel.QuatExp(kernel.Vec3{X: d}))
	case PitchAngle:
		b.QWB = b.QWB.Mul(kernel.QuatExp(kernel.Vec3{Y: d}))
	case Heading:
		b.QWB = kernel.QuatYaw(d).Mul(b.QWB)
	case Speed:
		b.VelW.X += d
	case ClimbSpeed:
		b.VelW.Z += d
	case Place:
		b.PosW.X += d
	case Height:
		b.PosW.Z += d
		b.Height += d
	}
}

// of returns the signal itself, as the law is told it without the swing.
func (l Loop) of(b *estimate.Belief) float64 {
	up := b.QWB.AxisZ()
	switch l {
	case RollRate:
		return b.OmegaB.X
	case PitchRate:
		return b.OmegaB.Y
	case YawRate:
		return b.OmegaB.Z
	case RollAngle:
		return -up.Y
	case PitchAngle:
		return up.X
	case Heading:
		return b.QWB.Yaw()
	case Speed:
		return b.VelW.X
	case ClimbSpeed:
		return b.VelW.Z
	case Place:
		return b.PosW.X
	}
	return b.PosW.Z
}

// Open is a place without walls.
func Open(place *dynamics.Place) dynamics.Place {
	const far = 1e5
	wide := *place
	wide.Min, wide.Max = kernel.Vec3{X: -far, Y: -far}, kernel.Vec3{X: far, Y: far, Z: far}
	wide.HasNet, wide.BoxCount, wide.PersonCount = false, 0, 0
	wide.CageMin, wide.CageMax = wide.Min, wide.Max
	wide.Air.FanCount, wide.Air.TurbulenceSpeed, wide.Air.TurbulenceWind, wide.Air.WindW = 0, 0, 0, kernel.Vec3{}
	wide.Prepare()
	return wide
}
