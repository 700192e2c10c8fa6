package flight

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/render/clock"
	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/control"
	"lapwing/sim/folder"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
	"lapwing/sim/pilot"
	"lapwing/sim/score"
)

// frame is the time between two pictures in these tests.
const frame = 17 * time.Millisecond

func load(t *testing.T, name string) *scenarios.Bundle {
	t.Helper()
	hand := &control.Overrides{ThrottleKind: control.SpringsToCentre, ThrottleMap: control.RateOfThrust}
	b, err := Load(name, DefaultLevers(), scenarios.Instead{}, hand)
	require.NoError(t, err)
	return b
}

// flown flies until it is over, with a picture every frame.
func flown(f *Flight, p pilot.Pilot, now time.Duration, each func(now time.Duration)) time.Duration {
	f.Count(now, 0)
	for f.Phase != Over {
		f.Move(now, p)
		f.Shown(now, now)
		each(now)
		now += frame
	}
	return now
}

func nothing(time.Duration) {}

func modelled(t *testing.T, f *Flight) pilot.Pilot {
	t.Helper()
	p, err := f.C.Pilot("trained", nil)
	require.NoError(t, err)
	return p
}

// TestReplaysToTheSame: goal: what the station records, the headless program flies
// again to the same hashes and the same score. Method: a modelled pilot in the
// station's loop; the recording opened, verified and scored as lapwing replay does.
func TestReplaysToTheSame(t *testing.T) {
	f, err := New(load(t, "first-lift"), Setup{Kind: Scored, Seed: 5})
	require.NoError(t, err)
	flown(f, modelled(t, f), 0, nothing)
	assert.Equal(t, Stands, f.Void)
	dir := t.TempDir()
	stamp := f.StampOf()
	done, err := f.Take().Finish(dir, "T01", &stamp)
	require.NoError(t, err)
	recording, _, conditions, err := folder.Open(filepath.Join(dir, folder.Recording))
	require.NoError(t, err)
	verified := recording.Verify(&conditions)
	assert.True(t, verified.Same, verified.Says())
	again := score.Assess(&conditions, &verified.Result, score.TimeAvailable(&conditions, &verified.Result))
	assert.Equal(t, done.Assessment, again)
	assert.Equal(t, done.Track.End.Hash(), verified.Result.End.Hash())
}

// TestWithdrawnRunsReplay: goal: a run that the station makes void is void in its
// replay, at the same tick. Method: each reason in turn.
func TestWithdrawnRunsReplay(t *testing.T) {
	for _, x := range []struct {
		why  Reason
		upon func(f *Flight, now time.Duration)
	}{
		{Gap, func(f *Flight, now time.Duration) { f.Shown(now+150*time.Millisecond, now) }},
		{Unplugged, func(f *Flight, now time.Duration) { f.Pause(now, Unplugged) }},
		{Ended, func(f *Flight, now time.Duration) { f.Withdraw(now, Ended) }},
	} {
		t.Run(string(x.why), func(t *testing.T) {
			f, err := New(load(t, "first-lift"), Setup{Kind: Scored, Seed: 5})
			require.NoError(t, err)
			done := false
			flown(f, modelled(t, f), 0, func(now time.Duration) {
				if now > 3*time.Second && !done {
					done = true
					x.upon(f, now)
				}
			})
			assert.Equal(t, x.why, f.Void)
			assert.Equal(t, sim.VoidWithdrawn, f.W.Void.Reason)
			taken := f.Take()
			finished, err := taken.Finish("", "T01", nil)
			require.NoError(t, err, "flown again it must come out the same")
			assert.Equal(t, score.Void, finished.Assessment.Verdict)
		})
	}
}

// TestPracticeOnlyWarns: goal: a late picture makes no practice void, and a pause
// is counted and gone on from. Method: both in one practice.
func TestPracticeOnlyWarns(t *testing.T) {
	f, err := New(load(t, "first-lift"), Setup{Kind: Practice, Seed: 5, Speed: clock.Half})
	require.NoError(t, err)
	f.Count(0, time.Second)
	assert.Equal(t, 3, f.Beat(0))
	assert.Equal(t, 1, f.Beat(2500*time.Millisecond))
	f.Move(3*time.Second, still{})
	f.Move(3100*time.Millisecond, still{})
	assert.EqualValues(t, 50, f.W.Tick, "half the speed")
	f.Shown(3100*time.Millisecond, 3100*time.Millisecond)
	f.Shown(3400*time.Millisecond, 3100*time.Millisecond)
	assert.Equal(t, Stands, f.Void)
	f.Pause(3400*time.Millisecond, Stopped)
	f.Move(5*time.Second, still{})
	assert.EqualValues(t, 50, f.W.Tick)
	f.Step(10)
	f.Move(5*time.Second, still{})
	assert.EqualValues(t, 60, f.W.Tick)
	assert.Equal(t, 1, f.Pauses)
	f.Count(5*time.Second, 300*time.Millisecond)
	f.Move(6*time.Second, still{})
	assert.Equal(t, Going, f.Phase)
}

// TestFreeFlightBeginsAnew: goal: free flight hovers from the first tick, and a
// second after a crash it hovers again. Method: full pitch into the net.
func TestFreeFlightBeginsAnew(t *testing.T) {
	f, err := New(load(t, ""), Setup{Kind: Free, Seed: 1, From: FreeFrom})
	require.NoError(t, err)
	assert.Greater(t, f.W.Craft.PosW.Z, 0.9)
	h := f.Start()
	assert.True(t, h.Armed && !h.CutOff && h.Response == hands.HeightHold)
	now := time.Duration(0)
	f.Count(now, 0)
	crashed := time.Duration(0)
	for ; f.Again == 0 && now < 20*time.Second; now += frame {
		f.Move(now, full{})
		if f.Crashed() && crashed == 0 {
			crashed = now
		}
	}
	assert.Equal(t, 1, f.Again)
	assert.Less(t, now-crashed, time.Second+2*frame)
	assert.Equal(t, f.start.Hash(), f.W.Hash())
}

// full pushes pitch to its end.
type full struct{}

// Act implements pilot.Pilot.
func (full) Act(_ *percept.Percept, h *hands.Hands) { h.Pitch = hands.Full }

// TestFromAnyPhase: goal: a practice may begin at each leg in the air, at once, and
// its recording still runs from tick 0. Method: every such leg of the figure-eight.
func TestFromAnyPhase(t *testing.T) {
	b := load(t, "figure-eight")
	legs := Legs(&b.Plan)
	require.Greater(t, len(legs), 4)
	for _, leg := range legs {
		from := time.Now()
		f, err := New(b, Setup{Kind: Practice, Seed: 2, From: leg})
		require.NoError(t, err)
		assert.Less(t, time.Since(from), time.Second)
		assert.Equal(t, leg, f.W.Progress.Leg)
		f.Count(0, 0)
		for now := time.Duration(0); now < time.Second; now += frame {
			f.Move(now, still{})
		}
		f.Withdraw(time.Second, Ended)
		_, err = f.Take().Finish("", "T01", nil)
		require.NoError(t, err)
	}
}

// TestAgainTakesNoTime: goal: the same run stands ready at once. Method: time it.
func TestAgainTakesNoTime(t *testing.T) {
	f, err := New(load(t, "drift-in-hold"), Setup{Kind: Scored, Seed: 7})
	require.NoError(t, err)
	before := f.W.Hash()
	f.Count(0, 0)
	f.Move(0, still{})
	f.Move(100*time.Millisecond, still{})
	from := time.Now()
	f.Rewind()
	assert.Less(t, time.Since(from), 50*time.Millisecond)
	assert.Equal(t, before, f.W.Hash())
}

// TestTrackGoesToAndFro: goal: a track gives at every tick the world that was
// there. Method: hashes on the way there and, out of order, on the way back.
func TestTrackGoesToAndFro(t *testing.T) {
	f, err := New(load(t, "first-lift"), Setup{Kind: Practice, Seed: 5})
	require.NoError(t, err)
	there := map[int64]sim.Hashes{}
	flown(f, modelled(t, f), 0, func(time.Duration) { there[f.W.Tick] = f.W.Hash() })
	start := sim.Start(&f.C)
	track := NewTrack(&f.C, &start, f.Take().Hands(), f.W.Tick+1)
	for _, tick := range []int64{9000, 200, 9001, 12345, 40, track.End.Tick} {
		for was := range there {
			if was/1000 == tick/1000 {
				tick = was
			}
		}
		if want, ok := there[tick]; ok {
			assert.Equal(t, want, track.At(tick).Hash(), tick)
		}
	}
}

// TestForkEarlierIsBetter: goal: acting at the cue saves a craft that acting far too
// late does not. Method: the drift of the demonstration.
func TestForkEarlierIsBetter(t *testing.T) {
	b, err := Load("drift-in-hold", DefaultLevers(), scenarios.Instead{}, nil)
	require.NoError(t, err)
	f, err := New(b, Setup{Kind: Scored, Seed: 7})
	require.NoError(t, err)
	flown(f, modelled(t, f), 0, nothing)
	done, err := f.Take().Finish("", "T01", nil)
	require.NoError(t, err)
	require.NotNil(t, done.Result.AtCue)
	soon := NewFork(&done.C, done.Result.AtCue, 500)
	late := NewFork(&done.C, done.Result.AtCue, 15000)
	assert.EqualValues(t, -1, soon.Hard)
	assert.Positive(t, late.Hard)
}
