package inject

import (
	"maps"
	"math"
	"reflect"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
)

// sound is a valid inject of kind k at full, plain severity, from tick 0 on.
func sound(k Kind) Inject {
	in := Inject{Kind: k, Severity: min(1, kinds[k].max), LastsTicks: Forever}
	switch k {
	case StuckAxis:
		in.Axis, in.At = AxisPitch, 0.4
	case RotorsSwapped:
		in.Rotor, in.Partner = 0, 3
	case PersonEnters:
		in.Distance = 2.5
	}
	return in
}

func planOf(injects ...Inject) Plan {
	var p Plan
	p.Count = copy(p.Injects[:], injects)
	return p
}

// effectsAt runs p from tick 0 to tick with no mark but the start passed.
func effectsAt(p *Plan, tick int64) (Effects, State) {
	s, m, fx := Start(p), NoMarks(), Effects{}
	for t := range tick + 1 {
		Due(p, &s, &m, 1, t, &fx)
	}
	return fx, s
}

// Goal: the random wait is exponential with its mean, and all that would be
// longer than the cap comes at the cap. Method: 50,000 seeds; the mean of a wait
// capped at c is μ(1 − e^(−c/μ)) and the share at the cap is e^(−c/μ)
// (elementary); its whole distribution against the exponential's by the
// Kolmogorov–Smirnov distance, critical value 1.95/√n at 0.1 % (Smirnov, 1948,
// from memory). Rounding to ticks moves a wait by half a tick at most.
func TestOnsetDistribution(t *testing.T) {
	const n, floor, mean, cap = 50_000, 3000, 4000.0, 9000.0
	p := planOf(Inject{Kind: Gust, LastsTicks: Forever,
		Onset: Onset{After: MarkHover, DelayTicks: floor, MeanTicks: mean, CapTicks: cap}})
	require.NoError(t, p.Validate(4))
	m := NoMarks()
	m.Note(MarkHover, true, 500)
	waits := make([]float64, n)
	sum, atCap := 0.0, 0.0
	for i := range waits {
		s, fx := Start(&p), Effects{}
		Due(&p, &s, &m, uint64(i), 500, &fx)
		waits[i] = float64(s.Due[0] - 500 - floor)
		sum += waits[i]
		if waits[i] == cap {
			atCap++
		}
	}
	sort.Float64s(waits)
	assert.GreaterOrEqual(t, waits[0], 0.0)
	assert.Equal(t, cap, waits[n-1])
	share := math.Exp(-cap / mean)
	assert.InDelta(t, share, atCap/n, 3*math.Sqrt(share*(1-share)/n))
	second := 2 * mean * (mean - (mean+cap)*share) // E[min(X,c)²] = 2μ(μ − (μ+c)e^(−c/μ))
	want := mean * (1 - share)
	assert.InDelta(t, want, sum/n, 3*math.Sqrt((second-want*want)/n))
	worst := 0.0
	for i, w := range waits {
		if w < cap {
			worst = math.Max(worst, math.Abs(1-math.Exp(-w/mean)-(float64(i)+.5)/n))
		}
	}
	assert.Less(t, worst, 1.95/math.Sqrt(n))
}

// Goal: an onset depends on seed and place in the plan only, and the two
// injects of one plan are not drawn alike.
func TestOnsetDeterminism(t *testing.T) {
	random := Inject{Kind: Gust, Severity: 1, LastsTicks: Forever, Onset: Onset{MeanTicks: 4000, CapTicks: 60_000}}
	one, two := planOf(random), planOf(random, random)
	m := NoMarks()
	due := func(p *Plan, seed uint64) [MaxInjects]int64 {
		s, fx := Start(p), Effects{}
		Due(p, &s, &m, seed, 0, &fx)
		return s.Due
	}
	assert.Equal(t, due(&one, 9), due(&one, 9))
	assert.NotEqual(t, due(&one, 9), due(&one, 10))
	both := due(&two, 9)
	assert.Equal(t, due(&one, 9)[0], both[0], "another inject shifts nothing")
	assert.NotEqual(t, both[0], both[1])
}

// Goal: an inject waits for its mark, then for its floor, and First tells when
// the first one came.
func TestOnsetAfterMark(t *testing.T) {
	late := sound(ThrustLoss)
	late.Onset = Onset{After: MarkPositionHold, DelayTicks: 250}
	later := sound(LostLink)
	later.Onset = Onset{After: MarkPositionHold, DelayTicks: 300}
	p := planOf(later, late)
	s, m, fx := Start(&p), NoMarks(), Effects{}
	for tick := range int64(2000) {
		m.Note(MarkPositionHold, tick == 1000 || tick == 1100, tick)
		Due(&p, &s, &m, 1, tick, &fx)
		assert.Equal(t, tick >= 1300, fx.LinkDead)
		assert.Equal(t, tick >= 1250, fx.ThrustFactor[0] == 0)
		assert.Equal(t, tick >= 1250, s.First() == 1250)
		assert.Equal(t, tick < 1250, s.First() == Never)
	}
	assert.Equal(t, int64(1000), m.At[MarkPositionHold], "only the first passing counts")
}

// Goal: what comes over a while is said to begin. Method: a propeller that loses
// its thrust at once, and over ten seconds.
func TestSlowInjectsAreSaidToBegin(t *testing.T) {
	in := sound(ThrustLoss)
	in.RampTicks = 0
	assert.Contains(t, in.Says(), "a propeller lost")
	in.RampTicks = 10000
	assert.Contains(t, in.Says(), "began to lose its thrust, in the end")
}

// Goal: zero severity of every kind leaves the effects of no inject, bit for
// bit, at every tick of ramp, middle and end.
func TestZeroSeverityIsNoInject(t *testing.T) {
	for k := EstimateDrift; k < kindCount; k++ {
		in := sound(k)
		in.Severity, in.Direction = 0, 4
		if !k.Stays() {
			in.LastsTicks = 200
		}
		if !k.Switches() {
			in.RampTicks = 50
		}
		p, none := planOf(in), Plan{}
		require.NoError(t, p.Validate(4))
		s, zero, m := Start(&p), Start(&none), NoMarks()
		var fx, want Effects
		for tick := range int64(300) {
			Due(&p, &s, &m, 1, tick, &fx)
			Due(&none, &zero, &m, 1, tick, &want)
			require.Equal(t, bitsOf(&want), bitsOf(&fx), "%s, tick %d", k, tick)
		}
		assert.Equal(t, int64(0), s.First(), "it came all the same")
	}
}

// bitsOf is every number and flag of fx, to the bit.
func bitsOf(fx *Effects) (b []uint64) {
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Struct:
			for i := range v.NumField() {
				walk(v.Field(i))
			}
		case reflect.Array:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		case reflect.Float64:
			b = append(b, math.Float64bits(v.Float()))
		case reflect.Int64:
			b = append(b, uint64(v.Int()))
		default:
			b = append(b, map[bool]uint64{true: 1}[v.Bool()])
		}
	}
	walk(reflect.ValueOf(*fx))
	return b
}

// Goal: each kind has one effect or two, and an effect of its own: no two kinds
// leave the same. Method: the fields of the effects that each kind changes.
func TestEachKindHasItsOwnEffect(t *testing.T) {
	owner := map[string]Kind{}
	for k := EstimateDrift; k < kindCount; k++ {
		p := planOf(sound(k))
		require.NoError(t, p.Validate(4), k)
		fx, _ := effectsAt(&p, 1000)
		got, plain := reflect.ValueOf(fx), reflect.ValueOf(NoEffects())
		changed := []string{}
		for i := range got.NumField() {
			if !got.Field(i).Equal(plain.Field(i)) {
				changed = append(changed, got.Type().Field(i).Name)
			}
		}
		name := strings.Join(changed, " and ")
		require.NotEmpty(t, name, "%s does nothing", k)
		assert.LessOrEqual(t, len(changed), 2, k)
		if k == EstimateRunaway {
			require.Equal(t, EstimateDrift, owner[name], "both move what the camera sees")
			continue
		}
		assert.NotContains(t, owner, name, "%s and %s", k, owner[name])
		owner[name] = k
	}
	reached := strings.Join(slices.Collect(maps.Keys(owner)), " ")
	for i := range reflect.TypeFor[Effects]().NumField() {
		if name := reflect.TypeFor[Effects]().Field(i).Name; name != "Dimmed" { // of vision-lost, dark
			assert.Contains(t, reached, name, "no inject has this effect")
		}
	}
}

// Goal: each kind acts where it should, by its severity, ramp and end. The
// wanted values are the definitions written out by hand.
func TestEffects(t *testing.T) {
	at := func(in Inject, tick int64) Effects {
		p := planOf(in)
		require.NoError(t, p.Validate(4), in.Kind)
		fx, _ := effectsAt(&p, tick)
		return fx
	}
	drift := Inject{Kind: EstimateDrift, Severity: .3, Direction: math.Pi / 2, LastsTicks: Forever}
	ramped := drift
	ramped.RampTicks = 1000
	jump := Inject{Kind: EstimateJump, Severity: 2, Direction: math.Pi, RampTicks: 100, LastsTicks: 500}
	gust := Inject{Kind: Gust, Severity: 4, RampTicks: 400, LastsTicks: 800}
	steady := Inject{Kind: Gust, Severity: 4, RampTicks: 400, LastsTicks: Forever}
	motor := Inject{Kind: MotorFailure, Severity: .25, Rotor: 2, LastsTicks: Forever}
	all := Inject{Kind: ThrustLoss, Severity: .2, Rotor: AllRotors, LastsTicks: Forever}
	runaway := Inject{Kind: EstimateRunaway, Severity: 2, LastsTicks: Forever}
	heading := Inject{Kind: HeadingError, Severity: -.5, LastsTicks: Forever}
	sag := Inject{Kind: VoltageSag, Severity: .4, RampTicks: 200, LastsTicks: Forever}
	cases := []struct {
		name      string
		got, want float64
	}{
		{"drift after 2 s", at(drift, 2000).SeenOffsetW.Y, .6},
		{"drift goes along y only", at(drift, 2000).SeenOffsetW.X, 0},
		{"drift in mid ramp: ½·v·t²/ramp", at(ramped, 500).SeenOffsetW.Y, .3 * .5 * .25},
		{"drift after its ramp: v·(t − ramp/2)", at(ramped, 2000).SeenOffsetW.Y, .3 * 1.5},
		{"jump in mid ramp", at(jump, 50).MapShiftW.X, -1},
		{"jump", at(jump, 499).MapShiftW.X, -2},
		{"jump ended", at(jump, 500).MapShiftW.X, 0},
		{"runaway: ½·a·t²", at(runaway, 3000).SeenOffsetW.X, 9},
		{"heading", at(heading, 0).MountYaw, -.5},
		// ½(1 − cos πx) at x = ¼, ½, ¾, 1 (MIL-F-8785C section 3.7.2.3, from memory)
		{"gust at ¼", at(gust, 100).GustW.X, 4 * .14644660940672627},
		{"gust at ½", at(gust, 200).GustW.X, 2},
		{"gust at ¾", at(gust, 300).GustW.X, 4 * .8535533905932737},
		{"gust at its height", at(gust, 400).GustW.X, 4},
		{"gust falls as it rose", at(gust, 700).GustW.X, 4 * .14644660940672627},
		{"gust over", at(gust, 800).GustW.X, 0},
		{"steady gust stays", at(steady, 5000).GustW.X, 4},
		{"motor", at(motor, 0).SpeedFactor[2], .75},
		{"other motors", at(motor, 0).SpeedFactor[1], 1},
		{"thrust untouched by motor", at(motor, 0).ThrustFactor[2], 1},
		{"all rotors", at(all, 0).ThrustFactor[7], .8},
		{"sag in mid ramp", at(sag, 100).SagVolts, .2},
		{"sag", at(sag, 300).SagVolts, .4},
		{"height reads too low", at(with(HeightStep, func(in *Inject) { in.Severity = -1.5 }), 9).RangeOffset, -1.5},
		{"gyro about the left axis", at(with(InertialFault, func(in *Inject) { in.Direction = math.Pi / 2 }), 9).GyroOffsetB.Y, 1},
		{"gyro about the nose's axis", at(sound(InertialFault), 9).GyroOffsetB.X, 1},
		{"astray", at(with(PathAstray, func(in *Inject) { in.Direction = math.Pi }), 9).AstrayW.X, -1},
		{"stutter in mid ramp", at(with(LinkStutter, func(in *Inject) { in.RampTicks = 40 }), 10).Stutter, .25},
		{"propeller the wrong way round", at(with(ThrustLoss, func(in *Inject) { in.Severity, in.Rotor = 1.5, 2 }), 9).ThrustFactor[2], -.5},
		{"pack slips to the left", at(with(BatteryShift, func(in *Inject) { in.Direction = math.Pi / 2 }), 9).ShiftB.Y, .3},
		{"hover mark too low", at(with(HoverMarkWrong, func(in *Inject) { in.Severity = -.2 }), 9).MarkOff, -.2},
		{"a person walks", at(sound(PersonEnters), 1000).PersonShiftW.X, 1},
		{"a person gets up speed: v·(t − ramp/2)", at(with(PersonEnters, func(in *Inject) { in.RampTicks = 1000 }), 2000).PersonShiftW.X, 1.5},
		{"and stops", at(sound(PersonEnters), 9000).PersonShiftW.X, 2.5},
		{"light in mid ramp", at(with(VisionLost, func(in *Inject) { in.How, in.RampTicks = Dark, 100 }), 25).Dimmed, .25},
		{"stuck where it is told", at(sound(StuckAxis), 9).StuckAt, .4},
	}
	for _, c := range cases {
		assert.InDelta(t, c.want, c.got, 1e-12, c.name)
	}
	assert.True(t, at(sound(VisionLost), 0).Covered)
	assert.True(t, at(sound(LostLink), 0).LinkDead)
	assert.False(t, at(with(VisionLost, func(in *Inject) { in.How = Dark }), 9).Covered)
	assert.True(t, at(sound(PathAstray), 0).Astray)
	assert.Equal(t, int64(AxisPitch), at(sound(StuckAxis), 0).StuckAxis)
	swapped := at(sound(RotorsSwapped), 0)
	assert.Equal(t, [2]int64{1, 4}, [2]int64{swapped.SwapA, swapped.SwapB})
}

// with is a sound inject changed.
func with(k Kind, change func(in *Inject)) Inject {
	in := sound(k)
	change(&in)
	return in
}

// Goal: each kind says in words of its own what it did.
func TestEachKindSaysWhatItDoes(t *testing.T) {
	said := map[string]Kind{}
	for k := EstimateDrift; k < kindCount; k++ {
		in := sound(k)
		assert.NotContains(t, said, in.Says(), k)
		said[in.Says()] = k
	}
	none := Inject{}
	assert.NotContains(t, said, none.Says())
	assert.Equal(t, "the gyroscope began to read a turning of 90 degrees a second that was not there",
		(&Inject{Kind: InertialFault, Severity: math.Pi / 2}).Says())
	assert.Equal(t, "the craft heard the throttle stick stuck at 60 %", (&Inject{Kind: StuckAxis, Severity: 1, Axis: AxisThrottle, At: .6}).Says())
}

// Goal: injects of one plan act together: offsets add, factors multiply.
func TestEffectsCombine(t *testing.T) {
	a := Inject{Kind: EstimateJump, Severity: 1, LastsTicks: Forever}
	b := Inject{Kind: EstimateJump, Severity: 2, Direction: math.Pi / 2, LastsTicks: Forever}
	c := Inject{Kind: MotorFailure, Severity: .5, Rotor: 1, LastsTicks: Forever}
	d := Inject{Kind: MotorFailure, Severity: .2, Rotor: AllRotors, LastsTicks: Forever}
	p := planOf(a, b, c, d)
	fx, _ := effectsAt(&p, 10)
	assert.InDelta(t, 1, fx.MapShiftW.X, 1e-15)
	assert.InDelta(t, 2, fx.MapShiftW.Y, 1e-15)
	assert.InDelta(t, .4, fx.SpeedFactor[1], 1e-15)
	assert.InDelta(t, .8, fx.SpeedFactor[0], 1e-15)
}

// Goal: now, withdraw, hold and make ready do what they say, and what they
// leave is neutral again to the bit.
func TestInstructor(t *testing.T) {
	in := sound(EstimateJump)
	in.Onset.DelayTicks = 1000
	p := planOf(in)
	m := NoMarks()
	run := func(s State, from, to int64) (State, Effects) {
		fx := Effects{}
		s.Neutral = false
		for tick := from; tick < to; tick++ {
			Due(&p, &s, &m, 1, tick, &fx)
		}
		return s, fx
	}
	t.Run("now", func(t *testing.T) {
		s, _ := run(Start(&p), 0, 400)
		assert.True(t, Now(&p, &s, 0, 400))
		assert.False(t, Now(&p, &s, 0, 401), "it has come")
		s, fx := run(s, 400, 401)
		assert.Equal(t, int64(400), s.First())
		assert.Equal(t, kernel.Vec3{X: 1}, fx.MapShiftW)
	})
	t.Run("withdraw before", func(t *testing.T) {
		s := Start(&p)
		assert.True(t, Withdraw(&p, &s, 0))
		assert.False(t, Withdraw(&p, &s, 0))
		assert.False(t, Now(&p, &s, 0, 5), "withdrawn is final")
		s, fx := run(s, 0, 3000)
		assert.Equal(t, Never, s.First())
		assert.Equal(t, NoEffects(), fx)
	})
	t.Run("withdraw while it acts", func(t *testing.T) {
		s, fx := run(Start(&p), 0, 1500)
		assert.NotEqual(t, NoEffects(), fx)
		assert.True(t, Withdraw(&p, &s, 0))
		Due(&p, &s, &m, 1, 1500, &fx)
		assert.Equal(t, NoEffects(), fx)
		assert.Equal(t, int64(1000), s.First(), "that it came stays on record")
	})
	t.Run("hold", func(t *testing.T) {
		s := Start(&p)
		assert.True(t, Hold(&p, &s, 0))
		assert.False(t, Hold(&p, &s, 0))
		s, fx := run(s, 0, 3000)
		assert.Equal(t, Never, s.First())
		assert.Equal(t, NoEffects(), fx)
		assert.True(t, MakeReady(&p, &s, 0))
		s, _ = run(s, 3000, 3001)
		assert.Equal(t, int64(3000), s.First(), "its time had passed")
		assert.False(t, Hold(&p, &s, 0), "it has come")
	})
	t.Run("hold, then now", func(t *testing.T) {
		s := Start(&p)
		Hold(&p, &s, 0)
		s, _ = run(s, 0, 2000)
		assert.True(t, Now(&p, &s, 0, 2000))
		s, _ = run(s, 2000, 2001)
		assert.Equal(t, int64(2000), s.First())
	})
	t.Run("outside the plan", func(t *testing.T) {
		s := Start(&p)
		for _, i := range []int{-1, 1, MaxInjects} {
			assert.False(t, Now(&p, &s, i, 0) || Withdraw(&p, &s, i) || Hold(&p, &s, i) || MakeReady(&p, &s, i))
		}
		assert.Equal(t, Start(&p), s)
	})
}

// Goal: state and effects are values: a copy goes on as the original.
func TestFork(t *testing.T) {
	a := Inject{Kind: Gust, Severity: 3, Direction: 1, RampTicks: 300, LastsTicks: 900, Onset: Onset{DelayTicks: 400, MeanTicks: 500, CapTicks: 2000}}
	p, m := planOf(a, sound(LostLink)), NoMarks()
	s, fx := Start(&p), Effects{}
	for tick := range int64(1000) {
		Due(&p, &s, &m, 3, tick, &fx)
	}
	s2, fx2 := s, fx
	for tick := int64(1000); tick < 4000; tick++ {
		Due(&p, &s, &m, 3, tick, &fx)
		Due(&p, &s2, &m, 3, tick, &fx2)
		require.Equal(t, fx, fx2)
	}
	assert.Equal(t, s, s2)
}

func TestWords(t *testing.T) {
	for _, w := range KindWords() {
		k, ok := ParseKind(w)
		assert.True(t, ok)
		assert.Equal(t, w, k.String())
	}
	for _, w := range MarkWords() {
		m, ok := ParseMark(w)
		assert.True(t, ok)
		assert.Equal(t, w, m.String())
	}
	for _, w := range HowWords() {
		h, ok := ParseHow(w)
		assert.True(t, ok)
		assert.Equal(t, w, h.String())
	}
	for _, w := range AxisWords() {
		a, ok := ParseAxis(w)
		assert.True(t, ok)
		assert.Equal(t, w, a.String())
	}
	_, ok := ParseKind("none")
	assert.False(t, ok)
	_, ok = ParseMark("lunch")
	assert.False(t, ok)
	assert.Equal(t, "m/s", EstimateDrift.Unit())
	assert.Equal(t, "unknown", Kind(99).String())
}

func TestValidate(t *testing.T) {
	cases := []struct {
		name string
		in   Inject
		want string
	}{
		{"kind", Inject{LastsTicks: 1}, "no such kind"},
		{"severity", Inject{Kind: MotorFailure, Severity: 1.5, LastsTicks: 1}, "severity 1.5 is not within 0 to 1 share"},
		{"not a number", Inject{Kind: Gust, Severity: math.NaN(), LastsTicks: 1}, "severity NaN"},
		{"switch", Inject{Kind: LostLink, Severity: .5, LastsTicks: 1}, "it is there (1) or not (0)"},
		{"direction", Inject{Kind: Gust, Direction: 90, LastsTicks: 1}, "direction 90"},
		{"rotor", Inject{Kind: ThrustLoss, Rotor: 4, LastsTicks: 1}, "there is no rotor 4, the craft has 4"},
		{"ramp", Inject{Kind: VisionLost, RampTicks: 10, LastsTicks: 1}, "a ramp of 10"},
		{"lasts", Inject{Kind: Gust}, "it lasts 0 ticks"},
		{"a propeller can push down", Inject{Kind: ThrustLoss, Severity: 1.6, LastsTicks: 1}, "severity 1.6 is not within 0 to 1.5 share"},
		{"signed", Inject{Kind: HoverMarkWrong, Severity: -1, LastsTicks: 1}, "severity -1 is not within -0.9 to 0.9 share"},
		{"how", with(VisionLost, func(in *Inject) { in.How = 9 }), "no such way"},
		{"axis", with(StuckAxis, func(in *Inject) { in.Axis = 9 }), "no such axis"},
		{"throttle below lowest", with(StuckAxis, func(in *Inject) { in.Axis, in.At = AxisThrottle, -.1 }), "stuck at -0.1, which is not within 0 to 1"},
		{"stuck at no number", with(StuckAxis, func(in *Inject) { in.At = math.NaN() }), "stuck at NaN"},
		{"swapped with itself", with(RotorsSwapped, func(in *Inject) { in.Partner = in.Rotor }), "swapped with itself"},
		{"swapped with none", with(RotorsSwapped, func(in *Inject) { in.Partner = AllRotors }), "there is no rotor -1"},
		{"walks nowhere", with(PersonEnters, func(in *Inject) { in.Distance = 0 }), "distance 0"},
		{"goes out again", with(PersonEnters, func(in *Inject) { in.LastsTicks = 9 }), "it lasts 9 ticks, but cannot end"},
		{"short gust", Inject{Kind: Gust, RampTicks: 100, LastsTicks: 150}, "too short"},
		{"mark", Inject{Kind: Gust, LastsTicks: 1, Onset: Onset{After: markCount}}, "no such mark"},
		{"negative", Inject{Kind: Gust, LastsTicks: 1, Onset: Onset{DelayTicks: -1}}, "must not be negative"},
		{"cap", Inject{Kind: Gust, LastsTicks: 1, Onset: Onset{MeanTicks: 5}}, "needs both"},
	}
	for _, c := range cases {
		p := planOf(sound(Gust), c.in)
		err := p.Validate(4)
		assert.ErrorContains(t, err, c.want, c.name)
		assert.ErrorContains(t, err, "inject 2 (", c.name)
	}
	two := planOf(Inject{Kind: Gust}, Inject{Kind: LostLink, Severity: 2, LastsTicks: 1})
	assert.ErrorContains(t, two.Validate(4), "inject 1 (gust)")
	assert.ErrorContains(t, two.Validate(4), "inject 2 (lost-link)")
	over := Plan{Count: MaxInjects + 1}
	assert.Error(t, over.Validate(4))
	twice := planOf(sound(StuckAxis), sound(LostLink), sound(StuckAxis))
	assert.ErrorContains(t, twice.Validate(4), "inject 3 (stuck-axis): a plan can have one of this kind")
}
