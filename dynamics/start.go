package dynamics

import "lapwing/dynamics/kernel"

// Start returns the state of a craft at rest, standing on its skids on a
// horizontal surface at posW (m; its height is the surface's) with the given
// heading (rad): rotors stopped, the battery at its starting charge. Its weight
// already presses the feet in, so nothing moves when time begins. Craft and
// Place must have been prepared; the wind is the steady one, see StartAir.
func Start(c *Craft, p *Place, posW Vec3, yaw float64) State {
	s := atRest(c, p, posW, yaw)
	rise, rollX, pitchY := c.stand(p.Air.Gravity)
	s.PosW.Z = posW.Z + rise
	s.QWB = kernel.QuatYaw(yaw).Mul(kernel.QuatExp(Vec3{X: rollX, Y: pitchY})).Normalized()
	in := DefaultInput()
	var g pairs
	g.find(c, p, &s, &in, nearBy)
	g.settle(c, &s, 1)
	return s
}

// Airborne returns the state of a craft hovering at rest at posW (m, centre of
// gravity) with the given heading (rad), far from any surface: rotors at the
// speeds that carry it without any moment, the duties for that on their way, the
// battery under that load. A craft that cannot be balanced by its rotors gets
// equal speeds. Craft and Place must have been prepared.
func Airborne(c *Craft, p *Place, posW Vec3, yaw float64) State {
	s := atRest(c, p, posW, yaw)
	s.SpecificForceB = Vec3{Z: p.Air.Gravity}
	speed := trim(c, p)
	power := 0.0
	for i := range c.RotorCount {
		kT, kQ := Linear(c, p.Air.Density, speed[i], i)
		square := float64(speed[i] * speed[i])
		s.RotorSpeed[i], s.Thrust[i] = speed[i], float64(kT*square)
		power += float64(kQ * square * speed[i] * c.Rotors[i].fixed.electric)
	}
	s.Cell.load(c, power)
	for i := range c.RotorCount {
		duty := speed[i] * c.Battery.FullVolts / (c.Rotors[i].SpeedMax * s.Cell.Volts)
		for k := range MaxDelay {
			s.Queue[i][k] = duty
		}
	}
	return s
}

// HoverDuties returns the duty that each rotor of a state from Airborne needs to
// keep its speed at the state's voltage.
func (s *State) HoverDuties() (duty [MaxRotors]float64) {
	for i := range duty {
		duty[i] = s.Queue[i][0]
	}
	return duty
}

// StartAir gives the turbulence at the craft its stationary state for the
// input's seed, so that a run does not begin with a lull.
func StartAir(p *Place, s *State, in *Input) { airStart(p, s, in) }

// atRest returns a craft at rest with its battery under the electronics' load.
func atRest(c *Craft, p *Place, posW Vec3, yaw float64) State {
	s := State{PosW: posW, QWB: kernel.QuatYaw(yaw).Normalized()}
	s.Cell.Charge = c.Battery.StartingCharge
	s.Cell.load(c, 0)
	in := DefaultInput()
	s.Gust.WindW = windAt(p, &s, &in)
	return s
}

// load puts the cell under the motors' power (W) until the slow pair has
// settled; a few rounds of substitution bring the current to its last digits.
func (cell *Cell) load(c *Craft, power float64) {
	b := &c.Battery
	each := (power + b.Idle) / float64(b.Cells)
	for range 40 {
		open := RestVolts(cell.Charge) - cell.SlowDrop
		cell.Current, cell.Volts, cell.Starved = Draw(open, b.Resistance, each)
		cell.SlowDrop = float64(cell.Current * b.RCResistance)
	}
}

// stand returns how high the centre of gravity is above the surface (m) and the
// small turns about body x and y (rad) at which the springs of the feet balance
// the weight. With foot i pressed in by −(rise + z + turnX·y − turnY·x) the sum
// of the forces is the weight and their moments vanish: three linear equations.
// A foot that would have to pull is left out, and the rest solved again.
func (c *Craft) stand(gravity float64) (rise, turnX, turnY float64) {
	sag := float64(c.Mass*gravity) / c.Contact.Stiffness
	var out [MaxSkids]bool
	for range c.SkidCount {
		var a [9]float64
		b := [3]float64{-sag, 0, 0}
		for i := range c.SkidCount {
			if out[i] {
				continue
			}
			r := &c.Skids[i]
			row := [3]float64{1, r.Y, -r.X}
			for j := range 3 {
				b[j] -= float64(row[j] * r.Z)
				for k := range 3 {
					a[3*j+k] += float64(row[j] * row[k])
				}
			}
		}
		if !kernel.SolveLU(3, a[:], b[:]) {
			break
		}
		pulls := false
		for i := range c.SkidCount {
			r := &c.Skids[i]
			up := b[0] + r.Z + float64(b[1]*r.Y) - float64(b[2]*r.X)
			if !out[i] && up > 0 {
				out[i], pulls = true, true
			}
		}
		if !pulls {
			return b[0], b[1], b[2]
		}
	}
	low := c.Skids[0].Z
	for i := range c.SkidCount {
		low = min(low, c.Skids[i].Z)
	}
	return -low - sag/float64(c.SkidCount), 0, 0
}

// trim returns the rotor speeds (rad/s) at which thrust carries the weight and
// no moment is left, the smallest thrusts that do so. Torque goes with thrust by
// a ratio that varies a little with speed, hence a few rounds.
func trim(c *Craft, p *Place) (speed [MaxRotors]float64) {
	equal := HoverSpeed(c, p)
	for i := range c.RotorCount {
		speed[i] = equal
	}
	for range 20 {
		thrust, ok := balance(c, p, &speed)
		if !ok {
			break
		}
		for i := range c.RotorCount {
			speed[i] = speedFor(c, p, i, thrust[i])
		}
	}
	return speed
}

// balance returns the smallest thrusts (N) that carry the weight without a
// moment, with torque per thrust taken at the given speeds; ok is false where
// there are none, or a rotor would have to pull down.
func balance(c *Craft, p *Place, speed *[MaxRotors]float64) (thrust [MaxRotors]float64, ok bool) {
	var effect, inverse [4 * MaxRotors]float64
	n := c.RotorCount
	for i := range n {
		r := &c.Rotors[i]
		kT, kQ := Linear(c, p.Air.Density, speed[i], i)
		if !(kT > 0) {
			return thrust, false
		}
		moment := r.fixed.armB.AddScaled(kQ/kT, r.fixed.reactionB)
		effect[i], effect[n+i], effect[2*n+i], effect[3*n+i] = r.AxisB.Z, moment.X, moment.Y, moment.Z
	}
	if !kernel.PseudoInverse(4, n, effect[:4*n], inverse[:4*n]) {
		return thrust, false
	}
	for i := range n {
		thrust[i] = float64(inverse[4*i] * c.Mass * p.Air.Gravity)
		if !(thrust[i] > 0) {
			return thrust, false
		}
	}
	return thrust, true
}

// speedFor returns the speed (rad/s) at which rotor i gives the thrust (N) at
// rest in the air, at most ten times its greatest.
func speedFor(c *Craft, p *Place, i int, thrust float64) float64 {
	low, high := 0.0, 10*c.Rotors[i].SpeedMax
	for range 80 {
		mid := float64(0.5 * (low + high))
		if kT, _ := Linear(c, p.Air.Density, mid, i); float64(kT*mid*mid) < thrust {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}
