package main

import (
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"lapwing/render/flow"
	"lapwing/render/settings"
	"lapwing/render/station"
	"lapwing/render/window"
	"lapwing/sim/folder"
)

// Exit codes, as those of lapwing.
const (
	exitUsage    = 2
	exitInternal = 3
)

// options are the flags.
type options struct {
	station  station.Options
	view     string
	settings string
	seconds  float64
}

var views = map[string]flow.View{"pilot": flow.PilotsPlace, "following": flow.Following, "top": flow.Top}

func run(args []string, out, errOut io.Writer) int {
	cmd := newCommand(out, errOut)
	cmd.SetArgs(args)
	if err := cmd.Execute(); err != nil {
		fmt.Fprintln(errOut, "lapwing-station:", err)
		if errors.Is(err, errInside) {
			return exitInternal
		}
		return exitUsage
	}
	return 0
}

func newCommand(out, errOut io.Writer) *cobra.Command {
	var o options
	cmd := &cobra.Command{
		Use:   "lapwing-station [SCENARIO]",
		Short: "Fly in a window",
		Long: `Fly it yourself: free flight first, then scenarios and courses. With a scenario it
goes to its briefing at once. Nothing here needs a network.`,
		Example:       "  lapwing-station\n  lapwing-station hover-in-attitude --seed 3",
		Version:       folder.Version,
		Args:          cobra.MaximumNArgs(1),
		SilenceUsage:  true,
		SilenceErrors: true,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				o.station.Scenario = args[0]
			}
			return open(&o)
		},
	}
	flags := cmd.Flags()
	s := &o.station
	flags.StringVar(&s.Pilot, "pilot", "", "a modelled pilot at the sticks: none, novice, trained, expert, ideal; left out: yourself")
	flags.Uint64Var(&s.Seed, "seed", 1, "seed of all that is random")
	flags.StringVar(&s.Instead.Craft, "craft", "", "craft, a name or a file, in place of the scenario's")
	flags.StringVar(&s.Instead.Room, "room", "", "room, a name or a file, in place of the scenario's")
	flags.StringVar(&s.Instead.Law, "law", "", "law, a name or a file, that overrides gains and limits")
	flags.StringSliceVar(&s.Instead.Procedures, "procedures", nil, "procedures, a name or a file, that override what counts as right")
	flags.StringVar(&o.view, "view", "pilot", "pilot, following or top")
	flags.Float64Var(&s.Scale, "scale", 1, "size of letters, 0.7 to 3, on top of what is chosen inside")
	flags.BoolVar(&s.Cage, "cage", false, "show the edges of where the craft may fly")
	flags.BoolVar(&s.Mute, "mute", false, "no sound")
	flags.StringVar(&s.Out, "out", "", "folder under which flights are kept; left out: beside the settings")
	flags.StringVar(&o.settings, "settings", "", "folder of the settings; left out: the user's own")
	flags.Float64Var(&o.seconds, "for", 0, "close after so many seconds, 0 for never")
	cmd.SetOut(out)
	cmd.SetErr(errOut)
	return cmd
}

// errInside marks what is no fault of the person or the machine.
var errInside = errors.New("internal error")

// open opens the window and flies until it is closed.
func open(o *options) (err error) {
	view, known := views[o.view]
	if !known || o.station.Scale < 0.7 || o.station.Scale > 3 {
		return errors.New("--view is pilot, following or top, --scale 0.7 to 3")
	}
	o.station.View = view
	if o.station.Store, err = settings.Open(); o.settings != "" {
		o.station.Store, err = settings.Store{Dir: o.settings}, nil
	}
	if err != nil {
		return err
	}
	w, err := window.Open(window.Options{Title: "Lapwing", Width: 1280, Height: 720, VSync: true})
	if err != nil {
		return err
	}
	defer w.Close()
	s, err := station.New(w, o.station)
	if err != nil {
		return err
	}
	defer s.Close()
	for !s.Closed() {
		if err := s.Frame(); err != nil {
			return fmt.Errorf("%w: %w", errInside, err)
		}
		if o.seconds > 0 && w.Now() > time.Duration(o.seconds*float64(time.Second)) {
			w.EndSoon()
		}
	}
	return nil
}
