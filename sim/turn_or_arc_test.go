package sim_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
)

// turnPicture is drawn by TestTurnOrArcPicture.
const turnPicture = "../testdata/pictures/turn-or-arc.svg"

// Goal: the picture of turns in place against turns on an arc is of this
// program. Method: fly both, draw again and compare; LAPWING_WRITE_DOCS=1 writes
// it anew.
func TestTurnOrArcPicture(t *testing.T) {
	const drawn, seeds = 2, 12
	var ratio []float64
	var picture strings.Builder
	for seed := uint64(1); seed <= seeds; seed++ {
		truth, shown := turned(t, seed, 0)
		a := gained(truth, shown)
		arcTruth, arcShown := turned(t, seed, aheadStick)
		b := gained(arcTruth, arcShown)
		ratio = append(ratio, a/b)
		if seed == drawn {
			panel(&picture, 0, fmt.Sprintf("Four quarter turns in place: off by %.2f m", a), truth, shown)
			panel(&picture, 1, fmt.Sprintf("The same turns on an arc: off by %.2f m", b), arcTruth, arcShown)
		}
	}
	lo, hi := interval(ratio)
	caption := fmt.Sprintf("Ground tracks in bay-3, quad-500g, seed %d. Error in place over error on an arc, %d seeds: median %.0f (95 %% interval %.0f to %.0f).",
		drawn, seeds, median(ratio), lo, hi)
	got := frame(picture.String(), caption)
	t.Log(caption)
	assert.Greater(t, lo, 2.0, "clearly less on an arc")

	if os.Getenv("LAPWING_WRITE_DOCS") != "" {
		require.NoError(t, os.MkdirAll("../testdata/pictures", 0o755))
		require.NoError(t, os.WriteFile(turnPicture, []byte(got), 0o644))
	}
	want, err := os.ReadFile(turnPicture)
	require.NoError(t, err)
	assert.Equal(t, string(want), got, "the picture is old: LAPWING_WRITE_DOCS=1 go test ./sim -run TurnOrArc")
}

// interval returns the 95 % bootstrap interval of the median of x (Efron and
// Tibshirani, An Introduction to the Bootstrap, 1993, section 13.3, from memory).
func interval(x []float64) (lo, hi float64) {
	r := rand.New(rand.NewPCG(1, 2))
	var all []float64
	y := make([]float64, len(x))
	for range 2000 {
		for i := range y {
			y[i] = x[r.IntN(len(x))]
		}
		all = append(all, median(y))
	}
	slices.Sort(all)
	return all[50], all[1949]
}

// Size of the picture, px, and its scale.
const (
	panelWide, panelHigh = 400.0, 380.0
	headHigh, footHigh   = 36.0, 40.0
	pxPerMetre           = 80.0
)

// Colours of M. Okabe and K. Ito, "Color Universal Design", 2008, from memory.
const (
	trueColour  = "#0072B2"
	shownColour = "#D55E00"
)

// panel draws true and estimated ground track, x up and y to the left, as seen
// from behind the take-off mark.
func panel(out *strings.Builder, column int, title string, truth, shown []dynamics.Vec3) {
	middle := dynamics.Vec3{}
	for _, p := range append(slices.Clone(truth), shown...) {
		middle = middle.AddScaled(1/float64(2*len(truth)), p)
	}
	x0 := float64(column) * panelWide
	at := func(p dynamics.Vec3) (x, y float64) {
		d := p.Sub(middle)
		return x0 + panelWide/2 - pxPerMetre*d.Y, headHigh + panelHigh/2 - pxPerMetre*d.X
	}
	fmt.Fprintf(out, "<text x=\"%.0f\" y=\"24\" text-anchor=\"middle\" font-size=\"16\">%s</text>\n", x0+panelWide/2, title)
	line := func(track []dynamics.Vec3, colour, dash string) {
		out.WriteString("<polyline fill=\"none\" stroke=\"" + colour + "\" stroke-width=\"2.5\"" + dash + " points=\"")
		for i, p := range track {
			x, y := at(p)
			if i > 0 {
				out.WriteByte(' ')
			}
			fmt.Fprintf(out, "%.1f,%.1f", x, y)
		}
		x, y := at(track[len(track)-1])
		fmt.Fprintf(out, "\"/>\n<circle cx=\"%.1f\" cy=\"%.1f\" r=\"5\" fill=\"%s\"/>\n", x, y, colour)
	}
	line(truth, trueColour, "")
	line(shown, shownColour, " stroke-dasharray=\"7 4\"")
	x, y := at(dynamics.Vec3{})
	fmt.Fprintf(out, "<path d=\"M%.1f %.1fh12m-6 -6v12\" stroke=\"#000\" stroke-width=\"2\"/>\n", x-6, y)
}

// frame puts panels, legend and caption into one picture.
func frame(panels, caption string) string {
	wide, high := 2*panelWide, headHigh+panelHigh+2*footHigh
	foot := headHigh + panelHigh + footHigh/2
	var b strings.Builder
	fmt.Fprintf(&b, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%.0f\" height=\"%.0f\" font-family=\"sans-serif\">\n", wide, high)
	fmt.Fprintf(&b, "<title>%s</title>\n<rect width=\"100%%\" height=\"100%%\" fill=\"#fff\"/>\n", caption)
	b.WriteString(panels)
	fmt.Fprintf(&b, "<text x=\"20\" y=\"%.0f\" font-size=\"14\"><tspan fill=\"%s\">whole line: true</tspan>, "+
		"<tspan fill=\"%s\">dashed: as the craft believes</tspan>, cross: start, dots: end, bar: 1 m</text>\n", foot, trueColour, shownColour)
	fmt.Fprintf(&b, "<path d=\"M%.0f %.0fh%.0f\" stroke=\"#000\" stroke-width=\"3\"/>\n", wide-20-pxPerMetre, foot-5, pxPerMetre)
	fmt.Fprintf(&b, "<text x=\"20\" y=\"%.0f\" font-size=\"12\">%s</text>\n</svg>\n", math.Round(foot+28), caption)
	return b.String()
}
