package margins

import (
	"io"
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/safety"
)

// Law is what is measured: one tick of a control law, from belief and hands to
// duties. It must answer the same to the same.
type Law interface {
	Act(in *control.Input, out *control.Output)
}

// Point is the flight about which a loop is measured.
type Point struct {
	Craft   *dynamics.Craft
	Place   *dynamics.Place
	Forward float64 // share of pitch stick held: 0 in hover
	Late    Late
}

// Late is by how much signals come late on their way to the law, in ticks,
// besides what rotors and speed controllers take of themselves.
type Late struct {
	Rates     int64 // body rates: the gyro's low-pass
	Attitude  int64
	Placement int64 // place, speed and height
}

const (
	heightFlown = 50   // m, far above the ground
	settleTicks = 4000 // before anything is measured
	leastCycles = 2    // of the swing that are measured
	leastTicks  = 2000 // and for how long at least
)

// Measure returns the loop's response at the frequencies w (rad/s): in a flight
// without noise the signal is swung and what the craft makes of it is compared
// with what the law was told, L = −(true signal)/(signal told). A frequency is
// moved to the nearest one whose period is a whole number of ticks.
func Measure(start func() Law, hover float64, p *Point, loop Loop, w []float64) []Sample {
	place := Open(p.Place)
	var samples []Sample
	for _, at := range w {
		period := int64(math.Round(2 * math.Pi / (at * dynamics.DT)))
		if n := len(samples); n > 0 && samples[n-1].W == angular(period) {
			continue
		}
		r := newRig(start(), hover, p, &place, loop)
		samples = append(samples, Sample{angular(period), r.measure(period)})
		r.end()
	}
	return samples
}

func angular(period int64) float64 { return 2 * math.Pi / (float64(period) * dynamics.DT) }

// rig is a craft under a law and nothing else.
type rig struct {
	law   Law
	p     *Point
	place *dynamics.Place
	loop  Loop
	craft dynamics.State
	in    dynamics.Input
	hands hands.Hands
	past  [64]estimate.Belief // the latest beliefs, by tick
	tick  int64
}

func newRig(law Law, hover float64, p *Point, place *dynamics.Place, loop Loop) *rig {
	r := &rig{law: law, p: p, place: place, loop: loop, in: dynamics.DefaultInput()}
	r.craft = dynamics.Airborne(p.Craft, place, kernel.Vec3{Z: heightFlown}, 0)
	r.in.Duty = r.craft.HoverDuties()
	response := loop.response()
	r.hands = hands.Hands{Throttle: hands.Stick(hover), Response: response, Armed: true}
	if response.HoldsHeight() {
		r.hands.Throttle = hands.Full / 2
	}
	return r
}

// end ends a law that has an end.
func (r *rig) end() {
	if c, ok := r.law.(io.Closer); ok {
		c.Close()
	}
}

// sticks sets the sticks: forward for the point's flight, and, where a speed
// loop is measured, just out of the middle, so that the loop outside is open.
func (r *rig) sticks() {
	r.hands.Pitch = hands.Stick(r.p.Forward)
	if r.loop == Speed && r.hands.Pitch < hands.Full/10 {
		r.hands.Pitch = hands.Full / 10
	}
	if r.loop == ClimbSpeed {
		r.hands.Throttle = hands.Full/2 + hands.Full/8
	}
	if r.hands.Response == hands.Rate {
		r.hands.Pitch = 0
	}
}

// turn is one tick with the signal swung by d; it returns the signal as it is
// and as the law was told it.
func (r *rig) turn(d float64) (is, told float64) {
	now := r.belief()
	r.past[r.tick%int64(len(r.past))] = now
	b := r.late()
	before := r.loop.of(&b)
	r.loop.add(&b, d)
	status := safety.Status{MotorsOn: true, Armed: true, Response: r.hands.Response}
	input := control.Input{Tick: r.tick, Belief: &b, Hands: r.hands, Status: &status, CellVolts: r.craft.Cell.Volts}
	var out control.Output
	r.law.Act(&input, &out)
	r.in.Tick, r.in.Duty = r.tick, out.Duty
	dynamics.Step(r.p.Craft, r.place, &r.craft, &r.in)
	r.craft.Cell.Charge = 1 // a pack that does not empty
	r.tick++
	return before, before + d
}

func (r *rig) belief() estimate.Belief {
	s := &r.craft
	return estimate.Belief{PosW: s.PosW, VelW: s.VelW, QWB: s.QWB, OmegaB: s.OmegaB, Height: s.PosW.Z, HeightOK: true}
}

// late returns what the law is told: the belief of some ticks ago, part by part.
func (r *rig) late() estimate.Belief {
	ago := func(ticks int64) *estimate.Belief {
		return &r.past[max(r.tick-min(ticks, int64(len(r.past))-1), 0)%int64(len(r.past))]
	}
	b := *ago(r.p.Late.Placement)
	b.QWB = ago(r.p.Late.Attitude).QWB
	b.OmegaB = ago(r.p.Late.Rates).OmegaB
	return b
}

// measure swings the signal with a period (ticks) and returns the loop's
// response at it.
func (r *rig) measure(period int64) complex128 {
	for range settleTicks {
		if r.tick == settleTicks/2 {
			r.sticks()
		}
		r.turn(0)
	}
	warm := max(period, 2000)
	cycles := max(leastCycles, (leastTicks+period-1)/period)
	amplitude := r.loop.swing()
	start := r.tick
	var is, told fit
	for r.tick-start < warm+cycles*period {
		t := r.tick - start
		sin, cos := math.Sincos(2 * math.Pi * float64(t%period) / float64(period))
		a, b := r.turn(amplitude * sin)
		if t >= warm {
			is.add(float64(t-warm), sin, cos, a)
			told.add(float64(t-warm), sin, cos, b)
		}
	}
	return -is.phasor() / told.phasor()
}

// fit finds the swing in a signal that may also wander off along a parabola, by
// least squares.
type fit struct {
	a [5][5]float64
	y [5]float64
}

func (f *fit) add(t, sin, cos, y float64) {
	t /= 1e4
	row := [5]float64{sin, cos, 1, t, t * t}
	for i := range row {
		for k := range row {
			f.a[i][k] += row[i] * row[k]
		}
		f.y[i] += row[i] * y
	}
}

// phasor returns the swing as a complex amplitude against sin.
func (f *fit) phasor() complex128 {
	a, y := f.a, f.y
	for i := range y {
		for k := i + 1; k < len(y); k++ {
			share := a[k][i] / a[i][i]
			for j := i; j < len(y); j++ {
				a[k][j] -= share * a[i][j]
			}
			y[k] -= share * y[i]
		}
	}
	for i := len(y) - 1; i >= 0; i-- {
		for j := i + 1; j < len(y); j++ {
			y[i] -= a[i][j] * y[j]
		}
		y[i] /= a[i][i]
	}
	return complex(y[0], y[1])
}

// BuiltIn is the built-in law as it is measured.
type BuiltIn struct {
	params *control.Params
	state  control.State
}

// NewBuiltIn returns a law that has not run.
func NewBuiltIn(p *control.Params) *BuiltIn { return &BuiltIn{p, control.Start(p)} }

// Act implements Law.
func (l *BuiltIn) Act(in *control.Input, out *control.Output) {
	control.Law(l.params, &l.state, in, out)
}

// LeanAfterNudge flies with the sticks nudged for a tenth of a second and
// returns the greatest lean (rad) in the last second of the given ticks after
// it: small where the loops die away.
func LeanAfterNudge(start func() Law, hover float64, p *Point, ticks int64) float64 {
	place := Open(p.Place)
	r := newRig(start(), hover, p, &place, PitchAngle)
	defer r.end()
	lean := 0.0
	for t := range ticks {
		r.hands.Pitch = 0
		if t < 100 {
			r.hands.Pitch = hands.Full / 4
		}
		r.turn(0)
		if t > ticks-1000 {
			lean = math.Max(lean, r.craft.QWB.Tilt())
		}
	}
	return lean
}

// Expected returns the crossovers (rad/s) that the built-in law is designed for.
func Expected(p *control.Params) [LoopCount]float64 {
	g := &p.Gains
	return [LoopCount]float64{g.Rate.X, g.Rate.Y, g.Rate.Z, g.Attitude, g.Attitude, g.Yaw, g.Velocity, g.Climb, g.Height, g.Position}
}
