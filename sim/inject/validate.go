package inject

import (
	"errors"
	"fmt"
)

// Validate reports every fault of the plan at once, for a craft with rotors
// rotors.
func (p *Plan) Validate(rotors int) error {
	if p.Count < 0 || p.Count > MaxInjects {
		return fmt.Errorf("injects: %d given, 0 to %d are possible", p.Count, MaxInjects)
	}
	var errs []error
	for i := range p.Count {
		in := &p.Injects[i]
		fault := func(format string, args ...any) {
			errs = append(errs, fmt.Errorf("inject %d (%s): "+format, append([]any{i + 1, in.Kind}, args...)...))
		}
		in.validate(rotors, fault)
		in.Onset.validate(fault)
	}
	return errors.Join(errs...)
}

func (in *Inject) validate(rotors int, fault func(string, ...any)) {
	if in.Kind == None || in.Kind >= kindCount {
		fault("no such kind")
		return
	}
	top, low := severities[in.Kind].max, 0.0
	if in.Kind == HeadingError {
		low = -top
	}
	if !(in.Severity >= low && in.Severity <= top) {
		fault("severity %g is not within %g to %g %s", in.Severity, low, top, in.Kind.Unit())
	}
	if in.Kind.Switches() && in.Severity != 0 && in.Severity != 1 {
		fault("severity %g: it is there (1) or not (0)", in.Severity)
	}
	if in.Kind.Directed() && !(in.DirectionW >= -7 && in.DirectionW <= 7) {
		fault("direction %g is not within one turn (rad)", in.DirectionW)
	}
	if in.Kind.OnRotor() && (in.Rotor < AllRotors || in.Rotor >= rotors) {
		fault("there is no rotor %d, the craft has %d", in.Rotor, rotors)
	}
	if in.RampTicks < 0 || in.RampTicks > 0 && in.Kind.Switches() {
		fault("a ramp of %d ticks is not possible", in.RampTicks)
	}
	if in.LastsTicks <= 0 {
		fault("it lasts %d ticks: give a time above 0, or forever", in.LastsTicks)
	}
	if in.Kind == Gust && in.LastsTicks != Forever && in.LastsTicks < 2*in.RampTicks {
		fault("it lasts %d ticks, too short to rise and fall in %d each", in.LastsTicks, in.RampTicks)
	}
}

func (o *Onset) validate(fault func(string, ...any)) {
	if o.After >= markCount {
		fault("onset: no such mark")
	}
	if o.DelayTicks < 0 || o.MeanTicks < 0 || o.CapTicks < 0 {
		fault("onset: delay %d, mean %d and cap %d must not be negative", o.DelayTicks, o.MeanTicks, o.CapTicks)
	}
	if (o.MeanTicks > 0) != (o.CapTicks > 0) {
		fault("onset: a random wait needs both its mean (%d) and its cap (%d)", o.MeanTicks, o.CapTicks)
	}
}
