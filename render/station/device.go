package station

import (
	"errors"
	"io/fs"

	"lapwing/render/devices"
	"lapwing/render/flow"
	"lapwing/render/words"
	"lapwing/sim/control"
)

// pickDevice flies with the first controller that can be flown with, or else with
// the keyboard.
func (s *Station) pickDevice() {
	s.plugs.See(s.reads)
	s.listDevices()
	for i := range s.reads {
		if s.reads[i].Flyable() {
			s.use(i)
			return
		}
	}
	s.use(-1)
}

// listDevices tells the model what is plugged in.
func (s *Station) listDevices() {
	m := s.model
	m.Devices, m.Device = nil, -1
	for i := range s.reads {
		m.Devices = append(m.Devices, s.reads[i].Name)
		if s.inUse.GUID != "" && s.reads[i].GUID == s.inUse.GUID {
			m.Device = i
		}
	}
}

// use flies with controller i, −1 for the keyboard.
func (s *Station) use(i int) {
	s.model.Device = -1
	s.inUse = devices.Reading{}
	s.mapper.Use("", nil)
	if i >= 0 && i < len(s.reads) && s.reads[i].Flyable() {
		r := &s.reads[i]
		s.model.Device, s.inUse = i, devices.Reading{GUID: r.GUID, Name: r.Name, Gamepad: r.Gamepad}
		s.profile = s.profileOf(r)
		s.mapper.Use(r.GUID, &s.profile)
		s.mapper.Poll(s.now(), s.reads)
	}
	s.plugs.Use(s.inUse.GUID)
	s.model.Springs = s.mapper.ThrottleKind() == control.SpringsToCentre
}

// profileOf reads what is known of a make of device, or guesses.
func (s *Station) profileOf(r *devices.Reading) devices.Profile {
	p, err := s.o.Store.Device(r.GUID)
	if err == nil {
		return p
	}
	if !errors.Is(err, fs.ErrNotExist) {
		s.fault = err.Error()
	}
	return devices.DefaultProfile(r)
}

// throttle is what the law is told of the hand that flies.
func (s *Station) throttle() *control.Overrides {
	if s.o.Pilot != "" {
		return nil // a modelled pilot takes the law as it is
	}
	var o control.Overrides
	s.mapper.Throttle(&o)
	return &o
}

// deviceName is what is flown with, in words.
func (s *Station) deviceName() string {
	if s.inUse.GUID == "" {
		return words.Say("hands.keyboard")
	}
	return s.inUse.Name
}

// pressFor says what does an action: a button of the device, else a key.
func (s *Station) pressFor(a devices.Action) string {
	if s.inUse.GUID != "" {
		if text := flow.ButtonFor(&s.profile, s.inUse.Gamepad, a); text != "" {
			return text
		}
	}
	return flow.KeysFor(&s.model.Taste.Taste.Keyboard, a)
}

// saveTaste keeps how the person likes it, and flies so.
func (s *Station) saveTaste(other bool) {
	m := s.model
	if other {
		if t, err := s.o.Store.Trainee(m.Trainee); err == nil {
			m.Taste = t
		}
	}
	s.fault = ""
	if err := s.o.Store.SaveTrainee(m.Trainee, &m.Taste); err != nil {
		s.fault = words.Say("keep.fault", "why", err.Error())
	}
	s.mapper.SetTaste(m.Taste.Taste)
	s.speaker.SetVolume(m.Taste.Sound.Volume)
}

// calibration carries out what the calibration page asks for.
func (s *Station) calibration(o flow.Order) {
	r := s.reading()
	if r == nil {
		s.asked = nil
		return
	}
	if o.Kind == flow.BeginCalibration {
		s.asked, s.fault = devices.NewCalibration(r), ""
		return
	}
	if s.asked == nil {
		return
	}
	switch o.Kind {
	case flow.CalibrationNext:
		s.asked.Next()
	case flow.CalibrationBack:
		s.asked.Back(r)
	case flow.CalibrationThrottle:
		kind := control.Holds
		if o.On {
			kind = control.SpringsToCentre
		}
		s.asked.Declare(kind)
		s.asked.Next()
	case flow.CalibrationLearn:
		sw := flow.Learned()[o.N]
		s.asked.Forget(sw.Does)
		s.asked.Learn(sw, r)
	case flow.CalibrationSave:
		s.saveCalibration(r)
	}
}

// saveCalibration keeps a calibration and flies with it.
func (s *Station) saveCalibration(r *devices.Reading) {
	p, err := s.asked.Profile()
	if err == nil && len(p.Switches) == 0 {
		p.Switches = devices.DefaultProfile(r).Switches // none was chosen: as they were
	}
	if err == nil {
		err = s.o.Store.SaveDevice(r.GUID, &p)
	}
	if err != nil {
		s.fault = words.Say("keep.fault", "why", err.Error())
		return
	}
	s.asked = nil
	s.use(s.model.Device)
	s.do(flow.Event{Kind: flow.Back})
}

// calibrated tells the model what the calibration asks for.
func (s *Station) calibrated() {
	if s.asked == nil {
		s.model.Asks = flow.CalibrateStep{}
		return
	}
	s.model.Asks = flow.CalibrateStep{Word: s.asked.Step().String(), Ready: s.asked.Ready(), Learn: s.asked.Learning()}
}
