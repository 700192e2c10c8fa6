package sound

import "math"

// thump is the sound of a contact: a low note and a rattle that die away.
type thump struct {
	level float64 // falls
	phase float64 // rad
	noise hiss
}

// Judgements: a light frame rings at some hundred Hz and is still after a tenth of
// a second.
const (
	thumpNote = 170.0 // Hz
	thumpFall = 0.035 // s, to a share of 1/e
)

func (t *thump) hit(level float64) { t.level = math.Max(t.level, level) }

func (t *thump) next() float64 {
	if t.level < 1e-4 {
		t.level, t.phase = 0, 0
		return 0
	}
	t.phase += 2 * math.Pi * thumpNote / Rate
	t.level -= t.level / (thumpFall * Rate)
	return t.level * (math.Sin(t.phase) + 0.6*t.noise.next())
}

// hardBlow and softBlow turn what the craft feels (m/s²) into loudness, 0 … 1.
// Judgements: 30 m/s² beyond gravity is a hard blow; a net or a wall is never
// silent.
func hardBlow(feels float64) float64 { return 0.5 + 0.5*blow(feels) }

func softBlow(feels float64) float64 { return 0.15 + 0.85*blow(feels) }

func blow(feels float64) float64 { return math.Min(math.Abs(feels-9.81)/30, 1) }
