package compared

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"

	"lapwing/render/plots"
	"lapwing/sim/rivals"
	"lapwing/sim/trials"
)

//go:embed page.html
var pageText string

var page = template.Must(template.New("page").Funcs(template.FuncMap{
	"figure":  figure,
	"percent": func(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) },
	"p":       chance,
}).Parse(pageText))

// figure writes a value of a finding: shares in percent.
func figure(f rivals.Finding, x float64) string {
	if f.Unit == "" {
		return fmt.Sprintf("%.1f %%", math.Round(1000*x)/10+0) // + 0: no minus before a zero
	}
	return fmt.Sprintf("%.2f %s", math.Round(100*x)/100+0, f.Unit)
}

// Figure writes a value of a finding for a table.
func Figure(f *rivals.Finding, x float64) string { return figure(*f, x) }

func chance(p float64) string {
	if p < 0.001 {
		return "< 0.001"
	}
	return fmt.Sprintf("%.3f", p)
}

// WriteHTML writes the report as one file.
func (r *Report) WriteHTML(to io.Writer) error {
	data := struct {
		*Report
		Spreads, Heats []template.HTML
	}{Report: r}
	for i := range r.Findings {
		f := &r.Findings[i]
		if f.Unit == "" || f.Effect == nil {
			continue // a share has no distribution to look at, and what never differs neither
		}
		svg, err := drawn(func(out io.Writer) error {
			return plots.Spread(out, f.Words, "B − A ("+f.Unit+")", f.Differences, f.Difference, f.Tolerance, "svg")
		})
		if err != nil {
			return err
		}
		data.Spreads = append(data.Spreads, svg)
	}
	if field := sweepField(r.results); field != nil {
		svg, err := drawn(func(out io.Writer) error { return plots.Heat(out, field, "svg") })
		if err != nil {
			return err
		}
		data.Heats = append(data.Heats, svg)
	}
	return page.Execute(to, data)
}

// drawn returns a figure as it stands inside a page.
func drawn(draw func(io.Writer) error) (template.HTML, error) {
	var out bytes.Buffer
	if err := draw(&out); err != nil {
		return "", err
	}
	text := out.Bytes()
	if at := bytes.Index(text, []byte("<svg")); at > 0 {
		text = text[at:] // without the head of a file of its own
	}
	return template.HTML(text), nil // drawn by us, of numbers and of words that the drawing escapes
}

// mostBins is how many places of an axis are told apart.
const mostBins = 10

// sweepField is the share of GO over the first two axes of a sweep, nil where
// there are not two.
func sweepField(all []trials.Result) *plots.Field {
	if len(all) == 0 || len(all[0].Point) < 2 {
		return nil
	}
	x, y := binsOf(all, 0), binsOf(all, 1)
	f := &plots.Field{Title: "B: GO (%) over the sweep", XLabel: label(all[0].Point[0]), YLabel: label(all[0].Point[1]), X: x, Y: y}
	some, of := table(len(y), len(x)), table(len(y), len(x))
	for i := range all {
		if r := &all[i]; r.Outcome == trials.Passed || r.Outcome == trials.Failed {
			row, column := nearest(y, r.Point[1].Value), nearest(x, r.Point[0].Value)
			of[row][column]++
			if r.Outcome == trials.Passed {
				some[row][column]++
			}
		}
	}
	f.Z = table(len(y), len(x))
	for row := range f.Z {
		for column := range f.Z[row] {
			f.Z[row][column] = math.NaN()
			if of[row][column] > 0 {
				f.Z[row][column] = some[row][column] / of[row][column]
			}
		}
	}
	return f
}

func label(s trials.Setting) string { return s.Of + ": " + s.Key }

func table(rows, columns int) [][]float64 {
	t := make([][]float64, rows)
	for i := range t {
		t[i] = make([]float64, columns)
	}
	return t
}

// binsOf returns the values of an axis, or the middles of even bins where there
// are many.
func binsOf(all []trials.Result, axis int) (values []float64) {
	for i := range all {
		values = append(values, all[i].Point[axis].Value)
	}
	slices.Sort(values)
	if values = slices.Compact(values); len(values) <= mostBins {
		return values
	}
	lo, hi := values[0], values[len(values)-1]
	bins := make([]float64, mostBins)
	for i := range bins {
		bins[i] = lo + (hi-lo)*(float64(i)+0.5)/mostBins
	}
	return bins
}

func nearest(values []float64, x float64) int {
	best := 0
	for i, v := range values {
		if math.Abs(v-x) < math.Abs(values[best]-x) {
			best = i
		}
	}
	return best
}
