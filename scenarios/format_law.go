package scenarios

import (
	"math"
	"strings"

	"lapwing/sim/control"
)

var (
	throttleKinds = []string{control.Holds.String(), control.SpringsToCentre.String()}
	throttleMaps  = []string{control.Direct.String(), control.RateOfThrust.String(), control.UpperHalf.String()}
)

// lawFormat describes what a law file may say in place of what the design of
// the built-in law would choose. The numbers are those that package control
// lists; limits of angles and of turning are in degrees here.
func lawFormat() format {
	var loops []field
	for _, k := range control.Keys() {
		loops = append(loops, lawField(k))
	}
	return format{kind: KindLaw, dir: "laws", rules: lawRules(), root: document(KindLaw,
		"A law: gains and limits of the built-in law, of which what is left out is chosen by design from the craft; or a law from outside.",
		fromField(),
		group("loops", "what differs from the design; a loop takes its bandwidth or its damping, not both", loops...),
		group("throttle", "how the throttle stick behaves",
			word("stick", throttleKinds, "when let go").need(),
			word("direct_thrust", throttleMaps, "what it does in direct thrust").need()),
	)}
}

// lawField describes one number of the law: bandwidths stay in rad/s, limits of
// angles become degrees, with the range drawn in to whole tenths.
func lawField(k control.Key) field {
	name, suffix := splitUnit(k.Name)
	doc := strings.ReplaceAll(name, "_", " ")
	limit := strings.HasSuffix(name, "_limit")
	switch {
	case limit && suffix == "rad":
		return number(name, "deg", inward(k.Low, 0.9), -inward(-k.High, 0.9), doc)
	case limit && suffix == "rad_s":
		return number(name, "deg_s", inward(k.Low, 0.9), -inward(-k.High, 0.9), doc)
	}
	return number(name, suffix, k.Low, k.High, doc)
}

// inward returns x rad in degrees, raised to the next tenth or more.
func inward(x, raise float64) float64 {
	return math.Floor(float64(x/radiansPerDegree*10)+raise) / 10
}

// splitUnit splits a key of package control into name and unit.
func splitUnit(key string) (name, suffix string) {
	if strings.HasSuffix(key, "_rad") {
		return strings.TrimSuffix(key, "_rad"), "rad"
	}
	for _, u := range units {
		if u.suffix != "" && strings.HasSuffix(key, "_"+u.suffix) && len(u.suffix) > len(suffix) {
			suffix = u.suffix
		}
	}
	if suffix == "" {
		return key, ""
	}
	return strings.TrimSuffix(key, "_"+suffix), suffix
}

func lawRules() []rule {
	pair := func(loop string) rule {
		bandwidth, damping := loop+"_bandwidth_rad_s", loop+"_damping"
		return rule{needs: []string{"loops"}, check: func(v *value, r *report) {
			loops := v.at("loops")
			if loops.at(bandwidth).present && loops.at(damping).present {
				r.add(loops.at(damping).fault("both "+bandwidth+" and "+damping, "one of them", ""))
			}
		}}
	}
	return []rule{pair("attitude"), pair("yaw"), pair("position"), pair("height")}
}

// lawOf returns the overrides that a sound law file gives.
func lawOf(v *value) control.Overrides {
	var o control.Overrides
	loops := v.at("loops")
	for _, k := range control.Keys() {
		f := lawField(k)
		if x := loops.at(f.fullName()); x.filled {
			*k.Of(&o) = control.Chosen(x.number)
		}
	}
	if t := v.at("throttle"); t.present {
		o.ThrottleGiven = true
		o.ThrottleKind = control.ThrottleKind(indexOf(throttleKinds, t.str("stick")))
		o.ThrottleMap = control.ThrottleMap(indexOf(throttleMaps, t.str("direct_thrust")))
	}
	return o
}

func indexOf(words []string, w string) int {
	for i := range words {
		if words[i] == w {
			return i
		}
	}
	panic("scenarios: no word " + w)
}
