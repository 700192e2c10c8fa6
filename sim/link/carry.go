package link

import (
	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
)

// State is what of the link changes: the channel, the transmitter, and the
// frames on their way. A plain value.
type State struct {
	NextFrame int64 // tick at which the next frame is due
	Newest    int64 // tick at which the newest frame heard was sent
	First     int64 // slot of the oldest frame on its way
	InFlight  int64 // frames on their way, 0 … MaxInFlight
	Frames    [MaxInFlight]Frame
	Bad       bool // the channel is in its bad state
	Silent    bool // the transmitter is switched off
}

// Frame is one frame on its way.
type Frame struct {
	Hands hands.Hands
	Sent  int64 // tick
}

// Faults is what goes wrong on purpose. The zero value is no fault, and gives
// the same bits as if there were none.
type Faults struct {
	Dead      bool    // every frame that is sent is lost; those on their way still arrive
	Stutter   float64 // 0 … 1, share of the time in which every frame is lost besides
	StuckAxis int64   // 0 none, 1 roll, 2 pitch, 3 yaw, 4 throttle: heard at StuckAt
	StuckAt   float64 // −1 … 1, throttle 0 … 1
}

// stutterTicks is how long a stutter takes away frames at a time: long enough
// for a frame to grow stale, short of a lost link. Single frames lost as often
// would go unnoticed. A judgement.
const stutterTicks = 250

// The channel's draws are its own, so no other noise shifts with them; and the
// channel lives on whether or not frames are sent, so that two runs with one
// seed meet the same bursts whatever their pilots do.
var (
	streamChannel = kernel.NewStream("link channel")
	streamLoss    = kernel.NewStream("link loss")
	streamStutter = kernel.NewStream("link stutter")
)

// Start returns the link at tick 0: nothing on its way, the channel good or bad
// by its long-run share.
func Start(p *Params, seed uint64) State {
	return State{Bad: kernel.Uniform(seed, streamChannel, -1, 0) < p.BadShare()}
}

// Carry moves the link on to tick: it sends sent when a frame is due and leaves
// in heard what the craft has heard so far, with the faults of the injects.
func Carry(p *Params, s *State, sent *hands.Hands, seed uint64, tick int64, f *Faults, heard *Heard) {
	switch sent.Step {
	case hands.StepTransmitterOff:
		s.Silent = true
	case hands.StepTransmitterOn:
		s.Silent = false
	}
	if tick >= s.NextFrame {
		s.NextFrame = tick + p.FrameEvery
		lost := s.loses(p, seed, tick)
		if !lost && !f.loses(seed, tick) && !s.Silent && s.InFlight < MaxInFlight {
			s.send(sent, tick)
		}
	}
	if s.InFlight > 0 && tick-s.Frames[s.First].Sent >= p.LatencyTicks {
		s.receive(heard)
	}
	s.age(heard, tick)
	if f.StuckAxis != 0 && heard.Any {
		f.stick(&heard.Hands)
	}
}

// loses tells whether the faults lose a frame sent at tick.
func (f *Faults) loses(seed uint64, tick int64) bool {
	return f.Dead || f.Stutter > 0 && kernel.Uniform(seed, streamStutter, tick/stutterTicks, 0) < f.Stutter
}

// stick puts one stick where the fault has it.
func (f *Faults) stick(h *hands.Hands) {
	at := hands.Stick(f.StuckAt)
	switch f.StuckAxis {
	case 1:
		h.Roll = at
	case 2:
		h.Pitch = at
	case 3:
		h.Yaw = at
	case 4:
		h.Throttle = at
	}
}

// loses moves the channel on by one frame and tells whether it loses it.
func (s *State) loses(p *Params, seed uint64, tick int64) bool {
	u := kernel.Uniform(seed, streamChannel, tick, 0)
	share := p.LossGood
	if s.Bad = s.Bad != (u < s.flip(p)); s.Bad {
		share = p.LossBad
	}
	return kernel.Uniform(seed, streamLoss, tick, 0) < share
}

// flip is the chance that the channel changes its state.
func (s *State) flip(p *Params) float64 {
	if s.Bad {
		return p.BadToGood
	}
	return p.GoodToBad
}

func (s *State) send(sent *hands.Hands, tick int64) {
	f := &s.Frames[(s.First+s.InFlight)%MaxInFlight]
	f.Hands, f.Sent = *sent, tick
	f.Hands.Call, f.Hands.Step, f.Hands.Item = hands.CallNone, hands.StepNone, 0
	s.InFlight++
}

func (s *State) receive(heard *Heard) {
	f := &s.Frames[s.First]
	heard.Hands, heard.Any, s.Newest = f.Hands, true, f.Sent
	*f = Frame{} // nothing of what was heard stays in the state
	s.First = (s.First + 1) % MaxInFlight
	s.InFlight--
}

func (s *State) age(heard *Heard, tick int64) {
	if heard.Any {
		heard.Age = tick - s.Newest
		return
	}
	heard.Hands, heard.Age = hands.Rest(), tick
}
