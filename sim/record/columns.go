package record

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"lapwing/dynamics"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
)

// Column is one column of an exported table.
type Column struct {
	Name    string `json:"name"`
	Unit    string `json:"unit"`  // "1" for a number without one, "" for words
	Frame   string `json:"frame"` // axes, or "" where there are none
	Meaning string `json:"meaning"`

	text func(w *sim.World) string
}

// The frames in which vectors are given.
const (
	room = "room: x, y level, z up"
	body = "body: x forward, y left, z up"
	both = "body to room"
)

// Columns returns the columns of a table of a craft with so many rotors, in
// their order. Those of a real flight's log have the same names there, so an
// exported flight can be identified like a logged one.
func Columns(rotors int) []Column {
	var all []Column
	for _, group := range [][]Column{truthColumns(), beliefColumns(), handsColumns(), statusColumns(),
		batteryColumns(), rotorColumns(min(rotors, dynamics.MaxRotors)), flagColumns()} {
		all = append(all, group...)
	}
	return all
}

// number formats the shortest decimal number that gives back the same float64.
func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

func whole(x int64) string { return strconv.FormatInt(x, 10) }

func flag(x bool) string {
	if x {
		return "1"
	}
	return "0"
}

// scalar is a column of one number.
func scalar(name, unit, frame, meaning string, of func(w *sim.World) float64) Column {
	return Column{name, unit, frame, meaning, func(w *sim.World) string { return number(of(w)) }}
}

// vector is three columns: x, y and z stand where the name has a %s.
func vector(name, unit, frame, meaning string, of func(w *sim.World) dynamics.Vec3) []Column {
	part := func(axis string, pick func(v dynamics.Vec3) float64) Column {
		return scalar(fmt.Sprintf(name, axis), unit, frame, meaning+", "+axis, func(w *sim.World) float64 { return pick(of(w)) })
	}
	return []Column{
		part("x", func(v dynamics.Vec3) float64 { return v.X }),
		part("y", func(v dynamics.Vec3) float64 { return v.Y }),
		part("z", func(v dynamics.Vec3) float64 { return v.Z }),
	}
}

// quaternion is four columns.
func quaternion(prefix, meaning string, of func(w *sim.World) dynamics.Quat) []Column {
	meaning += ", Hamilton quaternion, "
	return []Column{
		scalar(prefix+"qw", "1", both, meaning+"scalar part", func(w *sim.World) float64 { return of(w).W }),
		scalar(prefix+"qx", "1", both, meaning+"x", func(w *sim.World) float64 { return of(w).X }),
		scalar(prefix+"qy", "1", both, meaning+"y", func(w *sim.World) float64 { return of(w).Y }),
		scalar(prefix+"qz", "1", both, meaning+"z", func(w *sim.World) float64 { return of(w).Z }),
	}
}

func join(groups ...[]Column) (all []Column) {
	for _, g := range groups {
		all = append(all, g...)
	}
	return all
}

func truthColumns() []Column {
	return join([]Column{
		{"tick", "ms", "", "ticks of a millisecond since the start; the row is the state after them", func(w *sim.World) string { return whole(w.Tick) }},
		scalar("t_s", "s", "", "time since the start", func(w *sim.World) float64 { return float64(w.Tick) / sim.TicksPerSecond }),
	},
		vector("p%s_m", "m", room, "true position of the centre of gravity", func(w *sim.World) dynamics.Vec3 { return w.Craft.PosW }),
		quaternion("", "true attitude", func(w *sim.World) dynamics.Quat { return w.Craft.QWB }),
		vector("v%s_mps", "m/s", room, "true velocity", func(w *sim.World) dynamics.Vec3 { return w.Craft.VelW }),
		vector("f%s_mps2", "m/s²", body, "true specific force at the centre of gravity, mean over the last tick", func(w *sim.World) dynamics.Vec3 { return w.Craft.SpecificForceB }),
		vector("w%s_radps", "rad/s", body, "true body rate", func(w *sim.World) dynamics.Vec3 { return w.Craft.OmegaB }),
	)
}

func beliefColumns() []Column {
	return join(
		vector("belief_p%s_m", "m", room, "position as the craft estimates it", func(w *sim.World) dynamics.Vec3 { return w.Estimate.Belief.PosW }),
		quaternion("belief_", "attitude as the craft estimates it", func(w *sim.World) dynamics.Quat { return w.Estimate.Belief.QWB }),
		vector("belief_v%s_mps", "m/s", room, "velocity as the craft estimates it", func(w *sim.World) dynamics.Vec3 { return w.Estimate.Belief.VelW }),
		vector("error_p%s_m", "m", room, "estimated less true position", func(w *sim.World) dynamics.Vec3 { return w.Estimate.Belief.PosW.Sub(w.Craft.PosW) }),
		vector("error_v%s_mps", "m/s", room, "estimated less true velocity", func(w *sim.World) dynamics.Vec3 { return w.Estimate.Belief.VelW.Sub(w.Craft.VelW) }),
		[]Column{
			scalar("error_angle_rad", "rad", "", "angle between estimated and true attitude", func(w *sim.World) float64 {
				return w.Craft.QWB.Conj().Mul(w.Estimate.Belief.QWB).Log().Norm()
			}),
			scalar("belief_sigma_m", "m", room, "standard deviation of horizontal position that the estimate claims", func(w *sim.World) float64 { return w.Estimate.Belief.SigmaPos }),
			scalar("belief_nis", "1", "", "normalised innovation squared of the camera's last pose; 6 in the mean when consistent", func(w *sim.World) float64 { return w.Estimate.Belief.NIS }),
			{"camera", "", "", "what the operator is told of the camera: agrees, is doubtful, disagrees", func(w *sim.World) string { return w.Estimate.Belief.Health.String() }},
		})
}

func handsColumns() []Column {
	stick := func(name, meaning string, of func(h *hands.Hands) int16) Column {
		return Column{name, "1/1000", "", meaning + ", thousandths of full travel", func(w *sim.World) string { return whole(int64(of(&w.Hands))) }}
	}
	return []Column{
		stick("stick_throttle", "throttle stick, 0 lowest", func(h *hands.Hands) int16 { return h.Throttle }),
		stick("stick_roll", "roll stick, right positive", func(h *hands.Hands) int16 { return h.Roll }),
		stick("stick_pitch", "pitch stick, forward positive", func(h *hands.Hands) int16 { return h.Pitch }),
		stick("stick_yaw", "yaw stick, right positive", func(h *hands.Hands) int16 { return h.Yaw }),
		{"response_asked", "", "", "response type that the selector asks for", func(w *sim.World) string { return w.Hands.Response.String() }},
		{"arming_switch", "1", "", "1 while the arming switch is on", func(w *sim.World) string { return flag(w.Hands.Armed) }},
		{"cut_off_switch", "1", "", "1 while the hands hold the motor cut-off engaged", func(w *sim.World) string { return flag(w.Hands.CutOff) }},
		{"call", "", "", "what is called aloud now", func(w *sim.World) string { return w.Hands.Call.String() }},
		{"step", "", "", "step of a procedure taken now", func(w *sim.World) string { return w.Hands.Step.String() }},
		{"item", "", "", "what the step is about: a place of the inspection list, a move of the carry; from 0", func(w *sim.World) string { return strconv.Itoa(int(w.Hands.Item)) }},
	}
}

func statusColumns() []Column {
	return []Column{
		{"response_actual", "", "", "response type in force on the craft", func(w *sim.World) string { return w.Safety.Status.Response.String() }},
		{"armed", "1", "", "1 while the craft is armed", func(w *sim.World) string { return flag(w.Safety.Status.Armed) }},
		{"cut_off", "1", "", "1 while the motor cut-off is in force on the craft", func(w *sim.World) string { return flag(w.Safety.Status.CutOff) }},
		{"motors_on", "1", "", "1 while the law may turn the motors", func(w *sim.World) string { return flag(w.Safety.Status.MotorsOn) }},
		{"link", "", "", "what the craft makes of the link: good, stale, lost", func(w *sim.World) string { return w.Safety.Status.Link.String() }},
		scalar("link_age_s", "s", "", "time since the newest frame heard was sent", func(w *sim.World) float64 { return float64(w.Heard.Age) / sim.TicksPerSecond }),
	}
}

func batteryColumns() []Column {
	return []Column{
		scalar("cell_V", "V", "", "true voltage of each cell under load", func(w *sim.World) float64 { return w.Craft.Cell.Volts }),
		scalar("current_A", "A", "", "current from the pack", func(w *sim.World) float64 { return w.Craft.Cell.Current }),
		scalar("charge", "1", "", "charge left, 0 to 1", func(w *sim.World) float64 { return w.Craft.Cell.Charge }),
		{"battery", "", "", "what the operator is told of the pack: good, caution, critical", func(w *sim.World) string { return w.Safety.Status.Battery.String() }},
	}
}

func rotorColumns(rotors int) (all []Column) {
	for i := range rotors {
		all = append(all, scalar("u"+strconv.Itoa(i+1), "1", "", fmt.Sprintf("duty commanded to rotor %d, 0 to 1; rotors in the order of the craft file", i+1),
			func(w *sim.World) float64 { return w.Input.Duty[i] }))
	}
	for i := range rotors {
		all = append(all, scalar(fmt.Sprintf("rotor_%d_radps", i+1), "rad/s", "", fmt.Sprintf("speed of rotor %d", i+1),
			func(w *sim.World) float64 { return w.Craft.RotorSpeed[i] }))
	}
	for i := range rotors {
		all = append(all, scalar(fmt.Sprintf("thrust_%d_N", i+1), "N", "", fmt.Sprintf("thrust of rotor %d, mean over the last tick", i+1),
			func(w *sim.World) float64 { return w.Craft.Thrust[i] }))
	}
	return all
}

func flagColumns() []Column {
	since := func(of func(f *judge.Facts) int64) func(w *sim.World) string {
		return func(w *sim.World) string { return flag(of(&w.Judge) != judge.Never) }
	}
	return []Column{
		{"touching", "1", "", "1 while the craft touches anything", func(w *sim.World) string { return flag(w.Craft.Touch.Kinds != 0) }},
		{"onset", "1", "", "1 from the moment at which the first inject began", since(func(f *judge.Facts) int64 { return f.Onset })},
		{"cue", "1", "", "1 from the moment at which a person could perceive it", since(func(f *judge.Facts) int64 { return f.Cue })},
		{"hard", "1", "", "1 from the hard outcome on", since(func(f *judge.Facts) int64 { return f.Hard })},
	}
}

// WriteColumns writes the columns as a Markdown table.
func WriteColumns(w io.Writer, columns []Column) error {
	if _, err := io.WriteString(w, "| column | unit | frame | meaning |\n| --- | --- | --- | --- |\n"); err != nil {
		return err
	}
	for _, c := range columns {
		cells := []string{"`" + c.Name + "`", c.Unit, c.Frame, c.Meaning}
		for i := range cells {
			cells[i] = strings.ReplaceAll(cells[i], "|", "\\|")
		}
		if _, err := fmt.Fprintf(w, "| %s |\n", strings.Join(cells, " | ")); err != nil {
			return err
		}
	}
	return nil
}
