package devices

import (
	"math"
	"time"

	"lapwing/sim/control"
	"lapwing/sim/hands"
)

// CalibrationStep is what a person is asked for.
type CalibrationStep uint8

// The steps, in order.
const (
	AskRest       CalibrationStep = iota // let go of everything
	AskEnds                              // move every stick and dial to both ends
	AskLeftUp                            // left stick fully up, alone
	AskLeftRight                         // left stick fully right, alone
	AskRightUp                           // right stick fully up, alone
	AskRightRight                        // right stick fully right, alone
	AskThrottle                          // declare: does the throttle stick spring to its centre or hold
	AskSwitches                          // assign switches
	AskDone
)

var stepWords = [...]string{"rest", "ends", "left-up", "left-right", "right-up", "right-right", "throttle", "switches", "done"}

// String returns the word for s, as a key of texts.
func (s CalibrationStep) String() string { return stepWords[min(s, AskDone)] }

// place is the stick that a step assigns.
func (s CalibrationStep) place() (Place, bool) {
	switch s {
	case AskLeftUp:
		return LeftY, true
	case AskLeftRight:
		return LeftX, true
	case AskRightUp:
		return RightY, true
	case AskRightRight:
		return RightX, true
	}
	return 0, false
}

// What the calibration takes for still, moved, and at an end. Judgements.
const (
	restTime = 500 * time.Millisecond // for which everything must be still
	stillBy  = 0.06                   // raw, spread that still counts as still
	movedBy  = 0.6                    // share of the way to an end that counts as moved
	atEndBy  = 0.15                   // share of travel from an end, within which a stick has no centre of its own
)

// AxisSeen is what has been seen of one axis: for the page that draws it.
type AxisSeen struct {
	Now, Low, High float64 // raw
	Rest           float64 // raw, when let go
	Spread         float64 // raw, noise when let go
}

// Calibration asks a person through the calibration of a device. It is fed with
// readings and holds no clock.
type Calibration struct {
	step     CalibrationStep
	axes     []AxisSeen
	restFrom time.Duration
	rested   bool
	least    []float64 // since the rest began
	most     []float64
	found    [Places]Channel
	has      [Places]bool
	throttle control.ThrottleKind
	declared bool
	switches []Switch
	learn    *Switch // waits for the button or axis that will work it
	from     Reading // as it stood when learning began
	name     string
}

// NewCalibration starts with a reading of the device.
func NewCalibration(r *Reading) *Calibration {
	c := &Calibration{name: r.Name, axes: make([]AxisSeen, len(r.Axes))}
	c.beginRest(r)
	return c
}

// Step is what is asked for now.
func (c *Calibration) Step() CalibrationStep { return c.step }

// Axes is what has been seen of each axis.
func (c *Calibration) Axes() []AxisSeen { return c.axes }

// Ready tells whether what the step asks for has been seen.
func (c *Calibration) Ready() bool {
	switch c.step {
	case AskRest:
		return c.rested
	case AskEnds:
		n := 0
		for i := range c.axes {
			if c.axes[i].High-c.axes[i].Low > 4*leastTravel {
				n++
			}
		}
		return n >= int(Places)
	case AskThrottle:
		return c.declared
	case AskSwitches:
		return c.learn == nil
	case AskDone:
		return false
	}
	p, _ := c.step.place()
	return c.has[p]
}

// Next goes on to the next step when Ready.
func (c *Calibration) Next() {
	if c.Ready() {
		c.step++
	}
}

// Back goes back a step and forgets what it found.
func (c *Calibration) Back(r *Reading) {
	if c.step == AskRest {
		return
	}
	c.step--
	if p, ok := c.step.place(); ok {
		c.has[p] = false
	}
	switch c.step {
	case AskRest:
		c.beginRest(r)
	case AskThrottle:
		c.declared = false
	case AskSwitches:
		c.switches, c.learn = nil, nil
	}
}

// Feed takes a reading.
func (c *Calibration) Feed(r *Reading) {
	for i := range c.axes {
		a := &c.axes[i]
		a.Now = r.axis(i)
		if c.step > AskRest {
			a.Low, a.High = min(a.Low, a.Now), max(a.High, a.Now)
		}
	}
	switch p, assigns := c.step.place(); {
	case c.step == AskRest:
		c.rest(r)
	case assigns && !c.has[p]:
		c.assign(p)
	case c.step == AskSwitches && c.learn != nil:
		c.watch(r)
	}
}

func (c *Calibration) beginRest(r *Reading) {
	c.restFrom, c.rested = r.At, false
	c.least, c.most = make([]float64, len(c.axes)), make([]float64, len(c.axes))
	for i := range c.axes {
		x := r.axis(i)
		c.axes[i].Now, c.least[i], c.most[i] = x, x, x
	}
}

// rest waits until all has been still for restTime.
func (c *Calibration) rest(r *Reading) {
	for i := range c.axes {
		c.least[i], c.most[i] = min(c.least[i], c.axes[i].Now), max(c.most[i], c.axes[i].Now)
		if c.most[i]-c.least[i] > stillBy {
			c.beginRest(r)
			return
		}
	}
	if r.At-c.restFrom < restTime {
		return
	}
	c.rested = true
	for i := range c.axes {
		a := &c.axes[i]
		a.Rest, a.Spread = (c.least[i]+c.most[i])/2, c.most[i]-c.least[i]
		a.Low, a.High = a.Rest, a.Rest
	}
}

// assign takes the axis that is farthest from where it rested, once it is far.
func (c *Calibration) assign(p Place) {
	best, share := -1, movedBy
	for i := range c.axes {
		if !c.free(i) {
			continue
		}
		a := &c.axes[i]
		way := a.High - a.Rest
		if a.Now < a.Rest {
			way = a.Rest - a.Low
		}
		if way < leastTravel {
			continue
		}
		if s := math.Abs(a.Now-a.Rest) / way; s > share {
			best, share = i, s
		}
	}
	if best < 0 {
		return
	}
	a := &c.axes[best]
	c.found[p] = Channel{Axis: best, Travel: Travel{Reverse: a.Now < a.Rest}}
	c.has[p] = true
}

// free tells whether no stick has axis i yet.
func (c *Calibration) free(i int) bool {
	for p := range c.found {
		if c.has[p] && c.found[p].Axis == i {
			return false
		}
	}
	return true
}

// Declare says how the throttle stick behaves when let go.
func (c *Calibration) Declare(k control.ThrottleKind) { c.throttle, c.declared = k, true }

// Learn assigns s: the next button that is pressed, or axis that is moved, works
// it. From is filled in.
func (c *Calibration) Learn(s Switch, now *Reading) {
	c.learn = &s
	c.from = Reading{Axes: append([]float32(nil), now.Axes...), Buttons: append([]bool(nil), now.Buttons...)}
}

// Learning tells whether a button or axis is waited for.
func (c *Calibration) Learning() bool { return c.learn != nil }

// Forget drops the switches that do a.
func (c *Calibration) Forget(a Action) {
	kept := c.switches[:0]
	for _, s := range c.switches {
		if s.Does != a {
			kept = append(kept, s)
		}
	}
	c.switches = kept
}

// Switches lists the switches so far.
func (c *Calibration) Switches() []Switch { return c.switches }

func (c *Calibration) watch(r *Reading) {
	s := c.learn
	for i, down := range r.Buttons {
		if down && !c.from.button(i) && s.Positions == 2 {
			s.From = Source{Kind: FromButton, Index: i}
			c.learned()
			return
		}
	}
	for i := range r.Axes {
		d := r.axis(i) - c.from.axis(i)
		if math.Abs(d) > movedBy && c.free(i) {
			s.From = Source{Kind: FromAxis, Index: i, Reverse: d < 0}
			s.Style = StylePosition
			c.learned()
			return
		}
	}
}

func (c *Calibration) learned() {
	if len(c.switches) < MostSwitches {
		c.switches = append(c.switches, *c.learn)
	}
	c.learn = nil
}

// DeadBand proposes a dead-band: twice the greatest noise of a stick let go, at
// least that of DefaultShape.
func (c *Calibration) DeadBand() float64 {
	band := DefaultShape().DeadBand
	for p := range c.found {
		if !c.has[p] {
			continue
		}
		a := &c.axes[c.found[p].Axis]
		band = max(band, 2*a.Spread/max(a.High-a.Low, leastTravel))
	}
	return min(band, 0.3)
}

// Profile returns what was found, and every fault of it at once.
func (c *Calibration) Profile() (Profile, error) {
	p := Profile{Name: c.name, Throttle: c.throttle, Switches: append([]Switch(nil), c.switches...)}
	for i := range c.found {
		channel := c.found[i]
		a := &c.axes[channel.Axis]
		t := &channel.Travel
		t.Low, t.Centre, t.High = max(a.Low, -1), a.Rest, min(a.High, 1)
		if edge := atEndBy * (t.High - t.Low); t.Centre-t.Low < edge || t.High-t.Centre < edge {
			t.Centre = (t.Low + t.High) / 2 // it rested at an end: it holds its place
		}
		p.Sticks[i] = channel
	}
	return p, p.Validate()
}

// Selector is a three-position switch of response types to Learn.
func Selector(low, middle, high hands.Response) Switch {
	return Switch{Does: Do(DoSelector), Positions: 3, Responses: [3]hands.Response{low, middle, high}}
}

// TwoWay is a two-position switch to Learn.
func TwoWay(a Action, s Style) Switch { return Switch{Does: a, Positions: 2, Style: s} }
