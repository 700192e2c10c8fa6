// Package sound is what is heard at the pilot's place: the motors, contact, and
// the tones of the station. Ears find faults first: a rotor that turns slower
// than the others beats against them, one that stops falls silent.
//
// It stands apart because it is pure: it makes samples, or captions for those who
// do not hear them, out of values; package speaker alone plays them. The way of
// the data:
//
//  1. Listen takes from the world what makes a sound            (sound.go)
//  2. Synth.Hear takes it as it comes, once a picture           (synth.go)
//  3. Synth.Render makes samples out of it: rotors, contact,
//     tones                                                      (rotor.go, contact.go, tone.go)
//  4. Captions says the same in words                            (caption.go)
package sound

import (
	"math"

	"lapwing/dynamics"
	"lapwing/sim"
)

// Rate is the number of samples in a second.
const Rate = 48000

// Blades is the number of blades of a propeller. The measured propellers of the
// catalogue are two-bladed (UIUC Propeller Database), and a craft file does not
// say otherwise.
const Blades = 2

// Heard is everything at one moment that makes a sound.
type Heard struct {
	Running  bool                        // the world goes on; while it stands, all is silent
	Speed    [dynamics.MaxRotors]float64 // rad/s, of each rotor
	Share    [dynamics.MaxRotors]float64 // 0 … 1, of its greatest speed
	Broken   [dynamics.MaxRotors]bool    // a blade is gone
	Rotors   int
	Distance float64 // m, from the ear
	Odd      bool    // one rotor sounds unlike the others, as a percept has it
	Contact  bool    // something but feet on floor is being hit
	OnFloor  bool    // feet carry weight
	Blow     float64 // m/s², what the craft feels
	Armed    bool
	Alarm    Alarm
}

// Alarm is what the station warns of, the worst only.
type Alarm uint8

// The alarms, each worse than the one before.
const (
	AlarmNone Alarm = iota
	AlarmCaution
	AlarmWarning
	AlarmLostLink
)

// oddBy is the share by which a rotor's speed must be off the others' before a
// caption says so; a hover needs less (a judgement).
const oddBy = 0.15

// Listen takes from the world what makes a sound at the pilot's place. running is
// false while the world stands still.
func Listen(c *sim.Conditions, w *sim.World, running bool) Heard {
	p := &w.Percept
	h := Heard{
		Running: running, Rotors: c.Craft.RotorCount,
		Speed: w.Craft.RotorSpeed, Broken: w.Craft.Broken,
		Distance: w.Craft.PosW.Sub(ear(&c.Place)).Norm(),
		Odd:      p.MotorsTurn && p.OddRotor > oddBy,
		Contact:  p.Contact, OnFloor: p.OnFloor,
		Blow:  w.Craft.SpecificForceB.Norm(),
		Armed: p.Armed, Alarm: alarm(w),
	}
	for i := range h.Rotors {
		h.Share[i] = math.Min(h.Speed[i]/c.Craft.Rotors[i].SpeedMax, 1)
	}
	return h
}

// alarm is the second sense of what the strip shows as a caution or a warning.
func alarm(w *sim.World) Alarm {
	p := &w.Percept
	switch {
	case p.LinkLost:
		return AlarmLostLink
	case p.Camera == 2, p.Battery == 2, p.CutRuns > 0:
		return AlarmWarning
	case p.Silent, p.Landing, p.CageAlert, p.Camera == 1, p.Battery == 1, w.Hands.Response != p.Actual:
		return AlarmCaution
	}
	return AlarmNone
}

// earHeight is the height of a standing person's ears, m; from memory.
const earHeight = 1.6

// ear is where the pilot's ears are: at the first place of a person, else at the
// middle of the near wall.
func ear(p *dynamics.Place) dynamics.Vec3 {
	if p.PersonCount == 0 {
		return dynamics.Vec3{X: p.Min.X, Y: (p.Min.Y + p.Max.Y) / 2, Z: earHeight}
	}
	at := p.People[0].PosW
	at.Z = earHeight
	return at
}
