package link

import (
	"errors"
	"fmt"

	"lapwing/dynamics/kernel"
)

// MaxInFlight bounds the frames that are on their way at one time.
const MaxInFlight = 16

// Params is what the link is like. It never changes in a run.
//
// Losses follow the two-state channel of E. N. Gilbert, "Capacity of a
// burst-noise channel", Bell System Technical Journal 39, 1960, with losses in
// the good state as added by E. O. Elliott, "Estimates of error rates for codes
// on burst-noise channels", Bell System Technical Journal 42, 1963. Independent
// losses of the same mean would hardly ever make a gap long enough to matter.
type Params struct {
	FrameEvery   int64 // ticks between two frames sent, ≥ 1
	LatencyTicks int64 // ticks from sending to hearing, 0 … below MaxInFlight frames

	GoodToBad float64 // 0 … 1, chance p a frame that a good channel turns bad
	BadToGood float64 // 0 … 1, chance r a frame that a bad channel turns good; above 0 where p is
	LossGood  float64 // 0 … 1, share of frames lost while the channel is good
	LossBad   float64 // 0 … 1, share of frames lost while it is bad
}

// Default is a sound link in a room: 50 frames a second, 20 ms late, one frame
// in 250 lost, two in a row as a rule. All of it is a judgement.
func Default() Params {
	return Params{FrameEvery: 20, LatencyTicks: 20, GoodToBad: 0.002, BadToGood: 0.5, LossBad: 1}
}

// Validate reports every fault at once.
func (p *Params) Validate() error {
	var errs []error
	fault := func(format string, args ...any) { errs = append(errs, fmt.Errorf("link: "+format, args...)) }
	if p.FrameEvery < 1 {
		fault("a frame every %d ticks: at least 1 is needed", p.FrameEvery)
	}
	if p.LatencyTicks < 0 || p.FrameEvery >= 1 && p.LatencyTicks >= MaxInFlight*p.FrameEvery {
		fault("latency of %d ticks: 0 to %d are possible", p.LatencyTicks, max(0, MaxInFlight*p.FrameEvery-1))
	}
	for _, c := range []struct {
		name string
		x    float64
	}{{"good to bad", p.GoodToBad}, {"bad to good", p.BadToGood}, {"loss while good", p.LossGood}, {"loss while bad", p.LossBad}} {
		if !(c.x >= 0 && c.x <= 1) {
			fault("%s: %g is not within 0 to 1", c.name, c.x)
		}
	}
	if p.GoodToBad > 0 && p.BadToGood == 0 {
		fault("bad to good: 0, so the channel would never recover; use the lost-link inject for that")
	}
	return errors.Join(errs...)
}

// BadShare is the long-run share of frames that meet a bad channel: p/(p + r)
// (Gilbert 1960). 0 where neither chance is above 0.
func (p *Params) BadShare() float64 {
	if p.GoodToBad == 0 {
		return 0
	}
	return p.GoodToBad / (p.GoodToBad + p.BadToGood)
}

// Loss is the long-run share of frames lost (Elliott 1963).
func (p *Params) Loss() float64 {
	bad := p.BadShare()
	return float64(bad*p.LossBad) + float64((1-bad)*p.LossGood)
}

// MeanBurst is the mean number of frames for which a bad channel stays bad:
// 1/r (Gilbert 1960).
func (p *Params) MeanBurst() float64 { return 1 / p.BadToGood }

// BurstAtLeast is the chance that a bad channel stays bad for k frames or more:
// (1 − r)^(k−1), k ≥ 1 (Gilbert 1960).
func (p *Params) BurstAtLeast(k int) float64 { return kernel.Pow(1-p.BadToGood, float64(k-1)) }

// String states every parameter, for the record of a run.
func (p *Params) String() string {
	return fmt.Sprintf("C2 link: a frame every %d ms, %d ms late; channel turns bad %g, good again %g a frame; lost while good %g, while bad %g; the newest frame is held until the craft's own lost-link action",
		p.FrameEvery, p.LatencyTicks, p.GoodToBad, p.BadToGood, p.LossGood, p.LossBad)
}
