package devices

import "time"

// latch keeps a position until it is taken. A look comes every 20 ms and a flick
// may take 5: a position that was visited and left again between two takes is
// given at the next take all the same, and the present one at the take after it.
type latch struct {
	now     uint8 // as it stands
	taken   uint8 // as given at the last take
	visited uint8 // the last position seen since then that differed from taken
	visit   bool
}

// set is see without memory: as if it had always stood so.
func (l *latch) set(p uint8) { *l = latch{now: p, taken: p} }

// see notes position p.
func (l *latch) see(p uint8) {
	l.now = p
	if p != l.taken {
		l.visited, l.visit = p, true
	}
}

// take returns the position for the next look.
func (l *latch) take() uint8 {
	if l.now == l.taken && l.visit {
		l.taken = l.visited
	} else {
		l.taken = l.now
	}
	l.visit = false
	return l.taken
}

// releaseAfter is how long a button of style latched must be held to release
// what it engaged: a person who hammers on the cut-off in alarm must not release
// it (a judgement).
const releaseAfter = 700 * time.Millisecond

// Style is what a press of a button does to a two-position switch.
type Style uint8

// The styles.
const (
	StylePosition Style = iota // as long as it is down, or in that position
	StyleToggle                // each press changes over
	StyleLatched               // a press engages at once; only a press of 0.7 s releases
	styles
)

var styleWords = [styles]string{"position", "toggle", "latched"}

// String returns the word for s.
func (s Style) String() string { return styleWords[min(s, styles-1)] }

// ParseStyle returns the style called w.
func ParseStyle(w string) (Style, bool) {
	for i, word := range styleWords {
		if word == w {
			return Style(i), true
		}
	}
	return 0, false
}

// press is a button or key as a two-position switch of some style.
type press struct {
	down     bool
	since    time.Duration // when it went down
	engaging bool          // this very press engaged it
}

// move notes that the button is down or not, and moves l by style. It tells
// whether the button has just gone down.
func (p *press) move(down bool, at time.Duration, style Style, l *latch) (edge bool) {
	edge = down && !p.down
	changed := down != p.down
	p.down = down
	if edge {
		p.since, p.engaging = at, l.now == 0
	}
	switch {
	case style == StylePosition && changed:
		l.see(truth(down))
	case style == StyleToggle && edge:
		l.see(1 - min(l.now, 1))
	case style == StyleLatched && edge && l.now == 0:
		l.see(1)
	case style == StyleLatched && down && !p.engaging && l.now == 1 && at-p.since >= releaseAfter:
		l.see(0)
		p.engaging = true // once a press
	}
	return edge
}

func truth(b bool) uint8 {
	if b {
		return 1
	}
	return 0
}
