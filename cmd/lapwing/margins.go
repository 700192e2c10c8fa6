package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lapwing/render/plots"
	"lapwing/sim/ability"
	"lapwing/sim/control"
	"lapwing/sim/margins"
)

// studied is what is told of a law's loops, in words and in JSON.
type studied struct {
	Law     string       `json:"law"`
	Craft   string       `json:"craft"`
	Forward float64      `json:"forward_stick"`
	Loops   []loopShown  `json:"loops"`
	Found   []foundShown `json:"found"`
}

// loopShown is one loop; what does not exist in the range measured is null.
type loopShown struct {
	Loop        string   `json:"loop"`
	Crossover   *float64 `json:"crossover_rad_s"`
	Phase       *float64 `json:"phase_margin_deg"`
	Gain        *float64 `json:"gain_margin"`
	Delay       *float64 `json:"delay_margin_s"`
	Bandwidth   *float64 `json:"bandwidth_rad_s"`
	Peak        *float64 `json:"closed_loop_peak"`
	DiskGain    *float64 `json:"disk_gain_margin"`
	DiskPhase   *float64 `json:"disk_phase_margin_deg"`
	InnerFaster *float64 `json:"inner_loop_faster_by"`
}

type foundShown struct {
	Loop  string `json:"loop"`
	Grave bool   `json:"error"`
	Says  string `json:"says"`
}

func newMargins() *cobra.Command {
	var craft, plotsDir, format string
	var forward float64
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "margins [LAW|FILE]",
		Short: "Measure how far each loop of a control law is from trouble",
		Long: `Measure how far each loop of a control law is from trouble. In a simulated flight
without noise each loop's signal is swung a little, frequency by frequency, and what
the craft makes of it is compared with what the law was told: crossover, phase, gain,
delay and disk margins, bandwidth, and how much faster the loop inside it is. Loops
inside are closed, loops outside are open. Without a law the built-in one is measured
as designed for the craft.

The estimator is not in the loop: belief is truth, as late as the craft's rotors,
speed controllers and sensors make it. Exit 1 when a loop is unstable or too near the
loop inside it.`,
		Example: "  lapwing margins\n  lapwing margins gentle --craft hexa-paired\n  lapwing margins my-law.yaml --forward 0.5 --plots bode/",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if forward < 0 || forward > 1 {
				return badUse("--forward %g: allowed 0 (hover) to 1 (full stick)", forward)
			}
			law := ""
			if len(args) == 1 {
				law = args[0]
			}
			return showMargins(cmd.OutOrStdout(), law, craft, forward, plotsDir, format, asJSON)
		},
	}
	cmd.Flags().StringVar(&craft, "craft", "quad-500g", "craft of the catalogue, or file")
	cmd.Flags().Float64Var(&forward, "forward", 0, "share of pitch stick held, for forward flight")
	cmd.Flags().StringVar(&plotsDir, "plots", "", "folder for one Bode plot of each loop")
	cmd.Flags().StringVar(&format, "format", "svg", "of the plots: svg or png")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

func showMargins(out io.Writer, law, craft string, forward float64, plotsDir, format string, asJSON bool) error {
	d, err := designLaw(law, craft)
	if err != nil {
		return err
	}
	defer d.host.Close()
	place := ability.StandardPlace()
	point := margins.Point{Craft: &d.craft.Craft, Place: &place, Forward: forward}
	start := func() margins.Law { return margins.NewBuiltIn(&d.params) }
	outside := margins.Outside{Params: &d.params, Start: func() (control.Guest, error) { return d.host.Start(&d.params) }}
	if d.host != nil {
		start = outside.Law
	}
	all := margins.Study(start, control.HoverStick(&d.params), &point, margins.Expected(&d.params))
	if err := outside.Err(); err != nil {
		return internal(fmt.Errorf("law %s failed: %w", law, err))
	}
	if plotsDir != "" {
		if err := drawLoops(plotsDir, format, all); err != nil {
			return coded{exitUsage, err}
		}
	}
	s := studiedOf(law, craft, forward, all)
	if asJSON {
		encoder := json.NewEncoder(out)
		encoder.SetIndent("", "  ")
		if err := encoder.Encode(s); err != nil {
			return internal(err)
		}
	} else {
		s.print(out)
	}
	for _, f := range s.Found {
		if f.Grave {
			return coded{exitNoGo, nil}
		}
	}
	return nil
}

func studiedOf(law, craft string, forward float64, all []margins.Studied) studied {
	const degrees = 180 / math.Pi
	if law == "" {
		law = "built-in, as designed"
	}
	s := studied{Law: law, Craft: craft, Forward: forward, Found: []foundShown{}}
	for i := range all {
		m := &all[i].Margins
		s.Loops = append(s.Loops, loopShown{all[i].Loop.String(), finite(m.Crossover), finite(m.Phase * degrees), finite(m.Gain),
			finite(m.Delay), finite(m.Bandwidth), finite(m.Peak), finite(m.Disk.Gain), finite(m.Disk.Phase * degrees), finite(all[i].Inner)})
	}
	for _, f := range margins.Lint(all, control.RatioWarning, control.RatioError) {
		s.Found = append(s.Found, foundShown{f.Loop.String(), f.Grave, f.Says})
	}
	return s
}

func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

func (s *studied) print(out io.Writer) {
	fmt.Fprintf(out, "Loops of the law (%s) on %s, %s\n\n", s.Law, s.Craft, pointWords(s.Forward))
	fmt.Fprintf(out, "%-12s %10s %8s %8s %8s %10s %9s %12s\n", "loop", "crossover", "phase", "gain", "delay", "bandwidth", "disk", "loop inside")
	fmt.Fprintf(out, "%-12s %10s %8s %8s %8s %10s %9s %12s\n", "", "rad/s", "°", "dB", "ms", "rad/s", "dB or °", "faster by")
	for _, l := range s.Loops {
		fmt.Fprintf(out, "%-12s %10s %8s %8s %8s %10s %9s %12s\n", l.Loop, figure(l.Crossover, "%.2f", 1), figure(l.Phase, "%.0f", 1),
			decibels(l.Gain), figure(l.Delay, "%.0f", 1000), figure(l.Bandwidth, "%.2f", 1),
			decibels(l.DiskGain)+" "+figure(l.DiskPhase, "%.0f", 1), figure(l.InnerFaster, "%.1f", 1))
	}
	if len(s.Found) == 0 {
		fmt.Fprintln(out, "\nNothing found against it. A dash means that there is none in the range measured.")
		return
	}
	fmt.Fprintln(out)
	for _, f := range s.Found {
		kind := "warning"
		if f.Grave {
			kind = "error"
		}
		fmt.Fprintf(out, "%s: %s: %s\n", kind, f.Loop, f.Says)
	}
}

func pointWords(forward float64) string {
	if forward == 0 {
		return "hovering"
	}
	return fmt.Sprintf("with %.0f %% of pitch stick held forward", 100*forward)
}

func figure(x *float64, format string, times float64) string {
	if x == nil {
		return "–"
	}
	return fmt.Sprintf(format, *x*times)
}

func decibels(x *float64) string {
	if x == nil {
		return "–"
	}
	return fmt.Sprintf("%.1f", 20*math.Log10(*x))
}

// drawLoops writes one Bode plot of each loop into dir.
func drawLoops(dir, format string, all []margins.Studied) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for i := range all {
		var picture bytes.Buffer
		name := all[i].Loop.String()
		if err := plots.Bode(&picture, "Open loop: "+name, &all[i], format); err != nil {
			return err
		}
		file := filepath.Join(dir, strings.ReplaceAll(name, " ", "-")+"."+format)
		if err := os.WriteFile(file, picture.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}
