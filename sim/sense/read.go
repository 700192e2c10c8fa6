package sense

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// State is what the sensors remember. It is a plain value.
type State struct {
	Gyro, Accel Channel
	Tracker     Tracker
	CellVolts   float64 // V, last measured
}

// Faults is what goes wrong on purpose. The zero value is no fault, and gives
// the same bits as if there were none.
type Faults struct {
	FixOffsetW  kernel.Vec3 // m, added to the position of poses from outside taken now
	FixYaw      float64     // rad, by which their heading is turned; positions are left
	FixesLost   bool        // no pose comes of those taken, or due to arrive, now
	RangeOffset float64     // m, added to the range
	RangeLost   bool        // the range finder gives nothing
	GyroOffsetB kernel.Vec3 // rad/s, added to the gyro's reading
}

// Start returns the sensors as they are switched on. Biases at the start depend
// on the seed alone.
func Start(p *Params, seed uint64) State {
	return State{
		Gyro:  Channel{Bias: kernel.Normal3(seed, gyroStart, 0, 0).Scale(p.Gyro.Start)},
		Accel: Channel{Bias: kernel.Normal3(seed, accelStart, 0, 0).Scale(p.Accel.Start)},
	}
}

// Read gives one tick's reading of craft c in its place. Rate and specific force
// are the craft's at its centre of gravity, where the sensors are taken to sit.
func Read(p *Params, s *State, c *dynamics.State, place *dynamics.Place, seed uint64, tick int64, f *Faults, out *Reading) {
	s.Gyro.read(&p.Gyro, &gyroStreams, &c.OmegaB, seed, tick, &out.GyroB)
	if f.GyroOffsetB != (kernel.Vec3{}) {
		out.GyroB = within(out.GyroB.Add(f.GyroOffsetB), p.Gyro.Limit)
	}
	s.Accel.read(&p.Accel, &accelStreams, &c.SpecificForceB, seed, tick, &out.AccelB)
	out.RangeNew, out.RangeOK, out.Range = false, false, 0
	if tick%RangeTicks == 0 {
		readRange(p, c, place, seed, tick, f, out)
		s.CellVolts = c.Cell.Volts + float64(p.VoltsSigma*kernel.Normal(seed, voltsNoise, tick, 0))
	}
	out.CellVolts = s.CellVolts
	out.HasSpeeds = p.Speeds
	if p.Speeds {
		out.RotorSpeed = c.RotorSpeed
	}
	if p.Fixes {
		s.Tracker.read(p, c, seed, tick, f, &out.Fix)
	}
}
