package trials

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/score"
)

// flown is a made-up flight: g GO, n NO-GO, v void, a a false alarm in a catch run.
func flown(kind byte) *Row {
	switch kind {
	case 'g':
		return &Row{Verdict: score.Go}
	case 'v':
		return &Row{Verdict: score.Void}
	case 'a':
		return &Row{Verdict: score.NoGo, FalseAlarm: true}
	}
	return &Row{Verdict: score.NoGo}
}

// Goal: a step is left when its standard is met, neither sooner nor later, and the
// course stops where it is not met in time. Method: made-up flights one by one, the
// catch runs among them in brackets; the step moves on, or the course stops, at the
// last of them.
func TestStandard(t *testing.T) {
	once := Step{Drills: 1, Least: 1, Most: 3, OfLast: 1, Go: 1}
	threeOfFour := Step{Drills: 1, Least: 4, Most: 8, OfLast: 4, Go: 3}
	catching := Step{Drills: 1, CatchRuns: 1, CatchShare: 0.5, Least: 2, Most: 6, OfLast: 2, Go: 2}
	forgiving := catching
	forgiving.FalseAlarms = 1
	for _, c := range []struct {
		name    string
		step    Step
		flights string // lower case: the event; (…): a catch run
		moved   bool
	}{
		{"at once", once, "g", true},
		{"at the third", once, "nng", true},
		{"never", once, "nnn", false},
		{"void flights do not count", once, "vnvng", true},
		{"nothing but void", once, "vvv", false},
		{"three of the last four", threeOfFour, "gngg", true},
		{"old misses are forgotten", threeOfFour, "nnnnggg", true},
		{"not in time", threeOfFour, "gngnngng", false},
		{"the catch run goes well", catching, "g(g)g", true},
		{"a false alarm holds back", catching, "g(a)ggg", true},
		{"a false alarm before them holds back", catching, "(a)ggg", true},
		{"a false alarm that is allowed", forgiving, "g(a)g", true},
		{"two where one is allowed", forgiving, "g(a)(a)ggg", true},
		{"a void catch run", catching, "g(v)g", true},
		{"a catch run that goes wrong otherwise", catching, "g(n)g", true},
		{"stopped by false alarms", catching, "g(a)g(a)g(a)g(a)g(a)g", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := NewSitting([]Step{c.step, once}, 1)
			catch := false
			for i := range len(c.flights) {
				switch kind := c.flights[i]; kind {
				case '(', ')':
					catch = kind == '('
				default:
					require.Zero(t, s.at, "moved on before %q", c.flights[i:])
					require.False(t, s.ended, "stopped before %q", c.flights[i:])
					s.Note(Try{Catch: catch}, flown(kind))
				}
			}
			assert.Equal(t, c.moved, s.Standing(0).Moved)
			_, more := s.Next()
			assert.Equal(t, c.moved, more, "the next step, or none")
			assert.False(t, s.Passed())
		})
	}
}

// Goal: who passes every step has passed. Method: three steps, all GO.
func TestPassed(t *testing.T) {
	step := Step{Drills: 1, Least: 2, Most: 3, OfLast: 2, Go: 1}
	s := NewSitting([]Step{step, step, step}, 9)
	flights := 0
	for try, more := s.Next(); more; try, more = s.Next() {
		require.Equal(t, flights/2, try.Step)
		s.Note(try, flown('g'))
		flights++
	}
	assert.Equal(t, 6, flights)
	assert.True(t, s.Passed())
}

// Goal: what comes when is drawn by seed alone: the same again for the same seed,
// each flight under a seed of its own, asking twice changes nothing. Method: two
// ways with one seed, one with another.
func TestDrawnBySeed(t *testing.T) {
	way := func(seed uint64) (tries []Try) {
		s := NewSitting([]Step{{Drills: 3, CatchRuns: 2, CatchShare: 0.4, Least: 60, Most: 60, OfLast: 60, Go: 60}}, seed)
		for try, more := s.Next(); more; try, more = s.Next() {
			same, _ := s.Next()
			require.Equal(t, try, same)
			tries = append(tries, try)
			s.Note(try, flown('n'))
		}
		return tries
	}
	one, again, other := way(1), way(1), way(2)
	require.Equal(t, one, again)
	require.NotEqual(t, one, other)
	seeds := map[uint64]bool{}
	for _, try := range append(one, other...) {
		assert.False(t, seeds[try.Seed], "seed %d twice", try.Seed)
		seeds[try.Seed] = true
	}
}

// Goal: nobody can count on what comes next, and each gets its turn. Method: over
// many seeds the catch runs have their share (5 standard errors; the bound of three
// in a row takes off less than a share⁴), each scenario of a step comes once
// before any comes again, and each is first equally often.
func TestOrder(t *testing.T) {
	const ways, n = 400, 4
	const share = 0.25
	flights, catch, row := 0, 0, 0
	var first [n]int
	for seed := range uint64(ways) {
		s := NewSitting([]Step{{Drills: n, CatchRuns: 1, CatchShare: share, Least: 3 * n, Most: 3 * n, OfLast: 1, Go: 1}}, seed)
		var seen []int
		for try, more := s.Next(); more; try, more = s.Next() {
			flights++
			if try.Catch {
				catch++
				row++
				require.LessOrEqual(t, row, catchInARow)
			} else {
				row = 0
				seen = append(seen, try.Which)
			}
			s.Note(try, flown('n'))
		}
		require.Len(t, seen, 3*n)
		for block := 0; block < 3*n; block += n {
			require.ElementsMatch(t, []int{0, 1, 2, 3}, seen[block:block+n])
		}
		first[seen[0]]++
	}
	got := float64(catch) / float64(flights)
	assert.InDelta(t, share, got, math.Pow(share, 4)+5*math.Sqrt(share*(1-share)/float64(flights)))
	for which, times := range first {
		assert.InDelta(t, ways/n, times, 5*math.Sqrt(ways*0.25*0.75), "scenario %d first", which)
	}
}

// Goal: a step that cannot be flown is a mistake of the program.
func TestStepsThatCannotBeFlown(t *testing.T) {
	good := Step{Drills: 1, Least: 2, Most: 3, OfLast: 2, Go: 1}
	require.NoError(t, good.Validate())
	for name, spoil := range map[string]func(s *Step){
		"no drill":         func(s *Step) { s.Drills = 0 },
		"no standard":      func(s *Step) { s.Go = 0 },
		"more GO":          func(s *Step) { s.Go = 3 },
		"looks further":    func(s *Step) { s.OfLast = 3 },
		"too few tries":    func(s *Step) { s.Most = 1 },
		"no catch runs":    func(s *Step) { s.CatchShare = 0.2 },
		"nothing but them": func(s *Step) { s.CatchRuns, s.CatchShare = 1, 1 },
		"not a share":      func(s *Step) { s.CatchRuns, s.CatchShare = 1, math.NaN() },
	} {
		bad := good
		spoil(&bad)
		assert.Error(t, bad.Validate(), name)
		assert.Panics(t, func() { NewSitting([]Step{bad}, 1) }, name)
	}
}
