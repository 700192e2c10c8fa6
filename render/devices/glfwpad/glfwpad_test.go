package glfwpad

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/go-gl/glfw/v3.3/glfw"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/render/devices"
	"lapwing/sim/hands"
)

// child is set in the process that sees the made-up controller.
const child = "LAPWING_PAD_CHILD"

// flown is what that process has found.
type flown struct {
	Name    string
	GUID    string
	Gamepad bool
	Least   int16 // pitch or throttle, over the whole
	Most    int16
	Steps   int     // different throttles
	Presses int     // looks with the cut-off newly engaged
	Rate    float64 // Hz
	Pause   time.Duration
	Long    int // pauses between two polls that a press fits into
}

// press is how long the button is down in press.events.
const press = 5 * time.Millisecond

func TestMain(m *testing.M) {
	if os.Getenv(child) == "" {
		os.Exit(m.Run())
	}
	runtime.LockOSThread()
	out, err := json.Marshal(fly())
	if err != nil {
		panic(err)
	}
	fmt.Println("found " + string(out))
}

// fly polls for 3.5 s as the station does, and looks every 20 ms. Each look
// forgets the cut-off, so that every press counts.
func fly() (f flown) {
	if err := glfw.Init(); err != nil {
		panic(err)
	}
	defer glfw.Terminate()
	var pads Pads
	var mapper *devices.Mapper
	seen := map[int16]bool{}
	f.Least, f.Most = 1000, 0
	start := time.Now()
	look, last := 20*time.Millisecond, time.Duration(0)
	for now := time.Duration(0); now < 3500*time.Millisecond; now = time.Since(start) {
		if now-last > press*9/10 {
			f.Long++
		}
		last = now
		glfw.PollEvents()
		readings := pads.Poll(now)
		if mapper == nil && len(readings) > 0 {
			r := &readings[0]
			f.Name, f.GUID, f.Gamepad = r.Name, r.GUID, r.Gamepad
			p := devices.DefaultProfile(r)
			mapper = devices.NewMapper(devices.DefaultTaste())
			mapper.Use(r.GUID, &p)
		}
		if mapper != nil {
			mapper.Poll(now, readings)
		}
		for ; mapper != nil && look <= now; look += 20 * time.Millisecond {
			var h hands.Hands
			mapper.Act(nil, &h)
			f.Least, f.Most = min(f.Least, h.Throttle), max(f.Most, h.Throttle)
			seen[h.Throttle] = true
			if h.CutOff && now > press*20 {
				f.Presses++
			}
			rate, pause := mapper.Meter().Rate(), mapper.Meter().Pause()
			if rate > 0 {
				f.Rate, f.Pause = rate, max(pause, f.Pause)
			}
			if h.CutOff {
				mapper.Reset(hands.Hands{})
			}
		}
		time.Sleep(time.Millisecond)
	}
	f.Steps = len(seen)
	return f
}

// show runs this test program again with a made-up controller that does what
// events says.
func show(t *testing.T, events string) (f flown) {
	t.Helper()
	for _, need := range []string{"xvfb-run", "umockdev-run"} {
		if _, err := exec.LookPath(need); err != nil {
			t.Skipf("%s is not installed: the way from a real device through GLFW is not tested here", need)
		}
	}
	pad, err := filepath.Abs("../../../testdata/pad")
	require.NoError(t, err)
	at := func(name string) string { return filepath.Join(pad, name) }
	command := exec.Command("xvfb-run", "-a", "umockdev-run", "--device", at("pad.umockdev"), "--ioctl", "/dev/input/event7="+at("pad.ioctl"),
		"--evemu-events", "/dev/input/event7="+at(events), "--", os.Args[0])
	command.Env = append(os.Environ(), child+"=1")
	out, err := command.CombinedOutput()
	require.NoError(t, err, "%s", out)
	_, found, ok := strings.Cut(string(out), "found ")
	require.True(t, ok, "%s", out)
	require.NoError(t, json.NewDecoder(strings.NewReader(found)).Decode(&f))
	return f
}

// TestSweepArrives: goal: a stick moved at the device moves the throttle, through
// the kernel's event interface and GLFW. Method: a made-up controller sweeps axis
// 1 from −30000 to 27000 of 32767, y down: the throttle goes from 0.958 of its
// half travel up to 0.824 down; a dead-band of 0.04 stretches what is left.
func TestSweepArrives(t *testing.T) {
	f := show(t, "sweep.events")
	assert.Equal(t, "030000005e0400008e02000014010000", f.GUID, "bus, maker, model and version as in pad.ioctl, low byte first")
	assert.True(t, f.Gamepad)
	throttle := func(raw float64) float64 { return 500 + 500*(raw/32767.5-0.04)/0.96 } // raw is above the dead-band
	assert.InDelta(t, throttle(30000), f.Most, 3)
	assert.InDelta(t, 1000-throttle(27000), f.Least, 3)
	assert.GreaterOrEqual(t, f.Steps, 15, "20 positions were sent, some two within one look")
	if f.Long < 20 { // else other programs had the machine
		assert.Greater(t, f.Rate, float64(devices.LeastRate))
	}
	t.Logf("read at %.0f Hz, longest pause %v", f.Rate, f.Pause)
}

// TestShortPressArrives: goal: the cut-off engages at presses of 5 ms. Method:
// twelve of them at the made-up controller. Where a crowded machine let a press
// come and go without running this program at all, that press is excused; the
// program measures such pauses itself.
func TestShortPressArrives(t *testing.T) {
	f := show(t, "press.events")
	t.Logf("%d of 12; read at %.0f Hz, %d pauses of 4.5 ms or more, longest %v", f.Presses, f.Rate, f.Long, f.Pause)
	assert.LessOrEqual(t, f.Presses, 12)
	assert.GreaterOrEqual(t, f.Presses+f.Long, 12)
	assert.Positive(t, f.Presses)
}

// TestKeysAreGLFWs: goal: keys are numbered as GLFW numbers them, so that a key of
// the window is a key of the settings. Method: names at both ends of each run of
// numbers, and single ones.
func TestKeysAreGLFWs(t *testing.T) {
	for name, want := range map[string]glfw.Key{
		"a": glfw.KeyA, "z": glfw.KeyZ, "0": glfw.Key0, "9": glfw.Key9, "space": glfw.KeySpace, "minus": glfw.KeyMinus,
		"semicolon": glfw.KeySemicolon, "grave": glfw.KeyGraveAccent, "escape": glfw.KeyEscape, "enter": glfw.KeyEnter,
		"tab": glfw.KeyTab, "backspace": glfw.KeyBackspace, "right": glfw.KeyRight, "left": glfw.KeyLeft, "down": glfw.KeyDown,
		"up": glfw.KeyUp, "end": glfw.KeyEnd, "pause": glfw.KeyPause, "f1": glfw.KeyF1, "f12": glfw.KeyF12,
		"pad-0": glfw.KeyKP0, "pad-9": glfw.KeyKP9, "pad-equal": glfw.KeyKPEqual, "left-shift": glfw.KeyLeftShift,
		"right-shift": glfw.KeyRightShift, "right-system": glfw.KeyRightSuper, "menu": glfw.KeyMenu,
	} {
		key, ok := devices.ParseKey(name)
		assert.True(t, ok && key == devices.Key(want), "%s is %d, not %d", name, want, key)
	}
}
