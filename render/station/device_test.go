package station

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/render/devices"
	"lapwing/render/flight"
	"lapwing/render/settings"
	"lapwing/render/window"
	"lapwing/sim/control"
	"lapwing/sim/folder"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
	"lapwing/sim/pilot"
	"lapwing/sim/score"
)

// Names of what the process that sees the made-up controller is told.
const (
	childVar = "LAPWING_STATION_CHILD" // title of the scenario
	pipeVar  = "LAPWING_STATION_PIPE"  // where its fingers write
	homeVar  = "LAPWING_STATION_HOME"  // where its settings and flights are
)

func TestMain(m *testing.M) {
	title := os.Getenv(childVar)
	if title == "" {
		os.Exit(m.Run())
	}
	runtime.LockOSThread()
	out, err := json.Marshal(flyByPad(title))
	if err != nil {
		panic(err)
	}
	fmt.Println("found " + string(out))
}

// ready is what that process says once it holds the pipe.
const ready = "the pipe is open"

// padFlown is what that process has found.
type padFlown struct {
	Fault                             string
	Dir                               string
	Verdict                           string
	Armed, Airborne, Eight, Down, Off bool // it happened, in the world
	Held, Followed, TookOver          bool
	DelayMedian, DelayP95             float64 // ms
	FrameMedian, FrameP95             float64 // ms
	Samples                           int
	PollRate                          float64
}

// fingers write what a hand does at the controller as umockdev's script has it: one
// line for each event, a time to wait in ms and an input_event of a 64-bit machine.
type fingers struct {
	pipe *os.File
	axes map[uint16]int32
	due  []stroke
	busy map[string]time.Time
}

type stroke struct {
	at    time.Time
	kind  uint16
	code  uint16
	value int32
}

// Codes of the kernel's input-event-codes.h. The made-up controller has every
// button from 0x130 on, and GLFW counts those that there are.
const (
	evKey, evAbs             = 1, 3
	absX, absY, absRX, absRY = 0, 1, 3, 4
	absHatX, absHatY         = 16, 17

	south    = 0x130
	east     = 0x131
	north    = 0x133
	shoulder = 0x134
	start    = 0x137
	guide    = 0x138
	thumbR   = 0x13a
)

func (f *fingers) send(kind, code uint16, value int32) {
	var event bytes.Buffer
	for _, part := range []any{uint64(0), uint64(0), kind, code, value} {
		_ = binary.Write(&event, binary.LittleEndian, part)
	}
	line := []byte("r 0 ")
	for _, b := range event.Bytes() {
		switch {
		case b < 32:
			line = append(line, '^', b+64)
		case b == '^':
			line = append(line, '^', '`')
		default:
			line = append(line, b)
		}
	}
	_, _ = f.pipe.Write(append(line, '\n'))
}

func (f *fingers) axis(code uint16, x float64) {
	value := int32(max(-1, min(1, x)) * 32767)
	if was, known := f.axes[code]; !known || was != value {
		f.axes[code] = value
		f.send(evAbs, code, value)
	}
}

// press presses and lets go; what is named is not pressed again before that is over.
func (f *fingers) press(name string, kind, code uint16, value int32, long time.Duration) {
	now := time.Now()
	if now.Before(f.busy[name]) {
		return
	}
	f.busy[name] = now.Add(long + 350*time.Millisecond)
	f.due = append(f.due, stroke{now, kind, code, value}, stroke{now.Add(long), kind, code, 0})
}

// move makes the strokes that are due.
func (f *fingers) move() {
	kept := f.due[:0]
	for _, s := range f.due {
		if time.Now().Before(s.at) {
			kept = append(kept, s)
			continue
		}
		f.send(s.kind, s.code, s.value)
	}
	f.due = kept
}

const tap = 60 * time.Millisecond

// follow brings the controller to where want has the hands; is is where they are,
// as the strip shows them.
func (f *fingers) follow(want, is *hands.Hands) {
	shaped := func(stick int16) float64 { // the inverse of the dead-band
		x, d := hands.Share(stick), devices.DefaultShape().DeadBand
		switch {
		case x > 0:
			return d + x*(1-d)
		case x < 0:
			return -d + x*(1-d)
		}
		return 0
	}
	f.axis(absX, shaped(want.Yaw))
	f.axis(absY, -(2*hands.Share(want.Throttle) - 1))
	f.axis(absRX, shaped(want.Roll))
	f.axis(absRY, -shaped(want.Pitch))
	if want.Armed != is.Armed {
		f.press("arm", evKey, shoulder, 1, tap)
	}
	if want.CutOff != is.CutOff {
		long := tap
		if is.CutOff {
			long = 900 * time.Millisecond
		}
		f.press("cut-off", evKey, east, 1, long)
	}
	if want.Response != is.Response {
		switch want.Response {
		case hands.Attitude:
			f.press("selector", evAbs, absHatY, 1, tap)
		case hands.PositionHold:
			f.press("selector", evAbs, absHatY, -1, tap)
		case hands.HeightHold:
			f.press("selector", evAbs, absHatX, -1, tap)
		case hands.Path:
			f.press("selector", evAbs, absHatX, 1, tap)
		}
	}
	button := map[hands.Call]uint16{hands.CallAreaClear: south, hands.CallTakingOver: north, hands.CallMotorsSafe: thumbR}
	if code, ok := button[want.Call]; ok {
		f.press("call", evKey, code, 1, tap)
	}
	if want.Step == hands.StepBatteryOut {
		f.press("step", evKey, guide, 1, tap)
	}
}

// brain is a modelled pilot who sees what the window's world shows and moves
// fingers only.
type brain struct {
	hands pilot.Pilot // of the station
	model pilot.Pilot
	want  hands.Hands
}

// Act implements pilot.Pilot: the hands are the station's, from the device.
func (b *brain) Act(p *percept.Percept, h *hands.Hands) {
	b.hands.Act(p, h)
	see := *p
	call, step := b.want.Call, b.want.Step
	b.model.Act(&see, &b.want)
	if b.want.Call == hands.CallNone {
		b.want.Call = call // until the finger has made it
	}
	if b.want.Step == hands.StepNone {
		b.want.Step = step
	}
}

// flyByPad is the station with nothing but the made-up controller at it.
func flyByPad(title string) (found padFlown) {
	fail := func(err error) padFlown { return padFlown{Fault: err.Error()} }
	pipe, err := os.OpenFile(os.Getenv(pipeVar), os.O_WRONLY, 0)
	if err != nil {
		return fail(err)
	}
	fmt.Println(ready)
	home := os.Getenv(homeVar)
	store := settings.Store{Dir: filepath.Join(home, "settings")}
	if err := choices(store); err != nil {
		return fail(err)
	}
	w, err := window.Open(window.Options{Title: "Lapwing, a test", Width: 1280, Height: 720, Hidden: true})
	if err != nil {
		return fail(err)
	}
	defer w.Close()
	f := &fingers{pipe: pipe, axes: map[uint16]int32{}, busy: map[string]time.Time{}}
	s, err := New(w, Options{Scale: 1, Mute: true, Store: store, Out: filepath.Join(home, "flights")})
	if err != nil {
		return fail(err)
	}
	defer s.Close()
	step := func() {
		f.move()
		if err := s.Frame(); err != nil {
			panic(err)
		}
	}
	for range 20 {
		step()
	}
	if s.inUse.GUID == "" {
		return padFlown{Fault: "the controller was not found"}
	}
	f.press("start", evKey, start, 1, tap)
	if err := through(s, f, step, "Fly a scenario or a course", title, "Practise"); err != nil {
		return fail(err)
	}
	for i := range 60 { // moving the sticks to and fro on the page that asks for it
		f.axis(absRX, float64(i%2)-0.5)
		for range 4 {
			step()
		}
	}
	f.axis(absRX, 0)
	if err := through(s, f, step, "Go on", "Fly, 3-2-1"); err != nil {
		return fail(err)
	}
	model, err := s.flight.C.Pilot("none", nil)
	if err != nil {
		return fail(err)
	}
	b := &brain{hands: s.mapper, model: model, want: s.flight.Start()}
	s.person = b
	found.watch(s, f, b, step)
	return found
}

// choices are what a person has chosen before: a throttle that holds its place, and
// the battery on a button.
func choices(store settings.Store) error {
	p := devices.DefaultProfile(&devices.Reading{Name: "Bench Pad", Gamepad: true})
	p.Throttle = control.Holds
	for i := range p.Switches {
		if p.Switches[i].Does.Kind == devices.DoHelp {
			p.Switches[i].Does = devices.Step(hands.StepBatteryOut)
		}
	}
	t := settings.DefaultTrainee()
	t.Taste.ThrottleMap = control.Direct
	if err := store.SaveTrainee("T01", &t); err != nil {
		return err
	}
	return store.SaveDevice("030000005e0400008e02000014010000", &p)
}

// through goes from page to page by the cross and the lower face button.
func through(s *Station, f *fingers, step func(), labels ...string) error {
	for _, label := range labels {
		page := s.model.Page
		for end := time.Now().Add(40 * time.Second); ; step() {
			if time.Now().After(end) {
				return fmt.Errorf("page %s: %q was not reached", s.model.Page, label)
			}
			items := s.model.Items()
			at := s.model.Chosen[s.model.Page]
			to := -1
			for i := range items {
				if items[i].Label == label {
					to = i
				}
			}
			switch {
			case s.model.Page != page && to < 0:
				page = s.model.Page
			case to < 0:
			case at < to:
				f.press("cross", evAbs, absHatY, 1, tap)
			case at > to:
				f.press("cross", evAbs, absHatY, -1, tap)
			default:
				f.press("face", evKey, south, 1, tap)
				was := s.model.Page
				for range 40 {
					step()
				}
				if s.model.Page == was {
					continue
				}
			}
			if to >= 0 && at == to {
				break
			}
		}
	}
	return nil
}

// watch flies on until the flight is over, and notes what happened in the world.
func (found *padFlown) watch(s *Station, f *fingers, b *brain, step func()) {
	for end := time.Now().Add(4 * time.Minute); s.finished == nil; {
		if time.Now().After(end) {
			found.Fault = fmt.Sprintf("not over in time: leg %d at %v", s.flight.W.Progress.Leg, s.flight.W.Tick)
			return
		}
		w := &s.flight.W
		if s.flight.Phase == flight.Going || s.flight.Phase == flight.Counting {
			f.follow(&b.want, &w.Hands)
			b.want.Call, b.want.Step = hands.CallNone, hands.StepNone
		}
		step()
		found.Armed = found.Armed || w.Percept.Armed
		found.Airborne = found.Airborne || w.Judge.Airborne != judge.Never
		found.Held = found.Held || w.Percept.Actual == hands.PositionHold && !w.Percept.OnFloor
		found.Followed = found.Followed || w.Percept.Actual == hands.Path && w.Percept.PathSpeed > 0.3
		found.Eight = found.Eight || w.Percept.PathDone
		found.TookOver = found.TookOver || found.Eight && w.Percept.Actual == hands.Attitude && !w.Percept.OnFloor
		found.Down = found.Down || found.Airborne && w.Percept.OnFloor && !w.Percept.Armed
		found.Off = found.Off || found.Down && w.Percept.CutOff
		if s.taken != nil {
			s.writing.Wait()
		}
	}
	found.Dir, found.Verdict = s.finished.Dir, string(s.finished.Assessment.Verdict)
	found.Samples = s.delay.Count()
	found.DelayMedian, found.DelayP95 = 1000*s.delay.At(0.5).Seconds(), 1000*s.delay.At(0.95).Seconds()
	found.FrameMedian, found.FrameP95 = 1000*s.flight.Steady.Frame(0.5).Seconds(), 1000*s.flight.Steady.Frame(0.95).Seconds()
	found.PollRate = s.mapper.Meter().Rate()
}

// show runs this test program again with a made-up controller.
func show(t *testing.T, title string) (f padFlown) {
	t.Helper()
	for _, need := range []string{"xvfb-run", "umockdev-run"} {
		if _, err := exec.LookPath(need); err != nil {
			t.Skipf("%s is not installed: the station is not flown by a controller here", need)
		}
	}
	home := t.TempDir()
	pipe := filepath.Join(home, "fingers")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	held, err := os.OpenFile(pipe, os.O_RDWR, 0) // so that umockdev can open its end
	require.NoError(t, err)
	defer held.Close()
	pad, err := filepath.Abs("../../testdata/pad")
	require.NoError(t, err)
	command := exec.Command("xvfb-run", "-a", "-s", "-screen 0 1400x900x24", "umockdev-run", "--device", filepath.Join(pad, "pad.umockdev"),
		"--ioctl", "/dev/input/event7="+filepath.Join(pad, "pad.ioctl"), "--script", "/dev/input/event7="+pipe, "--", os.Args[0])
	command.Env = append(os.Environ(), childVar+"="+title, pipeVar+"="+pipe, homeVar+"="+home)
	out, err := command.StdoutPipe()
	require.NoError(t, err)
	command.Stderr = os.Stderr
	require.NoError(t, command.Start())
	lines := bufio.NewScanner(out)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		if lines.Text() == ready {
			held.Close() // the other end is open: now the pipe ends with that process
		}
		if text, ok := strings.CutPrefix(lines.Text(), "found "); ok {
			require.NoError(t, json.Unmarshal([]byte(text), &f))
		}
	}
	require.NoError(t, command.Wait())
	require.Empty(t, f.Fault)
	return f
}

// TestSlowFlownByDeviceAlone: goal: nothing but a controller takes a person from
// free flight through the pages and through a whole lesson, and what was recorded
// replays headless to the same hashes and the same score. Method: a made-up
// controller at the kernel's event interface (umockdev), moved by a modelled pilot
// who sees the window's world; recording opened and verified as lapwing replay does.
func TestSlowFlownByDeviceAlone(t *testing.T) {
	if os.Getenv("LAPWING_SLOW") == "" {
		t.Skip("two minutes by the wall clock: LAPWING_SLOW=1 runs it")
	}
	f := show(t, "Figure-eight and take over")
	t.Logf("%+v", f)
	assert.True(t, f.Armed && f.Airborne && f.Held && f.Followed && f.Eight && f.TookOver && f.Down && f.Off)
	recording, _, conditions, err := folder.Open(filepath.Join(f.Dir, folder.Recording))
	require.NoError(t, err)
	verified := recording.Verify(&conditions)
	assert.True(t, verified.Same, verified.Says())
	var kept folder.Flown
	text, err := os.ReadFile(filepath.Join(f.Dir, folder.Result))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &kept))
	again := score.Assess(&conditions, &verified.Result, score.TimeAvailable(&conditions, &verified.Result))
	assert.Equal(t, kept.Result.Number, again.Number)
	assert.Equal(t, kept.Result.Verdict, again.Verdict)
	assert.Equal(t, f.Verdict, string(again.Verdict))
}
