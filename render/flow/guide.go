package flow

import (
	"lapwing/sim"
	"lapwing/sim/hands"
)

// Guide is the way through the first minutes, in free flight. The zero value is
// off.
type Guide struct {
	On   bool
	Step int // from 0
}

// GuideSteps is how many steps it has; the last asks for nothing.
const GuideSteps = 7

var guideWords = [GuideSteps]string{"lean", "climb", "turn", "land", "cut-off", "lift", "done"}

// Word is the step's key of texts.
func (g *Guide) Word() string { return guideWords[min(g.Step, GuideSteps-1)] }

// far is how far a stick must be moved to count, in thousandths of half travel.
const far = 250

// Look goes to the next step once the world shows what this one asks for. It tells
// whether it has.
func (g *Guide) Look(w *sim.World) bool {
	if !g.On || g.Step >= GuideSteps-1 || !guideDone(g.Step, w) {
		return false
	}
	g.Step++
	return true
}

func guideDone(step int, w *sim.World) bool {
	h, p := &w.Hands, &w.Percept
	flies := !p.OnFloor && p.Armed
	switch step {
	case 0:
		return flies && (beyond(h.Roll) || beyond(h.Pitch))
	case 1:
		return flies && beyond(2*(h.Throttle-hands.Full/2))
	case 2:
		return flies && beyond(h.Yaw)
	case 3:
		return p.OnFloor && !p.Armed
	case 4:
		return p.CutOff
	case 5:
		return flies && !p.CutOff
	}
	return false
}

func beyond(stick int16) bool { return stick > far || stick < -far }
