package plots

import (
	"bytes"
	"image/png"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func ramp(n int) (d []float64) {
	for i := range n {
		d = append(d, math.Sin(float64(i))+0.2)
	}
	return d
}

// Goal: the figures of a comparison come out in both formats, with their words and
// numbers in them, at the edges too. Method: SVG as text, PNG decoded.
func TestFiguresOfAComparison(t *testing.T) {
	var svg, picture bytes.Buffer
	require.NoError(t, Spread(&svg, "greatest tilt", "B − A (°)", ramp(200), 0.2, 0.1, "svg"))
	assert.Contains(t, svg.String(), "greatest tilt")
	assert.Contains(t, svg.String(), "mean")
	require.NoError(t, Spread(&picture, "two", "s", []float64{-4.42, 0.8, 0.8000000000000003}, 1.5, 0.1, "png"))
	_, err := png.Decode(&picture)
	require.NoError(t, err)

	f := Field{Title: "GO (%)", XLabel: "law: tilt", YLabel: "craft: mass", X: []float64{1, 2, 3}, Y: []float64{-1, 1}, Z: [][]float64{{0.07, 0.5, 1}, {0.25, math.NaN(), 0.75}}}
	svg.Reset()
	require.NoError(t, Heat(&svg, &f, "svg"))
	for _, figure := range []string{">7<", ">50<", ">100<", ">25<", ">75<"} {
		assert.Equal(t, 1, strings.Count(svg.String(), figure), figure)
	}
}
