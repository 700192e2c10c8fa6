package child

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
	"lapwing/sim/estimate"
	"lapwing/sim/guest"
	"lapwing/sim/hands"
	"lapwing/sim/safety"
)

// The test's own program is the child: with this in its environment it plays one.
const playKey = "LAPWING_TEST_CHILD"

func TestMain(m *testing.M) {
	if how := os.Getenv(playKey); how != "" {
		play(how)
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// play is a law for the rate stage that misbehaves at its third question.
func play(how string) {
	frame := func() []byte {
		var head [lengthSize]byte
		if _, err := io.ReadFull(os.Stdin, head[:]); err != nil {
			if how == "stays" {
				time.Sleep(time.Hour)
			}
			os.Exit(0)
		}
		body := make([]byte, binary.LittleEndian.Uint32(head[:]))
		_, _ = io.ReadFull(os.Stdin, body)
		return body
	}
	answer := func(a control.Answer) []byte {
		b := make([]byte, lengthSize+guest.ReplySize)
		binary.LittleEndian.PutUint32(b, uint32(guest.ReplySize))
		guest.PutReply(b[lengthSize:], &a)
		return b
	}
	for n := 0; ; n++ {
		frame()
		good := answer(control.Answer{MomentB: kernel.Vec3{X: float64(n)}})
		if n == 0 && how == "silent at the start" {
			time.Sleep(time.Hour)
		}
		if n < 3 {
			_, _ = os.Stdout.Write(good)
			continue
		}
		switch how {
		case "crash":
			fmt.Fprintln(os.Stderr, "first line\nboom: index out of range")
			os.Exit(7)
		case "rubbish":
			fmt.Println("debug: here I am, at tick 3, and all is well with me")
		case "silence":
			time.Sleep(time.Hour)
		case "partial frame":
			_, _ = os.Stdout.Write(good[:20])
			time.Sleep(time.Hour)
		case "partial and gone":
			_, _ = os.Stdout.Write(good[:20])
			os.Exit(0)
		case "wrong version":
			good[lengthSize] = 9
			_, _ = os.Stdout.Write(good)
		case "NaN":
			copy(good[lengthSize+guest.Offset(guest.Reply, "moment_b"):], bytes.Repeat([]byte{0xff}, 8))
			_, _ = os.Stdout.Write(good)
		default:
			_, _ = os.Stdout.Write(good)
		}
	}
}

func start(t *testing.T, how string, answer time.Duration) (control.Guest, error) {
	t.Helper()
	t.Setenv(playKey, how)
	self, err := os.Executable()
	require.NoError(t, err)
	limits := Limits{Start: 20 * time.Second, Answer: answer, End: 300 * time.Millisecond}
	if how == "silent at the start" {
		limits.Start = answer
	}
	s := guest.Source{Stage: control.Rate, Command: []string{self}}
	return Start(&s, &control.Params{}, limits)
}

var asked = control.Input{Belief: &estimate.Belief{QWB: kernel.Quat{W: 1}}, Hands: hands.Rest(), Status: &safety.Status{MotorsOn: true}}

// Goal: a law in a process is asked and answers in order, and ends when it is
// closed, also one that does not want to.
func TestLockStep(t *testing.T) {
	for _, how := range []string{"well", "stays"} {
		g, err := start(t, how, 20*time.Second)
		require.NoError(t, err)
		var out control.Answer
		for n := range 200 {
			require.NoError(t, g.Act(&asked, &control.Want{}, &out))
			require.Equal(t, float64(n+1), out.MomentB.X)
		}
		_, err = g.Save()
		assert.ErrorContains(t, err, "cannot be copied")
		begin := time.Now()
		require.NoError(t, g.Close())
		require.NoError(t, g.Close())
		assert.Less(t, time.Since(begin), 10*time.Second)
		assert.ErrorContains(t, g.Act(&asked, &control.Want{}, &out), "was ended")
	}
}

const patience = 1500 * time.Millisecond

// Goal: whatever a process does wrong becomes an error in words, soon, and the
// process is gone. Method: this test's own program plays each.
func TestBadChildren(t *testing.T) {
	for _, c := range []struct{ how, want string }{
		{"crash", "exit status 7); its last words: boom: index out of range"},
		{"rubbish", `the process wrote "debu" where the length of an answer`},
		{"silence", "was silent for 1.5s and was killed"},
		{"partial frame", "was silent for 1.5s after 20 of the"},
		{"partial and gone", "the process ended after 20 of the"},
		{"wrong version", "begins with version 9"},
		{"NaN", "which are not numbers to be flown"},
		{"silent at the start", "was silent for 1.5s"},
	} {
		t.Run(c.how, func(t *testing.T) {
			g, err := start(t, c.how, patience)
			if err == nil {
				o := control.NewOutside(g)
				err = askSome(o)
				require.NoError(t, g.Close())
			}
			assert.ErrorContains(t, err, c.want)
		})
	}
	_, err := Start(&guest.Source{Stage: control.Rate, Command: []string{"./no-such-law"}}, &control.Params{}, DefaultLimits())
	assert.ErrorContains(t, err, "./no-such-law cannot be started")
}

// askSome asks in flight until something goes wrong.
func askSome(o *control.Outside) error {
	p := control.Params{RotorCount: 4, FullVolts: 4.2}
	var s control.State
	var out control.Output
	in := asked
	for range 10 {
		control.LawWith(&p, &s, &in, &out, o)
		in.Tick++
	}
	return o.Err
}
