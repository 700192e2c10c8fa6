package prompt

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/hands"
)

const look = 20 // ticks between two looks

// all returns a drill that asks for everything, n times.
func all(n int) Params {
	p := Default()
	p.Count = n
	for a := AskNone + 1; a < askCount; a++ {
		p.May[a] = true
	}
	return p
}

// set puts the switches as a asks.
func set(h *hands.Hands, a Ask) {
	switch a {
	case CutOffOn, CutOffOff:
		h.CutOff = a == CutOffOn
	case Arm, Disarm:
		h.Armed = a == Arm
	case Attitude:
		h.Response = hands.Attitude
	case HeightHold:
		h.Response = hands.HeightHold
	case PositionHold:
		h.Response = hands.PositionHold
	}
}

// drill runs a drill with a person who answers each ask after delay ticks, doing
// first what first does.
func drill(t *testing.T, p *Params, seed uint64, delay int64, first func(h *hands.Hands, a Ask)) State {
	t.Helper()
	require.NoError(t, p.Validate())
	s, h := Start(p, seed), hands.Rest()
	for tick := int64(0); !s.Over(p); tick += look {
		require.Less(t, tick, int64(600_000))
		if s.Now != AskNone {
			if at := s.AskedAt[s.Next]; tick == at+delay {
				set(&h, s.Now)
			} else if tick == at+delay/2 {
				first(&h, s.Now)
			}
		}
		s.Listen(p, &h, seed, tick)
	}
	return s
}

func nothing(*hands.Hands, Ask) {}

// Goal: every ask is answered by its switch, timed from the ask, and asks are
// never for what stands so already. Method: a person who takes 600 ms.
func TestAnswersAreTimed(t *testing.T) {
	p := all(10)
	for seed := range uint64(20) {
		s := drill(t, &p, seed, 600, nothing)
		assert.True(t, s.Complete(&p))
		assert.Zero(t, s.Left(&p))
		assert.InDelta(t, 0.6, s.Median(), 1e-9)
		assert.Zero(t, s.WrongSwitches())
		for i := range p.Count {
			assert.Equal(t, int64(600), s.Answered[i]-s.AskedAt[i])
			if i > 0 {
				assert.NotEqual(t, s.Asked[i-1], s.Asked[i], "it stands so already")
				wait := s.AskedAt[i] - s.Answered[i-1]
				assert.True(t, wait >= p.LeastTicks && wait <= p.LeastTicks+p.CapTicks+look, "wait of %d", wait)
			}
		}
	}
}

// Goal: the order is the seed's, and varied. Method: the same seed twice, and
// how many different orders 50 seeds give.
func TestOrderIsDrawn(t *testing.T) {
	p := all(10)
	orders := map[[MaxPrompts]Ask]bool{}
	for seed := range uint64(50) {
		s := drill(t, &p, seed, 400, nothing)
		require.Equal(t, s, drill(t, &p, seed, 400, nothing))
		orders[s.Asked] = true
	}
	assert.Equal(t, 50, len(orders))
}

// Goal: a wrong switch is noted, a selector that only passes by is not.
func TestWrongSwitches(t *testing.T) {
	p := all(10)
	for _, c := range []struct {
		name  string
		first func(h *hands.Hands, a Ask)
		delay int64
		may   []Ask
		want  int
	}{
		{"the cut-off for the selector", func(h *hands.Hands, a Ask) { h.CutOff = !h.CutOff }, 600,
			[]Ask{Attitude, HeightHold, PositionHold}, 10},
		{"the selector for the cut-off", func(h *hands.Hands, a Ask) { h.Response = (h.Response + 1) % hands.Path }, 600,
			[]Ask{CutOffOn, CutOffOff}, 10},
		{"the arming switch for the cut-off", func(h *hands.Hands, a Ask) { h.Armed = !h.Armed }, 600,
			[]Ask{CutOffOn, CutOffOff}, 10},
		{"past another position", func(h *hands.Hands, a Ask) { h.Response = hands.Rate }, 600,
			[]Ask{Attitude, HeightHold, PositionHold}, 0},
		{"stays at another position", func(h *hands.Hands, a Ask) { h.Response = hands.Rate }, 1200,
			[]Ask{Attitude, HeightHold, PositionHold}, 10},
	} {
		q := p
		q.May = [askCount]bool{}
		for _, a := range c.may {
			q.May[a] = true
		}
		s := drill(t, &q, 3, c.delay, c.first)
		assert.Equal(t, c.want, s.WrongSwitches(), c.name)
		assert.True(t, s.Complete(&q), "%s: answered in the end", c.name)
	}
}

// Goal: an ask that nobody answers is given up, and counts as such.
func TestGivesUp(t *testing.T) {
	p := all(4)
	s := drill(t, &p, 1, p.Patience+look, nothing)
	assert.Equal(t, 4, s.Unanswered(&p))
	assert.False(t, s.Complete(&p))
	assert.Zero(t, s.Median())
}

// Goal: the waits are exponential above the least: a hazard that does not rise
// with waiting. Method: mean and median of 4000 uncapped waits; for an
// exponential they are m and m·ln 2.
func TestForeperiodIsExponential(t *testing.T) {
	p := all(1)
	p.LeastTicks, p.MeanTicks, p.CapTicks = 1000, 2000, 1_000_000
	sum, below := 0.0, 0
	const n = 4000
	for i := range int64(n) {
		w := p.wait(9, i) - p.LeastTicks
		sum += float64(w)
		if float64(w) < 2000*0.6931 {
			below++
		}
	}
	assert.InDelta(t, 2000, sum/n, 4*2000/63.2, "4·m/√n")
	assert.InDelta(t, 0.5, float64(below)/n, 4*0.5/63.2)
}

// Goal: the median of an even and an odd number of answers.
func TestMedian(t *testing.T) {
	s := Start(&Params{}, 0)
	for i, ticks := range []int64{900, 300, 500} {
		s.AskedAt[i], s.Answered[i] = 100, 100+ticks
	}
	assert.InDelta(t, 0.5, s.Median(), 1e-12)
	s.AskedAt[3], s.Answered[3] = 100, 100+700
	assert.InDelta(t, 0.6, s.Median(), 1e-12)
}

// Goal: all faults of Params at once, and words that lead back.
func TestValidateAndWords(t *testing.T) {
	p := Params{Count: MaxPrompts + 1, LeastTicks: -1}
	p.May[CutOffOn], p.May[Arm], p.May[Attitude] = true, true, true
	err := p.Validate()
	require.Error(t, err)
	for _, words := range []string{"0 … 20", "asked for twice", "-1 ms", "given up"} {
		assert.ErrorContains(t, err, words)
	}
	for _, w := range AskWords() {
		a, ok := ParseAsk(w)
		require.True(t, ok)
		assert.Equal(t, w, a.String())
		assert.NotEmpty(t, a.Says())
	}
	_, ok := ParseAsk("flaps")
	assert.False(t, ok)
}

// Goal: nothing is ever asked for where the scenario has no prompts.
func TestNoPrompts(t *testing.T) {
	p := Default()
	s, h := Start(&p, 1), hands.Rest()
	for tick := int64(0); tick < 60_000; tick += look {
		s.Listen(&p, &h, 1, tick)
	}
	assert.Equal(t, AskNone, s.Now)
	assert.False(t, s.Complete(&p))
}
