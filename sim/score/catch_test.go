package score_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
	"lapwing/sim/pilot"
	"lapwing/sim/score"
)

// landsEarly flies the plan, and lands as soon as it hovers.
type landsEarly struct {
	pilot.Pilot
	cut bool // by cutting off
}

func (l landsEarly) Act(p *percept.Percept, h *hands.Hands) {
	l.Pilot.Act(p, h)
	if p.Tick < 16000 {
		return
	}
	h.Call, h.Step, h.Response = hands.CallNone, hands.StepNone, hands.PositionHold
	h.Roll, h.Pitch, h.Yaw, h.CutOff = 0, 0, 0, h.CutOff || l.cut
	h.Throttle = 250
	if p.OnFloor {
		h.Throttle, h.Armed = 0, false
	}
}

// Goal: in a run where only something harmless comes, flying on and landing early
// both pass, and a cut-off does not. Method: a light gust and a silent station in
// a run without an event; who flies on, who lands, who cuts off.
func TestFlyingOnAndLandingPassAHarmlessSign(t *testing.T) {
	b, err := scenarios.Load(scenarios.Catalogue(), "nothing-happens")
	require.NoError(t, err)
	c := b.Rehearsal(2)
	c.Injects = inject.Plan{Count: 2}
	onset := inject.Onset{After: inject.MarkHover}
	c.Injects.Injects[0] = inject.Inject{Kind: inject.Gust, Severity: 0.5, RampTicks: 500, LastsTicks: 3000, Onset: onset}
	c.Injects.Injects[1] = inject.Inject{Kind: inject.TelemetryLost, Severity: 1, LastsTicks: 3000, Onset: onset}
	c.Drill.Demands[0].AnyOf[1], c.Drill.Demands[0].Count = judge.Deed{Kind: judge.DeedTouchdown}, 2
	for _, tc := range []struct {
		name string
		fly  func(p pilot.Pilot) pilot.Pilot
		want score.Verdict
	}{
		{"flies on", func(p pilot.Pilot) pilot.Pilot { return p }, score.Go},
		{"lands", func(p pilot.Pilot) pilot.Pilot { return landsEarly{p, false} }, score.Go},
		{"cuts off", func(p pilot.Pilot) pilot.Pilot { return landsEarly{p, true} }, score.NoGo},
	} {
		nobody, err := c.Pilot("none", nil)
		require.NoError(t, err)
		r := sim.Run(&c, tc.fly(nobody))
		a := score.Assess(&c, &r, score.Available{})
		assert.Equal(t, tc.want, a.Verdict, "%s: %v", tc.name, a.Reasons)
		require.NotNil(t, a.OnsetS, tc.name)
		assert.Nil(t, a.CueS, tc.name)
	}
}
