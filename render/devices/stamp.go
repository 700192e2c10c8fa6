package devices

import (
	"time"

	"lapwing/sim/control"
	"lapwing/sim/hands"
)

// Stamp is what a record says about the hands: results are only to be compared
// where it agrees, and a person trained on one kind of throttle is not signed off
// on the other.
type Stamp struct {
	Device       string  `json:"device"` // name, or "keyboard"
	GUID         string  `json:"guid,omitempty"`
	Keyboard     bool    `json:"keyboard"`  // the axes were ramped by keys
	KeysUsed     bool    `json:"keys_used"` // keys worked switches or calls
	Guessed      bool    `json:"uncalibrated"`
	Layout       int     `json:"stick_layout"`
	ThrottleKind string  `json:"throttle_stick"`
	ThrottleMap  string  `json:"throttle_direct_thrust"`
	DeadBand     float64 `json:"dead_band"`
	Expo         float64 `json:"expo"`
	PollRate     float64 `json:"poll_rate_hz,omitempty"`
	LongestPause float64 `json:"longest_poll_pause_s,omitempty"`
	SlowPolls    float64 `json:"polls_below_250_hz_share,omitempty"`
}

// Stamp returns the stamp of the run since Reset.
func (m *Mapper) Stamp() Stamp {
	t := &m.taste
	s := Stamp{Device: "keyboard", Keyboard: m.device == nil, KeysUsed: m.used, Layout: int(t.Layout),
		ThrottleKind: m.ThrottleKind().String(), ThrottleMap: t.ThrottleMap.String(),
		DeadBand: t.Shape.DeadBand, Expo: t.Shape.Expo}
	if m.device != nil {
		s.Device, s.GUID, s.Guessed = m.device.Name, m.guid, m.device.Guessed
		s.PollRate, s.LongestPause, s.SlowPolls = m.meter.Rate(), m.meter.Pause().Seconds(), m.meter.SlowShare()
	}
	return s
}

// ThrottleKind is how the throttle in use behaves when let go.
func (m *Mapper) ThrottleKind() control.ThrottleKind {
	if m.device == nil {
		return m.taste.Keyboard.Throttle
	}
	return m.device.Throttle
}

// Meter is how often the device was read since Reset.
func (m *Mapper) Meter() *Meter { return &m.meter }

// Throttle puts the throttle that is flown with into what a law is given, so that
// the law, its page and the recording all say the same.
func (m *Mapper) Throttle(o *control.Overrides) {
	o.ThrottleKind, o.ThrottleMap, o.ThrottleGiven = m.ThrottleKind(), m.taste.ThrottleMap, true
}

// throttleOff is how far a throttle that holds its place may be off at the start.
const throttleOff = 50 // thousandths of full travel; a judgement

// Mismatch lists what stands otherwise than h says, before a run that starts with
// h: hardware switches, and a throttle that holds its place. The person puts them
// right first.
func (m *Mapper) Mismatch(h hands.Hands) []Action {
	var list []Action
	if m.device == nil || !m.fresh {
		return nil
	}
	for i := range m.device.Switches {
		s, at := &m.device.Switches[i], m.switches[i].at
		if s.Style != StylePosition {
			continue
		}
		switch {
		case s.Does.Kind == DoArm && at != truth(h.Armed), s.Does.Kind == DoCutOff && at != truth(h.CutOff),
			s.Does.Kind == DoSelector && s.response(at) != h.Response:
			list = append(list, s.Does)
		}
	}
	now := hands.Stick((m.commanded()[Throttle] + 1) / 2)
	if d := now - h.Throttle; m.device.Throttle == control.Holds && (d > throttleOff || d < -throttleOff) {
		list = append(list, Stick(ThrottleUp))
	}
	return list
}

// LastReading is when the device was read last.
func (m *Mapper) LastReading() time.Duration { return m.last.At }
