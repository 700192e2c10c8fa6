package station

import (
	"math"
	"slices"
	"time"

	"lapwing/render/clock"
	"lapwing/render/devices"
	"lapwing/sim/hands"
)

// delay measures the time from a stick that moves at the device to the picture
// that shows it. A movement is timed from the poll that first saw it; half the
// time between two polls, about a millisecond, is what that misses.
type delay struct {
	clock.Latency
	shown [devices.Places]float64 // sticks in the last picture
	moved time.Duration           // when they first stood otherwise
	waits bool
}

// clearly is how far a stick must move to be timed, of half travel.
const clearly = 0.04

// see looks at the sticks at a poll.
func (d *delay) see(at [devices.Places]float64, now time.Duration) {
	if d.waits {
		return
	}
	for i := range at {
		if math.Abs(at[i]-d.shown[i]) > clearly {
			d.moved, d.waits = now, true
			return
		}
	}
}

// begin is called before a picture with the sticks at is drawn, and returns when
// they moved, 0 for not at all. Where the picture will not show it, the movement
// waits for one that does. What moves from now on is for the next picture.
func (d *delay) begin(at [devices.Places]float64, shows bool) (moved time.Duration) {
	if !shows {
		return 0
	}
	moved = d.moved
	d.shown, d.waits, d.moved = at, false, 0
	return moved
}

// end notes that the picture was handed to the screen at now.
func (d *delay) end(moved, now time.Duration) {
	if moved > 0 && now-moved < lost {
		d.Add(now - moved)
	}
}

// lost is when a movement is no longer taken for the cause of a picture: it came
// while no picture showed sticks.
const lost = time.Second

// watch looks how steadily pictures come, window after window of CheckTime.
type watch struct {
	clock.Steady
	ready   bool // a whole window has been looked at
	finding clock.Finding
	last    clock.Steady // that window, for its figures
}

func (w *watch) note(now, of time.Duration) {
	w.Shown(now, of)
	if w.Checked() {
		w.ready, w.finding, w.last = true, w.Find(), w.Steady
		w.Steady = clock.Steady{}
	}
}

// steadied returns what to show: the last whole window, or the one under way.
func (w *watch) steadied() *clock.Steady {
	if w.ready {
		return &w.last
	}
	return &w.Steady
}

// presses is how many answers a baseline takes.
const presses = 20

// baseline is the reaction baseline under way.
type baseline struct {
	on      bool
	times   []time.Duration
	early   int
	tooSoon bool
	due     time.Duration // when the disc is to appear
	shown   time.Duration // when its picture went out, 0 before
	disc    bool          // in the picture that is drawn
}

func (b *baseline) begin(now time.Duration) {
	*b = baseline{on: true}
	b.next(now)
}

// next lets the disc come after 1.2 to 3.2 s: not to be guessed, and short enough
// for twenty. The waits run through the golden ratio's multiples, which repeat
// nowhere (a judgement; it need not be hard to predict, only for a person).
func (b *baseline) next(now time.Duration) {
	share := math.Mod(float64(len(b.times)+b.early+1)*0.6180339887, 1)
	b.due = now + time.Duration((1.2+2*share)*float64(time.Second))
	b.shown, b.disc = 0, false
}

func (b *baseline) done() bool { return len(b.times) >= presses }

// press takes an answer.
func (b *baseline) press(now time.Duration) {
	if !b.on || b.done() {
		return
	}
	b.tooSoon = b.shown == 0
	if b.tooSoon {
		b.early++
	} else {
		b.times = append(b.times, now-b.shown)
	}
	b.next(now)
}

// out notes that a picture went out at now.
func (b *baseline) out(now time.Duration) {
	if b.disc && b.shown == 0 {
		b.shown = now
	}
}

// median is the median answer.
func (b *baseline) median() time.Duration {
	if len(b.times) == 0 {
		return 0
	}
	sorted := slices.Clone(b.times)
	slices.Sort(sorted)
	return sorted[len(sorted)/2]
}

// scratch holds hands that fly nothing: they show how keys move the sticks.
type scratch struct {
	hands hands.Hands
	next  time.Duration
}

// placesOf puts hands back to where the sticks of a layout stand.
func placesOf(h *hands.Hands, l devices.Layout) (at [devices.Places]float64) {
	at[l.Of(devices.Throttle)] = 2*hands.Share(h.Throttle) - 1
	at[l.Of(devices.Roll)] = hands.Share(h.Roll)
	at[l.Of(devices.Pitch)] = hands.Share(h.Pitch)
	at[l.Of(devices.Yaw)] = hands.Share(h.Yaw)
	return at
}
