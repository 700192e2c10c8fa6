package conform

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/scenarios"
	"lapwing/sim/ability"
	"lapwing/sim/control"
	"lapwing/sim/estimate"
	"lapwing/sim/safety"
)

// benchFor is a craft of the catalogue with the built-in law on it.
func benchFor(t testing.TB, craft string) *Bench {
	t.Helper()
	place := ability.StandardPlace()
	file, err := scenarios.LoadCraft(scenarios.Catalogue(), craft, &place)
	require.NoError(t, err)
	p := control.Design(&file.Craft, &place, nil)
	return &Bench{Craft: &file.Craft, Place: &place, Law: &p}
}

// spoilt is a whole law in Go: the built-in one with what it is told, or what it
// says, spoilt.
type spoilt struct {
	p     *control.Params
	s     control.State
	told  func(in *control.Input, b *estimate.Belief, st *safety.Status)
	said  func(out *control.Output)
	error error
}

func (l *spoilt) Stage() control.Stage { return control.Whole }

func (l *spoilt) Act(in *control.Input, _ *control.Want, out *control.Answer) error {
	other, b, st := *in, *in.Belief, *in.Status
	other.Belief, other.Status = &b, &st
	if l.told != nil {
		l.told(&other, &b, &st)
	}
	var duties control.Output
	control.Law(l.p, &l.s, &other, &duties)
	if l.said != nil {
		l.said(&duties)
	}
	out.Duty = duties.Duty
	return l.error
}

func (l *spoilt) Save() (control.Saved, error) { kept := *l; return keptLaw{kept}, nil }
func (l *spoilt) Close() error                 { return nil }

type keptLaw struct{ law spoilt }

func (k keptLaw) Start() (control.Guest, error) { l := k.law; return &l, nil }

// Goal: the built-in law passes on every craft of the catalogue, and so it does
// as a whole law from outside.
func TestBuiltInPasses(t *testing.T) {
	for _, craft := range scenarios.Names(scenarios.KindCraft) {
		b := benchFor(t, craft)
		r, err := Check(b)
		require.NoError(t, err, craft)
		assert.Empty(t, r.Found, craft)
		assert.Greater(t, r.Checks, 40)
	}
	b := benchFor(t, "quad-500g")
	b.Stage, b.Start = control.Whole, func() (control.Guest, error) { return &spoilt{p: b.Law}, nil }
	r, err := Check(b)
	require.NoError(t, err)
	assert.Empty(t, r.Found)
}

// Goal: each mistake that people make is named. Method: one law for each, the
// built-in one with that one mistake put in.
func TestMistakesAreNamed(t *testing.T) {
	count := 0
	for _, c := range []struct {
		name string
		told func(in *control.Input, b *estimate.Belief, st *safety.Status)
		said func(out *control.Output)
		want string
	}{
		{"roll rate", func(_ *control.Input, b *estimate.Belief, _ *safety.Status) { b.OmegaB.X = -b.OmegaB.X }, nil,
			"a positive roll rate (right side going down) was answered by more positive roll moment (right side down), where there should be negative"},
		{"yaw rate", func(_ *control.Input, b *estimate.Belief, _ *safety.Status) { b.OmegaB.Z = -b.OmegaB.Z }, nil,
			"a positive yaw rate (turning left) was answered by more positive yaw moment"},
		{"axes exchanged", func(_ *control.Input, b *estimate.Belief, _ *safety.Status) {
			b.OmegaB.X, b.OmegaB.Y = b.OmegaB.Y, b.OmegaB.X
		}, nil,
			"a positive roll rate (right side going down) was answered mostly by pitch moment"},
		{"attitude the wrong way round", func(_ *control.Input, b *estimate.Belief, _ *safety.Status) { b.QWB = b.QWB.Conj() }, nil,
			"a lean to the right was answered by more positive roll moment"},
		{"no roll stick", func(in *control.Input, _ *estimate.Belief, _ *safety.Status) { in.Hands.Roll = 0 }, nil,
			"the roll stick to the right, in rate was not answered"},
		{"pitch stick", func(in *control.Input, _ *estimate.Belief, _ *safety.Status) { in.Hands.Pitch = -in.Hands.Pitch }, nil,
			"the pitch stick forward, in attitude was answered by more negative pitch moment"},
		{"velocity in body axes", func(_ *control.Input, b *estimate.Belief, _ *safety.Status) { b.VelW = b.QWB.RotateInv(b.VelW) }, nil,
			"moving along x of the room, in position-hold, with the nose turned left by 90° was answered mostly by pitch moment"},
		{"position", func(_ *control.Input, b *estimate.Belief, _ *safety.Status) { b.PosW.Y = -b.PosW.Y }, nil,
			"too far left, in position-hold was answered by more negative roll moment"},
		{"z down", func(_ *control.Input, b *estimate.Belief, _ *safety.Status) { b.VelW.Z = -b.VelW.Z }, nil,
			"climbing by itself, in height-hold was answered by more positive thrust"},
		{"one of two quaternions", func(_ *control.Input, b *estimate.Belief, _ *safety.Status) {
			if b.QWB.W < 0 {
				b.QWB = kernel.Quat{W: 1}
			}
		}, nil, "q and −q are one attitude"},
		{"duties past full", nil, func(out *control.Output) {
			for i := range out.Duty {
				out.Duty[i] *= 1.6
			}
		}, "a duty outside 0 … 1"},
		{"chance", nil, func(out *control.Output) { count++; out.Duty[0] += 1e-9 * float64(count%7) }, "the same questions were answered otherwise"},
		{"sticks of a lost link", func(_ *control.Input, _ *estimate.Belief, st *safety.Status) { st.Link = safety.LinkGood }, nil,
			"with the link lost it still follows the sticks"},
		{"lifts off by itself", func(_ *control.Input, _ *estimate.Belief, st *safety.Status) { st.Landed = false }, func(out *control.Output) {
			for i := range out.Duty {
				out.Duty[i] = max(out.Duty[i], 0.4)
			}
		}, "standing on the floor with the throttle lowest"},
		{"far too quick", func(_ *control.Input, b *estimate.Belief, _ *safety.Status) { b.OmegaB = b.OmegaB.Scale(30) }, nil, "it did not come to rest"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := benchFor(t, "quad-500g")
			b.Stage, b.Start = control.Whole, func() (control.Guest, error) { return &spoilt{p: b.Law, told: c.told, said: c.said}, nil }
			r, err := Check(b)
			require.NoError(t, err)
			assert.False(t, r.Sound())
			assert.Contains(t, says(&r), c.want)
		})
	}
}

func says(r *Report) string {
	var lines []string
	for _, f := range r.Found {
		lines = append(lines, f.Says)
	}
	return strings.Join(lines, "\n")
}

// Goal: an error of the law is an error, not a finding.
func TestErrorsOfTheLaw(t *testing.T) {
	b := benchFor(t, "quad-500g")
	boom := errors.New("boom")
	b.Stage, b.Start = control.Whole, func() (control.Guest, error) { return &spoilt{p: b.Law, error: boom}, nil }
	_, err := Check(b)
	assert.ErrorIs(t, err, boom)
	b.Start = func() (control.Guest, error) {
		return &spoilt{p: b.Law, said: func(out *control.Output) { out.Duty[2] = math.NaN() }}, nil
	}
	_, err = Check(b)
	assert.ErrorContains(t, err, "the duty of rotor 2 is NaN")
	b.Start = func() (control.Guest, error) { return nil, boom }
	_, err = Check(b)
	assert.ErrorIs(t, err, boom)
}

// oneStage takes one stage with the plainest law there is, times sign.
type oneStage struct {
	stage control.Stage
	p     *control.Params
	sign  float64
}

func (l oneStage) Stage() control.Stage          { return l.stage }
func (l oneStage) Save() (control.Saved, error)  { return l, nil }
func (l oneStage) Start() (control.Guest, error) { return l, nil }
func (l oneStage) Close() error                  { return nil }

func (l oneStage) Act(in *control.Input, want *control.Want, out *control.Answer) error {
	b, g, p := in.Belief, &l.p.Gains, l.p
	switch l.stage {
	case control.Position:
		d := want.PosW.Sub(b.PosW).Scale(l.sign * g.Position)
		if n := d.Norm(); n > p.Limits.HoldSpeed {
			d = d.Scale(p.Limits.HoldSpeed / n)
		}
		out.VelW = want.VelW.Add(d)
	case control.Velocity:
		d := want.VelW.Sub(b.VelW).Scale(l.sign * g.Velocity)
		if n := d.NormXY(); n > p.Limits.Accel {
			d = d.Scale(p.Limits.Accel / n)
		}
		out.Lift = max(0.3*p.Weight, p.Mass*(p.Gravity+d.Z))
		out.ZW = kernel.Vec3{X: d.X, Y: d.Y, Z: p.Gravity}.Unit(kernel.Vec3{Z: 1})
	case control.Attitude:
		z := b.QWB.RotateInv(want.ZW)
		heading := math.Sin(want.Yaw - b.QWB.Yaw())
		if math.Cos(want.Yaw-b.QWB.Yaw()) < 0 {
			heading = math.Copysign(1, heading)
		}
		out.RateB = kernel.Vec3{X: -g.Attitude * z.Y, Y: g.Attitude * z.X, Z: g.Yaw*heading + want.YawRate}.Scale(l.sign)
		out.Thrust = want.Thrust
	case control.Rate:
		d := want.RateB.Sub(b.OmegaB).Scale(l.sign)
		out.MomentB = p.Inertia.MulVec(kernel.Vec3{X: g.Rate.X * d.X, Y: g.Rate.Y * d.Y, Z: g.Rate.Z * d.Z})
	}
	return nil
}

// Goal: each stage can be taken by itself, passes when it is right, and is named
// when its sign is not.
func TestEachStage(t *testing.T) {
	for _, c := range []struct {
		stage control.Stage
		wrong string
	}{
		{control.Position, "too far forward, in position-hold was answered by more positive pitch moment"},
		{control.Velocity, "moving forward by itself, in position-hold was answered by more positive pitch moment"},
		{control.Attitude, "a lean to the right was answered by more positive roll moment"},
		{control.Rate, "a positive roll rate (right side going down) was answered by more positive roll moment"},
	} {
		b := benchFor(t, "quad-500g")
		for _, sign := range []float64{1, -1} {
			b.Stage, b.Start = c.stage, func() (control.Guest, error) { return oneStage{c.stage, b.Law, sign}, nil }
			r, err := Check(b)
			require.NoError(t, err)
			if sign > 0 {
				assert.Empty(t, r.Found, c.stage)
			} else {
				assert.Contains(t, says(&r), c.wrong, c.stage)
			}
		}
	}
}
