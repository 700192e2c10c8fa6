// Package clock tells how many ticks are due, whether pictures came steadily
// enough for a run to count, and how late a picture shows what a hand did.
//
// It stands apart because it is pure: now is an argument, so jitter, stalls and
// pauses are tested without sleeping. The way of the data, from frame to frame:
//
//  1. Ticks(now) gives how many ticks the world is to be moved on  (clock.go)
//  2. the picture is drawn and shown
//  3. Shown(now) notes how far it came after the one before it,
//     and how old what it shows is                                (steady.go)
//  4. Latency takes the time from a moved stick to that picture    (latency.go)
package clock

import "time"

// Tick is the length of a tick.
const Tick = time.Millisecond

// MaxCatchUp is the most that one frame may catch up. After a stall (a window
// dragged, a laptop asleep) the rest is given up and the world stands still
// instead: a person cannot answer what was never shown. It is just above the gap
// that makes a scored run void, so that a run that counts never loses a tick.
const MaxCatchUp = 120 * Tick

// Speed is how fast the world goes against the wall clock, Num to Den.
type Speed struct{ Num, Den int64 }

// The speeds of a practice; a scored run is flown at Normal.
var (
	Normal  = Speed{1, 1}
	Half    = Speed{1, 2}
	Quarter = Speed{1, 4}
	Tenth   = Speed{1, 10}
)

// Clock turns wall time into ticks. The zero value stands still; Run starts it.
type Clock struct {
	running bool
	speed   Speed
	from    time.Duration // wall time at which counting began
	done    int64         // ticks given since then
	steps   int64         // single steps asked for while it stands
	lost    time.Duration // wall time given up since Clear
}

// Run goes on, or goes on at another speed, from now. Num and Den are above 0.
func (c *Clock) Run(now time.Duration, s Speed) {
	if s.Num <= 0 || s.Den <= 0 {
		panic("clock: a speed is above 0")
	}
	c.running, c.speed, c.from, c.done, c.steps = true, s, now, 0, 0
}

// Pause stands still. What was due and not yet taken is not made up later.
func (c *Clock) Pause() { c.running = false }

// Running tells whether it runs.
func (c *Clock) Running() bool { return c.running }

// Speed is the speed at which it runs, or ran last.
func (c *Clock) Speed() Speed { return c.speed }

// Step asks for n ticks while it stands.
func (c *Clock) Step(n int64) {
	if !c.running {
		c.steps += n
	}
}

// Ticks returns how many ticks are due at now, and counts them as taken. A clock
// that goes back gives none. Rounding never adds up: the number taken since Run
// is the whole number of ticks in the time since Run.
func (c *Clock) Ticks(now time.Duration) int64 {
	if !c.running {
		n := c.steps
		c.steps = 0
		return n
	}
	elapsed := max(now-c.from, 0)
	due := int64(elapsed)*c.speed.Num/(int64(Tick)*c.speed.Den) - c.done
	if due <= 0 {
		return 0
	}
	if over := due - int64(MaxCatchUp/Tick); over > 0 {
		give := time.Duration(over * int64(Tick) * c.speed.Den / c.speed.Num)
		c.from += give
		c.lost += give
		due -= over
	}
	c.done += due
	return due
}

// Lost is the wall time that was given up since Clear.
func (c *Clock) Lost() time.Duration { return c.lost }

// Clear forgets what was lost, for the next run.
func (c *Clock) Clear() { c.lost = 0 }
