package scenarios

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/inject"
)

// withInject is the sound scenario with another inject in place of its own.
func withInject(t *testing.T, keys string) (*Bundle, error) {
	t.Helper()
	text, err := os.ReadFile("testdata/good-scenario.yaml")
	require.NoError(t, err)
	before, rest, ok := strings.Cut(string(text), "  - inject: motor-failure")
	require.True(t, ok)
	_, after, ok := strings.Cut(rest, "drill:")
	require.True(t, ok)
	file := fmt.Sprintf("%s  - {inject: %s, onset: {after: position-hold, delay_s: 2}}\ndrill:%s", before, keys, after)
	return Load(single{Document{Kind: KindScenario, Name: "it", File: "it.yaml", Text: []byte(file)}}, "it")
}

// Goal: what a file says of an inject arrives in its units, and what it leaves
// out as told. Method: each kind with every key it has; then the defaults.
func TestInjectsArrive(t *testing.T) {
	const forever = inject.Forever
	quarter := math.Pi / 2 // 90 degrees
	cases := []struct {
		keys string
		want inject.Inject
	}{
		{"estimate-drift, speed_m_s: 0.3, direction_deg: 90, ramp_s: 1, lasts_s: 4",
			inject.Inject{Kind: inject.EstimateDrift, Severity: 0.3, Direction: quarter, RampTicks: 1000, LastsTicks: 4000}},
		{"estimate-jump, step_m: 2, direction_deg: 0", inject.Inject{Kind: inject.EstimateJump, Severity: 2}},
		{"estimate-runaway, acceleration_m_s2: 2, direction_deg: 0", inject.Inject{Kind: inject.EstimateRunaway, Severity: 2}},
		{"heading-error, angle_deg: -90", inject.Inject{Kind: inject.HeadingError, Severity: -quarter}},
		{"vision-lost", inject.Inject{Kind: inject.VisionLost, Severity: 1}},
		{"vision-lost, how: dark, ramp_s: 2", inject.Inject{Kind: inject.VisionLost, Severity: 1, How: inject.Dark, RampTicks: 2000}},
		{"height-step, step_m: -1.5, lasts_s: 3", inject.Inject{Kind: inject.HeightStep, Severity: -1.5, LastsTicks: 3000}},
		{"height-lost", inject.Inject{Kind: inject.HeightLost, Severity: 1}},
		{"inertial-fault, rate_deg_s: 90", inject.Inject{Kind: inject.InertialFault, Severity: quarter}},
		{"inertial-fault, rate_deg_s: 90, direction_deg: -90", inject.Inject{Kind: inject.InertialFault, Severity: quarter, Direction: -quarter}},
		{"path-astray, speed_m_s: 0.8, direction_deg: 90", inject.Inject{Kind: inject.PathAstray, Severity: 0.8, Direction: quarter}},
		{"computer-dead", inject.Inject{Kind: inject.ComputerDead, Severity: 1}},
		{"lost-link, lasts_s: 2", inject.Inject{Kind: inject.LostLink, Severity: 1, LastsTicks: 2000}},
		{"link-stutter, lost_share: 0.6, ramp_s: 1", inject.Inject{Kind: inject.LinkStutter, Severity: 0.6, RampTicks: 1000}},
		{"lost-link-action-fails", inject.Inject{Kind: inject.ActionFails, Severity: 1}},
		{"telemetry-lost", inject.Inject{Kind: inject.TelemetryLost, Severity: 1}},
		{"other-craft", inject.Inject{Kind: inject.OtherCraft, Severity: 1}},
		{"stuck-axis, axis: pitch, at_share: -0.4", inject.Inject{Kind: inject.StuckAxis, Severity: 1, Axis: inject.AxisPitch, At: -0.4}},
		{"response-type-denied", inject.Inject{Kind: inject.HoldDenied, Severity: 1}},
		{"landing-missed", inject.Inject{Kind: inject.LandingMissed, Severity: 1}},
		{"arms-itself", inject.Inject{Kind: inject.ArmsItself, Severity: 1}},
		{"cut-off-fails", inject.Inject{Kind: inject.CutOffFails, Severity: 1}},
		{"motor-failure, rotor: all, lost_share: 0.2", inject.Inject{Kind: inject.MotorFailure, Severity: 0.2, Rotor: inject.AllRotors}},
		{"thrust-loss, rotor: rear-left, lost_share: 1.5", inject.Inject{Kind: inject.ThrustLoss, Severity: 1.5, Rotor: 1}},
		{"rotors-swapped, rotor: front-left, with: rear-right", inject.Inject{Kind: inject.RotorsSwapped, Severity: 1, Rotor: 0, Partner: 2}},
		{"voltage-sag, drop_v: 0.4", inject.Inject{Kind: inject.VoltageSag, Severity: 0.4}},
		{"power-loss, lasts_s: 1", inject.Inject{Kind: inject.PowerLoss, Severity: 1, LastsTicks: 1000}},
		{"battery-shift, shift_m: 0.02, direction_deg: 90, ramp_s: 0.5", inject.Inject{Kind: inject.BatteryShift, Severity: 0.02, Direction: quarter, RampTicks: 500}},
		{"battery-fire", inject.Inject{Kind: inject.BatteryFire, Severity: 1}},
		{"gust, speed_m_s: 3, direction_deg: 0", inject.Inject{Kind: inject.Gust, Severity: 3}},
		{"person-enters, speed_m_s: 1.2, direction_deg: 90, distance_m: 3, ramp_s: 1",
			inject.Inject{Kind: inject.PersonEnters, Severity: 1.2, Direction: quarter, Distance: 3, RampTicks: 1000}},
		{"hover-mark-wrong, off_share: -0.2", inject.Inject{Kind: inject.HoverMarkWrong, Severity: -0.2}},
		{"nose-mistaken", inject.Inject{Kind: inject.NoseMistaken, Severity: 1}},
		{"video-frozen", inject.Inject{Kind: inject.VideoFrozen, Severity: 1}},
	}
	read := map[inject.Kind]bool{}
	for _, c := range cases {
		b, err := withInject(t, c.keys)
		require.NoError(t, err, c.keys)
		got := b.Injects.Injects[0]
		if c.want.LastsTicks == 0 {
			c.want.LastsTicks = forever
		}
		c.want.Onset = inject.Onset{After: inject.MarkPositionHold, DelayTicks: 2000}
		assert.InDelta(t, c.want.Severity, got.Severity, 1e-12, c.keys)
		assert.InDelta(t, c.want.Direction, got.Direction, 1e-12, c.keys)
		c.want.Severity, c.want.Direction = got.Severity, got.Direction
		assert.Equal(t, c.want, got, c.keys)
		read[got.Kind] = true
	}
	assert.Len(t, read, len(inject.KindWords()), "every kind is read")
}

// Goal: an inject may wait for another one, not for itself. Method: alone, and
// beside one that comes by itself.
func TestInjectWaitsForAnother(t *testing.T) {
	text, err := os.ReadFile("testdata/good-scenario.yaml")
	require.NoError(t, err)
	before, rest, ok := strings.Cut(string(text), "  - inject: motor-failure")
	require.True(t, ok)
	_, after, ok := strings.Cut(rest, "drill:")
	require.True(t, ok)
	waits := "  - {inject: power-loss, onset: {after: event, delay_s: 2}}\n"
	file := func(injects string) single {
		return single{Document{Kind: KindScenario, Name: "it", File: "it.yaml", Text: []byte(before + injects + "drill:" + after)}}
	}
	_, err = Load(file(waits), "it")
	assert.ErrorContains(t, err, "there is nothing to wait for")
	b, err := Load(file(waits+"  - {inject: battery-shift, shift_m: 0.02, direction_deg: 0, onset: {after: hover}}\n"), "it")
	require.NoError(t, err)
	assert.Equal(t, inject.MarkEvent, b.Injects.Injects[0].Onset.After)
}
