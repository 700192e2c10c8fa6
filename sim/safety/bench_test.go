package safety

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/sim/hands"
)

func BenchmarkWatch(b *testing.B) {
	r := flying(Default())
	r.selects(hands.PositionHold)
	b.ReportAllocs()
	for b.Loop() {
		r.tick()
	}
}

// Goal: no allocation in the tick.
func TestWatchAllocatesNothing(t *testing.T) {
	r := flying(masking())
	assert.Zero(t, testing.AllocsPerRun(1000, func() { r.tick() }))
}
