package bench

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/hands"
)

// quad returns the sound bench of a craft with four guarded rotors in a netted
// room.
func quad() Params {
	p := Default()
	p.List(4, true, true)
	return p
}

// with puts a discrepancy in.
func with(p Params, at Place, rotor int, word string) Params {
	f, ok := ParseFinding(at, word)
	if !ok {
		panic(word)
	}
	p.Items[p.Find(at, rotor)].State = f
	return p
}

// do takes steps one look after the other, from tick 20 on.
func do(p *Params, s *State, steps ...hands.Hands) {
	for i := range steps {
		s.Take(p, &steps[i], true, int64(20*(i+1)))
	}
}

func step(k hands.Step, item int) hands.Hands { return hands.Hands{Step: k, Item: uint8(item)} }

// walk looks at and ticks every item; bad tells which are ticked as not sound.
func walk(p *Params, bad func(i int) bool) State {
	s := Start(p)
	for i := range p.Count {
		k := hands.StepTickGood
		if bad(i) {
			k = hands.StepTickBad
		}
		do(p, &s, step(hands.StepLook, i), step(k, i))
	}
	return s
}

// Goal: the list has what craft and room have, in walking order. Method: count
// for each combination; a propeller for each rotor, guards and net only where
// there are any.
func TestListFollowsCraftAndRoom(t *testing.T) {
	always := int(placeCount) - 1 - 3 // all but none, propeller, guards, net
	for _, c := range []struct {
		name        string
		rotors      int
		guards, net bool
		want        int
	}{
		{"quad with guards in a net", 4, true, true, always + 4 + 2},
		{"hexa without guards in a net", 6, false, true, always + 6 + 1},
		{"octo without either", 8, false, false, always + 8},
		{"the longest list there is", 8, true, true, MaxItems},
	} {
		var p Params
		p.List(c.rotors, c.guards, c.net)
		assert.Equal(t, c.want, p.Count, c.name)
		require.NoError(t, p.Validate(), c.name)
		assert.Equal(t, c.guards, p.Find(Guards, 0) >= 0, c.name)
		assert.Equal(t, c.net, p.Find(Net, 0) >= 0, c.name)
		assert.Equal(t, 1+c.rotors-1, p.Find(Propeller, c.rotors-1), c.name)
		for i := 1; i < p.Count; i++ {
			assert.GreaterOrEqual(t, p.Items[i].Place, p.Items[i-1].Place, "%s: walking order", c.name)
		}
	}
}

// Goal: every place has something to find, and every word leads back to it.
func TestWordsComeBack(t *testing.T) {
	for _, w := range PlaceWords() {
		place, ok := ParsePlace(w)
		require.True(t, ok, w)
		assert.Equal(t, w, place.String())
		assert.NotEmpty(t, place.Says())
		require.NotEmpty(t, FindingWords(place), w)
		for _, word := range FindingWords(place) {
			f, ok := ParseFinding(place, word)
			require.True(t, ok, word)
			assert.Equal(t, word, f.String())
			assert.Equal(t, place, f.Place())
			assert.NotEmpty(t, f.Says())
			assert.True(t, f.Ease() > 0 && f.Ease() <= 1, word)
		}
	}
	_, ok := ParsePlace("wings")
	assert.False(t, ok)
	_, ok = ParseFinding(Strap, "swollen")
	assert.False(t, ok, "of another place")
	assert.Equal(t, "unknown", placeCount.String())
	assert.Panics(t, func() { _ = Finding(Findings).Says() })
}

// Goal: what is looked at is shown, and only while it is looked at.
func TestALookShowsTheItem(t *testing.T) {
	p := with(quad(), Strap, 0, "slides")
	s := Start(&p)
	item, state := s.Shown(&p)
	assert.Zero(t, item)
	strap := p.Find(Strap, 0)
	do(&p, &s, step(hands.StepLook, strap), step(hands.StepNone, 0))
	item, state = s.Shown(&p)
	assert.Equal(t, uint8(strap+1), item)
	assert.Equal(t, "slides", state.String())
	do(&p, &s, step(hands.StepLook, 0))
	item, state = s.Shown(&p)
	assert.Equal(t, uint8(1), item)
	assert.Equal(t, Sound, state)
	do(&p, &s, step(hands.StepTickGood, 0))
	item, _ = s.Shown(&p)
	assert.Zero(t, item, "ticked")
	do(&p, &s, step(hands.StepLook, p.Count))
	item, _ = s.Shown(&p)
	assert.Zero(t, item, "beyond the list")
}

// Goal: facts follow from what was there and what was ticked. Method: a list
// with one NO-GO and one discrepancy that can be mended, walked by four people.
func TestFacts(t *testing.T) {
	p := with(with(quad(), Pack, 0, "swollen"), Propeller, 2, "loose")
	pack, prop := p.Find(Pack, 0), p.Find(Propeller, 2)
	require.Equal(t, 2, p.Discrepancies())
	for _, c := range []struct {
		name                  string
		bad                   func(i int) bool
		found, missed, ghosts int
		unmended, foundAll    bool
	}{
		{"sees both", func(i int) bool { return i == pack || i == prop }, 2, 0, 0, false, true},
		{"sees none", func(int) bool { return false }, 0, 2, 0, true, false},
		{"sees the pack and a ghost", func(i int) bool { return i == pack || i == 0 }, 1, 1, 1, true, false},
		{"ticks everything bad", func(int) bool { return true }, 2, 0, p.Count - 2, false, true},
	} {
		s := walk(&p, c.bad)
		assert.True(t, s.Complete(&p), c.name)
		assert.Equal(t, c.found, s.Found(&p), c.name)
		assert.Equal(t, c.missed, s.Missed(&p), c.name)
		assert.Equal(t, c.ghosts, s.False(&p), c.name)
		assert.Equal(t, c.unmended, s.Unmended(&p), c.name)
		assert.Equal(t, c.foundAll, s.FoundAll(&p), c.name)
		assert.True(t, s.Open(&p), "%s: a swollen pack is not mended by ticking", c.name)
		assert.Zero(t, s.Astray, c.name)
	}
	mendable := with(quad(), Propeller, 2, "loose")
	s := Start(&mendable)
	assert.False(t, s.Open(&mendable))
	assert.False(t, s.Complete(&mendable), "nothing done yet")
}

// Goal: a tick without a look, or before it, does not complete the list; a later
// tick stands for an earlier one; ticks out of the walk are counted.
func TestTicksNeedLooks(t *testing.T) {
	p := quad()
	s := walk(&p, func(int) bool { return false })
	require.True(t, s.Complete(&p))
	blind := Start(&p)
	for i := range p.Count {
		do(&p, &blind, step(hands.StepTickGood, i))
	}
	assert.False(t, blind.Complete(&p), "never looked")

	do(&p, &s, step(hands.StepTickBad, 3))
	assert.Equal(t, 1, s.False(&p), "the later tick")

	jumps := Start(&p)
	do(&p, &jumps, step(hands.StepTickGood, 2), step(hands.StepTickGood, 0), step(hands.StepTickGood, 1), step(hands.StepTickGood, 4))
	assert.Equal(t, int64(2), jumps.Astray, "2 before 0, and 4 before 3")
	assert.Equal(t, int64(4), jumps.Last)
}

// Goal: the transmitter comes first. Method: both orders from a dead bench.
func TestPowerUpOrder(t *testing.T) {
	p := quad()
	p.BatteryIn, p.TransmitterOn = false, false
	right, wrong := Start(&p), Start(&p)
	do(&p, &right, step(hands.StepTransmitterOn, 0), step(hands.StepBatteryIn, 0))
	assert.True(t, right.BatteryIn && right.TransmitterOn)
	assert.False(t, right.OutOfOrder)
	assert.Equal(t, [2]int64{20, 40}, [2]int64{right.TransmitterAt, right.BatteryAt})
	do(&p, &wrong, step(hands.StepBatteryIn, 0), step(hands.StepTransmitterOn, 0), step(hands.StepBatteryIn, 0))
	assert.True(t, wrong.OutOfOrder)
	assert.Equal(t, int64(20), wrong.BatteryAt, "in already")
	do(&p, &right, step(hands.StepBatteryOut, 0), step(hands.StepTransmitterOff, 0))
	assert.False(t, right.BatteryIn || right.TransmitterOn || right.OutOfOrder)
	in := step(hands.StepBatteryIn, 0)
	right.Take(&p, &in, false, 200)
	assert.False(t, right.BatteryIn, "out of reach")
}

// Goal: the seed alone draws discrepancies, as many as asked for, each possible
// at its place, each place about as often as any other. Method: 2000 seeds; the
// share of an item is expected within four standard deviations of n·k/count.
func TestDrawsBySeed(t *testing.T) {
	const seeds = 2000
	var hits [MaxItems]int
	counts := map[int]int{}
	total := 0
	for seed := range uint64(seeds) {
		p := with(quad(), Frame, 0, "cracked-boom")
		p.AtMost = 3
		again := p
		p.Draw(seed)
		again.Draw(seed)
		require.Equal(t, p, again)
		require.NoError(t, p.Validate())
		n := p.Discrepancies() - 1
		require.True(t, n >= 0 && n <= 3)
		require.Equal(t, "cracked-boom", p.Items[0].State.String(), "what is given stays")
		counts[n]++
		total += n
		for i := range p.Count {
			if p.Items[i].State != Sound {
				hits[i]++
			}
		}
	}
	for n := range 4 {
		assert.InDelta(t, seeds/4, counts[n], 4*19.4, "%d drawn: binomial deviation √(2000·¼·¾) = 19.4", n)
	}
	p := quad()
	for i := 1; i < p.Count; i++ {
		want := float64(total) / float64(p.Count-1)
		assert.InDelta(t, want, hits[i], 4*12.2, "%s: √(n·q) of about 150", p.Items[i].Place)
	}
}

// Goal: exactly as many as asked for, and all faults of Params at once.
func TestValidate(t *testing.T) {
	p := quad()
	p.AtLeast, p.AtMost = 2, 2
	p.Draw(5)
	assert.Equal(t, 2, p.Discrepancies())

	bad := quad()
	bad.AtLeast, bad.AtMost = 3, 2
	bad.Items[0].State = bad.Items[0].State + Finding(Findings)
	bad.Items[1].Place = placeCount
	bad.Items[2].State, _ = ParseFinding(Net, "torn")
	err := bad.Validate()
	require.Error(t, err)
	for _, words := range []string{"3 to 2", "item 0", "item 1", "item 2"} {
		assert.ErrorContains(t, err, words)
	}
	bad.Count = MaxItems + 1
	assert.ErrorContains(t, bad.Validate(), "items")
}
