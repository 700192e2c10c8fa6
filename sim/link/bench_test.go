package link

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/sim/hands"
)

func BenchmarkCarry(b *testing.B) {
	p := Default()
	s, heard, sent := Start(&p, 1), Heard{}, hands.Rest()
	b.ReportAllocs()
	tick := int64(0)
	for b.Loop() {
		Carry(&p, &s, &sent, 1, tick, &Faults{}, &heard)
		tick++
	}
}

// Goal: no allocation in the tick.
func TestCarryAllocatesNothing(t *testing.T) {
	p := Default()
	s, heard, sent := Start(&p, 1), Heard{}, hands.Rest()
	tick := int64(0)
	assert.Zero(t, testing.AllocsPerRun(1000, func() {
		Carry(&p, &s, &sent, 1, tick, &Faults{}, &heard)
		tick++
	}))
}
