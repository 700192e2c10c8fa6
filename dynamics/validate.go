package dynamics

import (
	"errors"
	"fmt"
	"math"

	"lapwing/dynamics/kernel"
)

// Limits of the contact springs. With sub-steps of 0.25 ms they keep the fastest
// mode at 0.075 rad and 0.125 of decay a sub-step, far inside the stability of
// RK4 (2.78 on the real axis: Hairer and Wanner, Solving Ordinary Differential
// Equations II, 2nd ed. 1996, fig. IV.2.1; from memory). Stiffer springs would
// make touchdown depend on the phase of the sub-steps.
const (
	contactRate  = 300 // 1/s, most √(Σk/m) of any way the craft can move on its points
	contactDecay = 500 // 1/s, most Σc/m of the same
	contactRatio = 0.8 // 1, damping ratio of DefaultContact in the stiffest way to move; flat on its feet a craft then comes back with a third to a half of its speed
	contactSlip  = 0.6 // 1, friction of DefaultContact: rubber feet on a dry floor (common practice)
)

// Fault is one thing wrong with a Craft or Place.
type Fault struct {
	Path    string // the field, as "rotors[2].spin"
	Found   string // what was there
	Allowed string // what may be there
}

// Error tells path, finding and allowance.
func (f Fault) Error() string { return f.Path + ": " + f.Found + ", want " + f.Allowed }

// faults collects what is wrong.
type faults []error

// want notes a fault unless ok.
func (f *faults) want(ok bool, path string, found any, allowed string) {
	if !ok {
		*f = append(*f, Fault{path, fmt.Sprint(found), allowed})
	}
}

// within notes a fault unless lo ≤ x ≤ hi, which not-a-number never is.
func (f *faults) within(x, lo, hi float64, path string) {
	f.want(x >= lo && x <= hi, path, x, fmt.Sprintf("%g to %g", lo, hi))
}

// positive notes a fault unless x is finite and above zero.
func (f *faults) positive(x float64, path string) {
	f.want(x > 0 && kernel.IsFinite(x), path, x, "above 0")
}

// notNegative notes a fault unless x is finite and not below zero.
func (f *faults) notNegative(x float64, path string) {
	f.want(x >= 0 && kernel.IsFinite(x), path, x, "0 or more")
}

// finite notes a fault unless v is finite.
func (f *faults) finite(v Vec3, path string) {
	f.want(v.Finite(), path, v, "finite numbers")
}

// count notes a fault unless lo ≤ n ≤ hi, and returns how many elements are
// safe to look at.
func (f *faults) count(n, lo, hi int, path string) int {
	f.want(n >= lo && n <= hi, path, n, fmt.Sprintf("%d to %d", lo, hi))
	return max(0, min(n, hi))
}

// Validate reports every fault of the craft at once, as a join of Fault values
// (and of the propellers' own errors), or nil.
func (c *Craft) Validate() error {
	var f faults
	f.positive(c.Mass, "mass")
	f.inertia(&c.Inertia)
	f.notNegative(c.DragArea.X, "dragArea.x")
	f.notNegative(c.DragArea.Y, "dragArea.y")
	f.notNegative(c.DragArea.Z, "dragArea.z")
	f.notNegative(c.GroundBody, "groundBody")
	for i := range f.count(c.RotorCount, 3, MaxRotors, "rotorCount") {
		f.rotor(&c.Rotors[i], fmt.Sprintf("rotors[%d].", i))
	}
	for i := range f.count(c.SkidCount, 3, MaxSkids, "skidCount") {
		f.finite(c.Skids[i], fmt.Sprintf("skids[%d]", i))
	}
	f.battery(&c.Battery)
	if len(f) == 0 { // the limits need a sound mass, inertia and points
		f.contact(c)
	}
	return errors.Join(f...)
}

// inertia notes faults of an inertia tensor: each principal moment of a real
// body is positive and at most the sum of the other two.
func (f *faults) inertia(m *Mat3) {
	for _, x := range m {
		if !kernel.IsFinite(x) {
			f.want(false, "inertia", *m, "finite numbers")
			return
		}
	}
	f.want(m[1] == m[3] && m[2] == m[6] && m[5] == m[7], "inertia", *m, "a symmetric tensor")
	low, mid, high := principal(m)
	f.want(low > 0, "inertia", fmt.Sprintf("principal moments %.4g, %.4g, %.4g", low, mid, high), "all above 0 (kg·m²)")
	f.want(high <= (low+mid)*(1+1e-9), "inertia", fmt.Sprintf("principal moments %.4g, %.4g, %.4g", low, mid, high),
		"the greatest at most the sum of the others: no body has such an inertia")
}

// principal returns the eigenvalues of a symmetric tensor, rising. Each turn
// of Jacobi's method makes the greatest element off the diagonal zero (Golub and
// Van Loan, Matrix Computations, §8.5; from memory).
func principal(m *Mat3) (low, mid, high float64) {
	a := *m
	for range 30 {
		p, q := 0, 1
		if math.Abs(a[2]) > math.Abs(a[3*p+q]) {
			p, q = 0, 2
		}
		if math.Abs(a[5]) > math.Abs(a[3*p+q]) {
			p, q = 1, 2
		}
		if a[3*p+q] == 0 {
			break
		}
		tau := (a[4*q] - a[4*p]) / (2 * a[3*p+q])
		t := 1 / (math.Abs(tau) + math.Sqrt(1+float64(tau*tau)))
		t = math.Copysign(t, tau)
		cos := 1 / math.Sqrt(1+float64(t*t))
		turn := kernel.MatIdentity()
		turn[4*p], turn[4*q], turn[3*p+q], turn[3*q+p] = cos, cos, float64(t*cos), -float64(t*cos)
		back := turn.Transpose()
		half := a.Mul(&turn)
		a = back.Mul(&half)
		a[3*p+q], a[3*q+p] = 0, 0
	}
	low, mid, high = a[0], a[4], a[8]
	if low > mid {
		low, mid = mid, low
	}
	if mid > high {
		mid, high = high, mid
	}
	if low > mid {
		low, mid = mid, low
	}
	return low, mid, high
}

// rotor notes faults of one rotor.
func (f *faults) rotor(r *Rotor, at string) {
	f.finite(r.PosB, at+"posB")
	f.want(math.Abs(r.AxisB.Norm()-1) < 1e-9, at+"axisB", r.AxisB, "a unit vector")
	f.want(r.Spin == 1 || r.Spin == -1, at+"spin", r.Spin, "1 (anticlockwise from above) or -1")
	f.positive(r.Diameter, at+"diameter")
	f.positive(r.SpeedMax, at+"speedMax")
	f.positive(r.Lag, at+"lag")
	f.want(r.DelayTicks >= 0 && r.DelayTicks < MaxDelay, at+"delayTicks", r.DelayTicks, fmt.Sprintf("0 to %d", MaxDelay-1))
	f.notNegative(r.Inertia, at+"inertia")
	f.notNegative(r.Drag, at+"drag")
	f.want(r.Guard == 0 || r.Guard >= r.Diameter/2 && kernel.IsFinite(r.Guard), at+"guard", r.Guard,
		"0 for none, or at least half the diameter")
	f.positive(r.BreakSpeed, at+"breakSpeed")
	f.want(r.Efficiency > 0 && r.Efficiency <= 1, at+"efficiency", r.Efficiency, "above 0 and up to 1")
	if err := r.Prop.Validate(); err != nil {
		*f = append(*f, fmt.Errorf("%sprop: %w", at, err))
	}
}

// battery notes faults of the pack.
func (f *faults) battery(b *Battery) {
	f.want(b.Cells >= 1, "battery.cells", b.Cells, "1 or more")
	f.positive(b.Capacity, "battery.capacity")
	f.positive(b.Resistance, "battery.resistance")
	f.notNegative(b.RCResistance, "battery.rcResistance")
	f.positive(b.RCTime, "battery.rcTime")
	f.notNegative(b.Idle, "battery.idle")
	f.positive(b.FullVolts, "battery.fullVolts")
	f.want(b.CautionVolts <= b.FullVolts, "battery.cautionVolts", b.CautionVolts, "at most fullVolts")
	f.want(b.CriticalVolts <= b.CautionVolts, "battery.criticalVolts", b.CriticalVolts, "at most cautionVolts")
	f.want(b.BrownOutVolts <= b.CriticalVolts, "battery.brownOutVolts", b.BrownOutVolts, "at most criticalVolts")
	f.positive(b.BrownOutVolts, "battery.brownOutVolts")
	f.within(b.StartingCharge, 0, 1, "battery.startingCharge")
}

// contact notes faults of the springs, with what the craft's shape allows.
func (f *faults) contact(c *Craft) {
	k := &c.Contact
	m := c.mobility()
	most := float64(contactRate*contactRate) / m * (1 + 1e-9)
	f.want(k.Stiffness > 0 && k.Stiffness <= most, "contact.stiffness", k.Stiffness,
		fmt.Sprintf("above 0 and up to %.6g N/m on this craft", most))
	most = contactDecay / m * (1 + 1e-9)
	f.want(k.Damping >= 0 && k.Damping <= most, "contact.damping", k.Damping,
		fmt.Sprintf("0 to %.6g N·s/m on this craft", most))
	f.notNegative(k.Friction, "contact.friction")
}

// DefaultContact returns the stiffest springs that the craft's mass, inertia and
// points allow, damped and rough as a craft on rubber feet. The craft's mass,
// inertia and points must be set.
func DefaultContact(c *Craft) Contact {
	m := c.mobility()
	return Contact{
		Stiffness: float64(contactRate*contactRate) / m,
		Damping:   2 * contactRatio * contactRate / m,
		Friction:  contactSlip,
	}
}

// mobility returns Σ1/m in 1/kg: the inverse mass that the springs of all feet
// together, or of all rims, meet in the stiffest way the craft can move.
func (c *Craft) mobility() float64 {
	var rims [MaxRotors]Vec3
	for i := range c.RotorCount {
		r := &c.Rotors[i]
		out := Vec3{X: r.PosB.X, Y: r.PosB.Y}.Unit(Vec3{X: 1})
		rims[i] = r.PosB.AddScaled(r.rim(), out)
	}
	return max(c.stiffest(c.Skids[:c.SkidCount]), c.stiffest(rims[:c.RotorCount]))
}

// stiffest returns the greatest eigenvalue of M⁻¹·K for springs of 1 N/m along
// all three axes (normal and bristle) at each point, with M the mass and inertia
// of the craft, by the power method and its Rayleigh quotient.
func (c *Craft) stiffest(points []Vec3) float64 {
	inv, ok := c.Inertia.Inverse()
	if !ok {
		return math.Inf(1)
	}
	v, w := Vec3{X: 0.9, Y: 1, Z: 1.1}, Vec3{X: 1.1, Y: 1, Z: 0.9}.Scale(10)
	value := 0.0
	for range 300 {
		var force, moment Vec3
		stiff := 0.0
		for _, p := range points {
			give := v.Add(w.Cross(p))
			force, moment = force.Add(give), moment.Add(p.Cross(give))
			stiff += give.NormSq()
		}
		value = stiff / (float64(c.Mass*v.NormSq()) + w.Dot(c.Inertia.MulVec(w)))
		v, w = force.Scale(1/c.Mass), inv.MulVec(moment)
		size := 1 / math.Sqrt(float64(c.Mass*v.NormSq())+w.Dot(c.Inertia.MulVec(w)))
		v, w = v.Scale(size), w.Scale(size)
	}
	return value
}

// Validate reports every fault of the place at once, as a join of Fault values,
// or nil.
func (p *Place) Validate() error {
	var f faults
	f.block(&p.Min, &p.Max, "room")
	f.want(p.Min.Z == 0, "room.min.z", p.Min.Z, "0: the origin is on the floor")
	f.block(&p.CageMin, &p.CageMax, "cage")
	f.inside(&p.CageMin, &p.CageMax, &p.Min, &p.Max, "cage", "inside the room")
	if p.HasNet {
		f.block(&p.NetMin, &p.NetMax, "net")
		f.inside(&p.NetMin, &p.NetMax, &p.Min, &p.Max, "net", "inside the room")
		f.positive(p.NetStiffness, "netStiffness")
		f.notNegative(p.NetDamping, "netDamping")
	}
	for i := range f.count(p.BoxCount, 0, MaxBoxes, "boxCount") {
		at := fmt.Sprintf("boxes[%d]", i)
		f.block(&p.Boxes[i].Min, &p.Boxes[i].Max, at)
		f.inside(&p.Boxes[i].Min, &p.Boxes[i].Max, &p.Min, &p.Max, at, "inside the room")
	}
	for i := range f.count(p.PersonCount, 0, MaxPeople, "personCount") {
		m := &p.People[i]
		at := fmt.Sprintf("people[%d].", i)
		f.finite(m.PosW, at+"posW")
		f.positive(m.Radius, at+"radius")
		f.positive(m.Height, at+"height")
	}
	f.notNegative(p.PersonRadius, "personRadius")
	f.inside(&p.TakeOff, &p.TakeOff, &p.Min, &p.Max, "takeOff", "inside the room")
	f.air(&p.Air)
	return errors.Join(f...)
}

// block notes a fault unless lo lies below hi on every axis.
func (f *faults) block(lo, hi *Vec3, path string) {
	f.want(lo.Finite() && hi.Finite() && lo.X < hi.X && lo.Y < hi.Y && lo.Z < hi.Z, path,
		fmt.Sprintf("%v to %v", *lo, *hi), "min below max on every axis")
}

// inside notes a fault unless the block lo … hi lies within outLo … outHi.
func (f *faults) inside(lo, hi, outLo, outHi *Vec3, path, allowed string) {
	f.want(lo.X >= outLo.X && lo.Y >= outLo.Y && lo.Z >= outLo.Z &&
		hi.X <= outHi.X && hi.Y <= outHi.Y && hi.Z <= outHi.Z, path, fmt.Sprintf("%v to %v", *lo, *hi), allowed)
}

// air notes faults of the air.
func (f *faults) air(a *Air) {
	f.within(a.Density, 0, 2, "air.density")
	f.within(a.Gravity, 0, 20, "air.gravity")
	f.finite(a.WindW, "air.windW")
	f.notNegative(a.TurbulenceWind, "air.turbulenceWind")
	if a.TurbulenceWind > 0 {
		f.positive(a.TurbulenceSpeed, "air.turbulenceSpeed")
	}
	for i := range f.count(a.FanCount, 0, MaxFans, "air.fanCount") {
		n := &a.Fans[i]
		at := fmt.Sprintf("air.fans[%d].", i)
		f.finite(n.PosW, at+"posW")
		f.want(math.Abs(n.DirW.Norm()-1) < 1e-9, at+"dirW", n.DirW, "a unit vector")
		f.positive(n.Width, at+"width")
		f.notNegative(n.Speed, at+"speed")
	}
}
