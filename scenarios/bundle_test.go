package scenarios

import (
	"bytes"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/judge"
	"lapwing/sim/path"
	"lapwing/sim/percept"
	"lapwing/sim/pilot"
	"lapwing/sim/safety"
)

func load(t testing.TB, name string, procedures ...string) *Bundle {
	t.Helper()
	b, err := Load(Catalogue(), name, procedures...)
	require.NoError(t, err)
	return b
}

// Goal: a recording that keeps the documents keeps the whole scenario. Method:
// load each scenario, load it again from its documents alone, compare all.
func TestDocumentsRebuildTheBundle(t *testing.T) {
	for _, name := range Names(KindScenario) {
		b := load(t, name, Names(KindProcedures)...)
		again, err := LoadBundle(b.Documents)
		require.NoError(t, err, name)
		assert.Equal(t, b, again, name)
	}
	_, err := LoadBundle(nil)
	assert.Error(t, err)
	b := load(t, "drift-in-hold")
	_, err = LoadBundle(b.Documents[:2]) // the room is missing
	assert.ErrorContains(t, err, "there is no room of this name")
}

// Goal: words and units of a file arrive as the values they stand for. Method:
// one scenario of the catalogue, field by field; degrees must be radians.
func TestValuesArrive(t *testing.T) {
	b := load(t, "drift-in-hold")
	assert.Equal(t, "drift-in-hold", b.Name)
	assert.Len(t, b.Briefing, 4)
	assert.Equal(t, "estimate-drift", b.Event.Word)
	assert.EqualValues(t, 120_000, b.Duration)

	assert.Equal(t, 0.5, b.Craft.Mass)
	assert.Equal(t, dynamics.Mat3{3.2e-3, 0, 0, 0, 3.2e-3, 0, 0, 0, 5.5e-3}, b.Craft.Inertia)
	assert.InDelta(t, 17500*math.Pi/30, b.Craft.Rotors[0].SpeedMax, 1e-9)
	assert.InDelta(t, 5920.0/60, b.Craft.Rotors[0].Prop.StaticSpeed[9], 1e-12)
	assert.InDelta(t, 7058.0/60, b.Craft.Rotors[0].Prop.AdvanceSpeed, 1e-12)
	assert.Equal(t, 1.5*3600, b.Craft.Battery.Capacity)
	assert.Equal(t, 2, b.Craft.Rotors[0].DelayTicks)
	assert.Equal(t, []string{"front-left", "rear-left", "rear-right", "front-right"}, b.RotorNames)
	for i, spin := range []float64{-1, 1, -1, 1} {
		assert.Equal(t, spin, b.Craft.Rotors[i].Spin)
	}
	assert.Equal(t, sim.Uncertainty{Mass: 0.03, Lag: 0.25, Drag: 0.3}, b.Uncertainty)

	assert.Equal(t, dynamics.Vec3{X: -2.5, Y: -2.5}, b.Place.Min)
	assert.Equal(t, dynamics.Vec3{X: 2.5, Y: 2.5, Z: 2.7}, b.Place.Max)
	assert.True(t, b.Place.HasNet)

	require.Equal(t, 1, b.Injects.Count)
	in := b.Injects.Injects[0]
	assert.Equal(t, inject.EstimateDrift, in.Kind)
	assert.Equal(t, 0.3, in.Severity)
	assert.InDelta(t, 40*math.Pi/180, in.Direction, 1e-12)
	assert.Equal(t, inject.Onset{After: inject.MarkPositionHold, DelayTicks: 5000, MeanTicks: 6000, CapTicks: 25000}, in.Onset)
	assert.Equal(t, inject.Forever, in.LastsTicks)

	assert.Equal(t, pilot.Leg{Do: pilot.LegLift, Height: 1.2, Response: hands.Attitude}, b.Plan.Legs[2])
	assert.Equal(t, pilot.Leg{Do: pilot.LegEngage, Response: hands.PositionHold}, b.Plan.Legs[3])
	assert.Equal(t, pilot.Leg{Do: pilot.LegHold, For: 40_000}, b.Plan.Legs[4])

	d := b.Drill
	assert.Equal(t, judge.ClassB, d.Class)
	assert.Equal(t, 2.5, d.Target)
	assert.Equal(t, 6.0, d.Limit)
	assert.Equal(t, hands.CallTakingOver, d.Call)
	assert.Equal(t, percept.Rule{Sign: percept.SignSlide, Above: 0.15, For: 500}, d.Cues[0])
	assert.Equal(t, percept.Rule{Sign: percept.SignCamera, Above: 0.5}, d.Cues[2])
	assert.Equal(t, judge.DeedRefuge, d.Demands[0].AnyOf[0].Kind)
	assert.True(t, d.Demands[0].First && d.Demands[0].Critical)
	assert.EqualValues(t, 6000, d.Demands[0].Within)
	assert.Equal(t, judge.NoLimit, d.Demands[1].Within)
	assert.Equal(t, judge.Commission{Deed: judge.Deed{Kind: judge.DeedReselect}, Grade: judge.Critical}, d.Commissions[0])
	assert.Equal(t, judge.DefaultWeights(), d.Weights)
	assert.InDelta(t, judge.DefaultOutcome().Tilt, d.Outcome.Tilt, 1e-15)
	assert.Equal(t, path.None, b.Path.Kind)
}

// Goal: the lost-link action reaches both the watchman and the briefing.
func TestLostLinkWords(t *testing.T) {
	b := load(t, "lost-link-in-hold")
	assert.Equal(t, safety.ActionControlledLanding, b.Safety.LostLinkAction)
	assert.Regexp(t, `^After 0\.[0-9] s without a frame it levels, comes down by itself`, b.LostLink)
	assert.Contains(t, load(t, "motor-failure-hexa").LostLink, "holds its place for 5.0 s")
	masking := safety.Default()
	masking.LostLinkAction = safety.ActionMotorStop
	assert.Contains(t, lostLinkWords(&masking), "motors stop")
}

// Goal: every craft of the catalogue hovers inside what its file says. Method:
// the dynamics' own hover search; thrust per weight 2 or more, and for those of
// 2 kg 2.5 or more.
func TestCraftOfTheCatalogue(t *testing.T) {
	least := map[string]float64{"quad-250g": 2, "quad-500g": 2, "hexa-alternating": 2.5, "hexa-paired": 2.5, "octo-3kg": 2, "measured-27g": 2}
	text, err := os.ReadFile("testdata/good-scenario.yaml")
	require.NoError(t, err)
	for _, name := range Names(KindCraft) {
		swapped := bytes.Replace(text, []byte("craft: quad-500g"), []byte("craft: "+name), 1)
		b, err := Load(single{Document{Kind: KindScenario, Name: "it", File: "it", Text: swapped}}, "it")
		require.NoError(t, err, name)
		lift := 0.0
		for i := range b.Craft.RotorCount {
			kT, _ := dynamics.Linear(&b.Craft, 1.225, b.Craft.Rotors[i].SpeedMax, i)
			lift += kT * b.Craft.Rotors[i].SpeedMax * b.Craft.Rotors[i].SpeedMax
			assert.InDelta(t, kT*b.Craft.Rotors[i].SpeedMax*b.Craft.Rotors[i].SpeedMax, liftOf(&b.Craft.Rotors[i], 1.225), 1e-9)
		}
		ratio := lift / (b.Craft.Mass * 9.80665)
		assert.GreaterOrEqual(t, ratio, least[name], name)
		assert.LessOrEqual(t, ratio, 3.0, name)
		duty := dynamics.HoverDuty(&b.Craft, &b.Place, 3.8)
		t.Logf("%-16s thrust per weight %.2f, hover at %.0f rpm, duty %.2f at 3.8 V a cell, %.0f W",
			name, ratio, dynamics.HoverSpeed(&b.Craft, &b.Place)*30/math.Pi, duty, dynamics.HoverPower(&b.Craft, &b.Place))
		assert.Less(t, duty, 0.85, name)
	}
}

// Goal: the thrust of measured-27g is what the flights of arXiv 2603.09908 show:
// specific force k·Σ(duty·V)² with k = 0.279 to 0.288 m/s²/V², and so are its side
// drag and the lag of its motors, 26 ± 3 to 36 ± 6 ms from roll and pitch.
func TestMeasuredCraft(t *testing.T) {
	text, err := os.ReadFile("testdata/good-scenario.yaml")
	require.NoError(t, err)
	text = bytes.Replace(text, []byte("craft: quad-500g"), []byte("craft: measured-27g"), 1)
	b, err := Load(single{Document{Kind: KindScenario, Name: "it", Text: text}}, "it")
	require.NoError(t, err)
	top := b.Craft.Rotors[0].SpeedMax
	kT, _ := dynamics.Linear(&b.Craft, 1.225, top, 0)
	assert.InDelta(t, 0.2835, kT*top*top/b.Craft.Mass/(4.2*4.2), 0.0045)
	side := 4 * b.Craft.Rotors[0].Drag * dynamics.HoverSpeed(&b.Craft, &b.Place) / b.Craft.Mass // 1/s
	assert.InDelta(t, 0.405, side, 0.015)
	assert.InDelta(t, 0.031, b.Craft.Rotors[0].Lag, 0.005)
}

// Goal: a procedures file that is for this craft and room wins over the
// scenario's demands, and one that is for another does not.
func TestProceduresWin(t *testing.T) {
	plain := load(t, "drift-in-hold")
	b := load(t, "drift-in-hold", "shed-quads")
	require.Len(t, b.Procedures, 1)
	assert.Equal(t, "I01", b.Procedures[0].CheckedBy)
	assert.Equal(t, "2026-11-02", b.Procedures[0].Date)
	assert.Equal(t, judge.DeedCutOff, b.Drill.Demands[0].AnyOf[1].Kind, "the laboratory allows the cut-off")
	assert.Equal(t, 3, b.Drill.DemandCount)
	assert.Equal(t, 4, plain.Drill.DemandCount)
	for i := range b.Drill.CommissionCount {
		assert.NotEqual(t, judge.DeedCutOff, b.Drill.Commissions[i].Deed.Kind)
	}
	assert.Equal(t, plain.Drill.Cues, b.Drill.Cues, "cues stay")
	assert.Empty(t, load(t, "jump-on-path", "shed-quads").Procedures, "another room")
	assert.Empty(t, load(t, "motor-failure-quad", "shed-quads").Procedures, "another event")

	text, err := os.ReadFile("files/scenarios/drift-in-hold.yaml")
	require.NoError(t, err)
	own := bytes.Replace(text, []byte("duration_s:"), []byte("procedures: [shed-quads]\nduration_s:"), 1)
	named, err := Load(single{Document{Kind: KindScenario, Name: "it", Text: own}}, "it")
	require.NoError(t, err)
	assert.Equal(t, b.Drill, named.Drill, "named in the scenario it wins as well")
	elsewhere := bytes.Replace(own, []byte("room: potting-shed"), []byte("room: bay-3"), 1)
	_, err = Load(single{Document{Kind: KindScenario, Name: "it", Text: elsewhere}}, "it")
	assert.ErrorContains(t, err, "it is for another craft or room")
}

// Goal: what a scenario says wins over craft and room.
func TestScenarioAdjusts(t *testing.T) {
	assert.Equal(t, 0.8, load(t, "voltage-sag").Craft.Battery.StartingCharge)
	assert.Equal(t, 1.0, load(t, "thrust-loss").Craft.Battery.StartingCharge)
	b := load(t, "first-lift")
	assert.Equal(t, "gentle", b.LawName)
	assert.True(t, b.Law.TiltLimit.Given)
	assert.InDelta(t, 15*math.Pi/180, b.Law.TiltLimit.Value, 1e-15)
	assert.False(t, b.Law.RateBandwidth.Given)
}

// Goal: files on disk are found before those of the catalogue, by path and by
// name, and nothing outside the tree can be named.
func TestFinders(t *testing.T) {
	scenario, err := os.ReadFile("testdata/good-scenario.yaml")
	require.NoError(t, err)
	craft, err := os.ReadFile("testdata/good-craft.yaml")
	require.NoError(t, err)
	dir := t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "craft"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "craft", "quad-500g.yaml"), craft, 0o644))
	at := filepath.Join(dir, "mine.yaml")
	require.NoError(t, os.WriteFile(at, scenario, 0o644))

	b, err := Load(Catalogue(), at)
	require.NoError(t, err)
	assert.Equal(t, "mine", b.Name)
	assert.Equal(t, "Test quad", b.CraftTitle, "the craft beside it")
	assert.Equal(t, "bay-3", b.RoomName, "the room of the catalogue")
	again, err := LoadBundle(b.Documents)
	require.NoError(t, err)
	assert.Equal(t, b, again)

	deeper := filepath.Join(dir, "scenarios", "mine.yaml")
	require.NoError(t, os.MkdirAll(filepath.Dir(deeper), 0o755))
	require.NoError(t, os.WriteFile(deeper, scenario, 0o644))
	for _, name := range []string{deeper, "mine"} {
		b, err = Load(Disk(dir), name)
		require.NoError(t, err)
		assert.Equal(t, "Test quad", b.CraftTitle, "the craft in the folder above")
	}

	b, err = Load(Files(fstest.MapFS{
		"scenarios/mine.yaml": {Data: scenario}, "craft/quad-500g.yaml": {Data: craft},
		"rooms/bay-3.yaml": {Data: must(t, KindRoom, "bay-3")},
	}), "mine")
	require.NoError(t, err)
	assert.Equal(t, "Test quad", b.CraftTitle)

	for _, name := range []string{"../craft/quad-500g", "", "no-such", "UPPER", strings.Repeat("a", 100)} {
		_, err := Catalogue().Find(KindCraft, name)
		assert.True(t, errors.Is(err, fs.ErrNotExist), name)
	}
}

func must(t *testing.T, kind Kind, name string) []byte {
	d, err := Catalogue().Find(kind, name)
	require.NoError(t, err)
	return d.Text
}

// Goal: a craft that flies at sea level can be refused for the air of a room.
func TestThinAir(t *testing.T) {
	room := must(t, KindRoom, "bay-3")
	thin := bytes.Replace(room, []byte("density_kg_m3: 1.225"), []byte("density_kg_m3: 0.4"), 1)
	scenario, err := os.ReadFile("testdata/good-scenario.yaml")
	require.NoError(t, err)
	_, err = LoadBundle([]Document{{Kind: KindScenario, Name: "it", File: "it", Text: scenario},
		{Kind: KindCraft, Name: "quad-500g", File: "c", Text: must(t, KindCraft, "quad-500g")}, {Kind: KindRoom, Name: "bay-3", File: "r", Text: thin}})
	assert.ErrorContains(t, err, "cannot hover in the air of this room")
}

// Goal: each number of a craft file says where it comes from. Method: every
// block of the file that holds numbers has a comment, and so has each line of the
// blocks that are no tables.
func TestCraftFilesSayWhereNumbersComeFrom(t *testing.T) {
	for _, name := range Names(KindCraft) {
		block, commented := "", true
		for line := range strings.Lines(string(must(t, KindCraft, name))) {
			if !strings.HasPrefix(line, " ") {
				block, commented = line, strings.Contains(line, "#") || strings.HasPrefix(line, "#")
			}
			if strings.HasPrefix(block, "kind") || strings.HasPrefix(block, "version") || strings.HasPrefix(block, "title") ||
				strings.HasPrefix(block, "sources") || strings.HasPrefix(block, "rotors") {
				continue
			}
			assert.True(t, commented || strings.Contains(line, "#") || !strings.ContainsAny(line, "0123456789"), "%s: %s", name, line)
		}
	}
}

// Goal: the tables of words cover what the packages can say, so that a new sign
// or inject cannot be forgotten here.
func TestTablesAreComplete(t *testing.T) {
	assert.Len(t, signForms, len(percept.SignWords()))
	for i, s := range signForms {
		assert.Equal(t, percept.Sign(i+1), s.sign, s.word)
	}
	for _, w := range inject.KindWords() {
		kind, _ := inject.ParseKind(w)
		_, has := severityField(kind)
		assert.NotEqual(t, kind.Switches(), has, w)
	}
	for i, e := range events {
		assert.EqualValues(t, i+1, e.Row)
		times := TimesOf(e.Class)
		assert.LessOrEqual(t, times.Announced, times.Unannounced)
		assert.LessOrEqual(t, times.Unannounced, times.Limit)
	}
	_, ok := EventOf(0)
	assert.False(t, ok)
	e, ok := EventOf(42)
	assert.True(t, ok && e.Word == "no-event")
}

// Goal: an event that comes out of steady flight comes at a moment that nobody can
// count on, unless it is announced fully; the first right action is asked for in
// time. In a run without an event only what is harmless comes.
func TestScenariosOfTheCatalogue(t *testing.T) {
	for _, name := range Names(KindScenario) {
		b := load(t, name)
		d, steady, waits := &b.Drill, false, false
		for i := range b.Injects.Count {
			in := &b.Injects.Injects[i]
			assert.True(t, b.Event.Class != judge.ClassN || harmless(in.Kind), "%s: %s", name, in.Kind)
			after := in.Onset.After
			steady = steady || after == inject.MarkHover || after == inject.MarkPositionHold || after == inject.MarkPath
			waits = waits || in.Onset.MeanTicks > 0
		}
		assert.True(t, waits || !steady || d.Announced == judge.AnnouncedFully, "%s: no random wait", name)
		if b.Event.Class != judge.ClassN {
			assert.NotEqual(t, d.Emerges, b.Injects.Count > 0, name)
			assert.LessOrEqual(t, d.Target, d.Limit, name)
		}
	}
}
