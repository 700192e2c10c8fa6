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
		if in.Kind.single() && p.first(in.Kind) != i {
			fault("a plan can have one of this kind")
		}
	}
	return errors.Join(errs...)
}

// single tells whether two of a kind would contradict each other.
func (k Kind) single() bool { return k == StuckAxis || k == RotorsSwapped }

// first returns the index of the first inject of kind k.
func (p *Plan) first(k Kind) int {
	for i := range p.Count {
		if p.Injects[i].Kind == k {
			return i
		}
	}
	return -1
}

func (in *Inject) validate(rotors int, fault func(string, ...any)) {
	if in.Kind == None || in.Kind >= kindCount {
		fault("no such kind")
		return
	}
	top, low := kinds[in.Kind].max, 0.0
	if in.Kind.has(signed) {
		low = -top
	}
	if !(in.Severity >= low && in.Severity <= top) {
		fault("severity %g is not within %g to %g %s", in.Severity, low, top, in.Kind.Unit())
	}
	if in.Kind.Switches() && in.Severity != 0 && in.Severity != 1 {
		fault("severity %g: it is there (1) or not (0)", in.Severity)
	}
	if in.Kind.Directed() && !(in.Direction >= -7 && in.Direction <= 7) {
		fault("direction %g is not within one turn (rad)", in.Direction)
	}
	if in.Kind.OnRotor() && (in.Rotor < AllRotors || in.Rotor >= rotors) {
		fault("there is no rotor %d, the craft has %d", in.Rotor, rotors)
	}
	in.validateTimes(fault)
	in.validateMore(rotors, fault)
}

func (in *Inject) validateTimes(fault func(string, ...any)) {
	ramps := !in.Kind.Switches() || in.Kind == VisionLost && in.How == Dark
	if in.RampTicks < 0 || in.RampTicks > 0 && !ramps {
		fault("a ramp of %d ticks is not possible", in.RampTicks)
	}
	if in.LastsTicks <= 0 {
		fault("it lasts %d ticks: give a time above 0, or forever", in.LastsTicks)
	}
	if in.Kind.Stays() && in.LastsTicks != Forever {
		fault("it lasts %d ticks, but cannot end", in.LastsTicks)
	}
	if in.Kind == Gust && in.LastsTicks != Forever && in.LastsTicks < 2*in.RampTicks {
		fault("it lasts %d ticks, too short to rise and fall in %d each", in.LastsTicks, in.RampTicks)
	}
}

// validateMore looks at what only one kind has.
func (in *Inject) validateMore(rotors int, fault func(string, ...any)) {
	switch in.Kind {
	case VisionLost:
		if in.How >= howCount {
			fault("no such way to lose sight")
		}
	case StuckAxis:
		low := -1.0
		if in.Axis == AxisThrottle {
			low = 0
		}
		if in.Axis == 0 || in.Axis >= axisEnd {
			fault("no such axis")
		}
		if !(in.At >= low && in.At <= 1) {
			fault("stuck at %g, which is not within %g to 1", in.At, low)
		}
	case RotorsSwapped:
		for _, rotor := range [2]int{in.Rotor, in.Partner} {
			if rotor < 0 || rotor >= rotors {
				fault("there is no rotor %d, the craft has %d", rotor, rotors)
			}
		}
		if in.Rotor == in.Partner {
			fault("rotor %d is swapped with itself", in.Rotor)
		}
	case PersonEnters:
		if !(in.Distance > 0 && in.Distance <= maxWalk) {
			fault("distance %g is not above 0 and up to %d m", in.Distance, maxWalk)
		}
	}
}

// maxWalk is longer than any room, in m.
const maxWalk = 50

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
