package pilot

import (
	"math"

	"lapwing/dynamics/kernel"
)

// Hand is a skill: how quickly, how late and how steadily a person closes the
// loops by eye. Crossover frequencies and delays follow the crossover model
// (crossover.go); McRuer et al. 1965 give 0.15 … 0.5 s and 3 … 5 rad/s for one
// axis watched closely, from memory. A hover by eye watches four at once and
// crosses lower; the levels below are judgements, held by the tests to a hover
// that is steady.
type Hand struct {
	Velocity  float64 // rad/s, crossover of horizontal speed through lean, > 0
	Brake     float64 // rad/s, the same while the craft is brought to rest, > 0
	Place     float64 // rad/s, crossover of horizontal place through speed, > 0
	Climb     float64 // rad/s, crossover of vertical speed through thrust, > 0
	Height    float64 // rad/s, crossover of height through vertical speed, > 0
	Delay     float64 // s, effective delay of eye, head and hand, 0 … 0.6
	Lead      float64 // s, how far ahead the lean is used to tell the speed, ≥ 0
	Remnant   float64 // share of half travel, standard deviation of the stick's unsteadiness, ≥ 0
	StickRate float64 // 1/s, half travels in a second, > 0
	Lean      float64 // rad, greatest lean used, 0 … 1
	Sink      float64 // m/s, descent used to land, > 0
	Allows    bool    // flies a late link as slowly as it must be flown
	Brief     Brief   // what this hand knows of the craft
}

// stickRate is how quickly a thumb or two fingers move a stick: about 0.15 s
// from the centre to the stop. A judgement.
const stickRate = 6.7 // 1/s

// IdealHand returns a hand without delay or unsteadiness, held to a human
// stick's rate and travel: the upper bound of what can be done.
func IdealHand() Hand {
	return Hand{Velocity: 3.5, Brake: 12, Place: 1.3, Climb: 4, Height: 1.5, Delay: 0, Lead: 0.12,
		StickRate: stickRate, Lean: 0.6, Sink: 0.4, Allows: true, Brief: DefaultBrief()}
}

// ExpertHand returns the hand of a person who flies often.
func ExpertHand() Hand {
	return Hand{Velocity: 2.2, Brake: 3.4, Place: 0.8, Climb: 2.2, Height: 0.9, Delay: 0.18, Lead: 0.25, Remnant: 0.02,
		StickRate: stickRate, Lean: 0.5, Sink: 0.35, Brief: DefaultBrief()}
}

// TrainedHand returns the hand of a person who has met the hover standard.
func TrainedHand() Hand {
	return Hand{Velocity: 1.8, Brake: 3, Place: 0.65, Climb: 1.9, Height: 0.8, Delay: 0.22, Lead: 0.25, Remnant: 0.03,
		StickRate: stickRate, Lean: 0.42, Sink: 0.35, Brief: DefaultBrief()}
}

// NoviceHand returns the hand of a person in the first hours.
func NoviceHand() Hand {
	return Hand{Velocity: 1.2, Brake: 1.6, Place: 0.4, Climb: 1.3, Height: 0.5, Delay: 0.30, Lead: 0.15, Remnant: 0.06,
		StickRate: stickRate, Lean: 0.35, Sink: 0.4, Brief: DefaultBrief()}
}

// UnawareHand returns the hand of the unaware pilot: no delay, good skill, and
// no notice taken of anything.
func UnawareHand() Hand {
	h := ExpertHand()
	h.Delay, h.Remnant, h.Lead = 0, 0, 0.1
	return h
}

// With returns h with another brief.
func (h Hand) With(b Brief) Hand {
	h.Brief = b
	if h.Allows && b.Late > lateLink {
		h.slowFor(b.Late)
	}
	return h
}

// What a late link asks of a hand. Judgements.
const (
	lateLink = 0.1  // s, up to which no hand need be slower
	leanLag  = 0.15 // s, of the lean behind the stick, the link left out
	lateTurn = 0.8  // rad, of phase that link and lean together may cost at the crossover
)

// slowFor lowers the crossovers to what a link that is late (s) leaves room for.
func (h *Hand) slowFor(late float64) {
	most := lateTurn / (leanLag + late)
	for _, gain := range []*float64{&h.Velocity, &h.Brake, &h.Climb} {
		*gain = min(*gain, most)
	}
	for _, gain := range []*float64{&h.Place, &h.Height} {
		*gain = min(*gain, most/3)
	}
}

const gravity = 9.80665 // m/s², standard (ISO 80000-3)

// wish is what the hand is asked to bring about.
type wish struct {
	placeW kernel.Vec3 // m, where to be
	hold   bool        // go to placeW and stay; else only come to rest
	sink   float64     // m/s, descend so; 0 holds the height of placeW
	lean   float64     // rad, greatest lean
	grab   bool        // brake: no care of steadiness or steady pulls
}

// How a hand moves about. Judgements.
const (
	goSpeed    = 0.8  // m/s, horizontally towards a place
	climbMost  = 0.5  // m/s, by eye
	sinkMost   = 0.5  // m/s
	trimShare  = 0.12 // of the squared crossover: how quickly a steady pull is trimmed out
	trimGround = 0.2  // the same while it sinks onto its cushion of air
	groundNear = 0.6  // m, height below which there is one
	trimLevel  = 1.5  // m/s², bound of the horizontal trim
	trimLift   = 2.5  // m/s², bound of the vertical trim
	trimNear   = 0.5  // m/s, errors above this are not trimmed
	noiseTime  = 0.25 // s, memory of the unsteadiness
	yawLoose   = 0.15 // rad, heading error that is left alone
	yawGain    = 1.0  // 1/s
	over       = 1.05 // rad, 60 degrees: a craft that leans further is no longer flown
)

// wantedVelocity returns the horizontal velocity (m/s, room) and climb (m/s)
// that would bring w about.
func (h *Hand) wantedVelocity(w *wish, now *glance) kernel.Vec3 {
	var v kernel.Vec3
	if w.hold {
		ahead := now.posW.AddScaled(h.Delay, now.velW)
		v = w.placeW.Sub(ahead).Scale(h.Place)
		v.Z = 0
		if n := v.Norm(); n > goSpeed {
			v = v.Scale(goSpeed / n)
		}
	}
	v.Z = -w.sink
	if w.sink == 0 {
		v.Z = kernel.Clamp(float64(h.Height*(w.placeW.Z-now.posW.Z)), -sinkMost, climbMost)
	}
	return v
}

// limitXY shortens the horizontal part of v to most.
func limitXY(v kernel.Vec3, most float64) kernel.Vec3 {
	n := v.NormXY()
	if n > most {
		v.X, v.Y = float64(v.X*(most/n)), float64(v.Y*(most/n))
	}
	return v
}

// leanCos returns the cosine of the lean whose horizontal part is leanW, not
// below one half.
func leanCos(leanW kernel.Vec3) float64 {
	return math.Sqrt(max(0.25, 1-float64(leanW.X*leanW.X)-float64(leanW.Y*leanW.Y)))
}
