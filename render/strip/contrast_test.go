package strip

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/render/paint"
)

// TestContrast: goal: words can be read. Method: the contrast ratio of WCAG 2.1,
// success criterion 1.4.3 (4.5 for words), of ink and faint words on both grounds.
func TestContrast(t *testing.T) {
	for name, look := range map[string]Look{"paper": Paper(), "slate": Slate()} {
		for _, ground := range []paint.Color{look.Ground, look.Raised} {
			assert.GreaterOrEqual(t, contrast(look.Ink, ground), 7.0, name)
			assert.GreaterOrEqual(t, contrast(look.Faint, ground), 4.5, name)
		}
	}
}

func contrast(a, b paint.Color) float64 {
	l := func(c paint.Color) float64 {
		sum := 0.0
		for i, x := range [3]uint8{c.R, c.G, c.B} {
			v := float64(x) / 255
			if v <= 0.03928 {
				v /= 12.92
			} else {
				v = math.Pow((v+0.055)/1.055, 2.4)
			}
			sum += v * [3]float64{0.2126, 0.7152, 0.0722}[i]
		}
		return sum + 0.05
	}
	return math.Max(l(a)/l(b), l(b)/l(a))
}
