package path

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func BenchmarkFollow(b *testing.B) {
	for _, name := range []string{"eight", "along", "square"} {
		b.Run("path="+name, func(b *testing.B) {
			p := shapes()[name]
			var s State
			var out Setpoint
			tick := int64(0)
			b.ReportAllocs()
			for b.Loop() {
				Follow(&p, &s, tick%20_000 != 0, fromW, fromYaw, tick, &out)
				tick += 40
			}
		})
	}
}

// Goal: no allocation in the tick.
func TestFollowAllocatesNothing(t *testing.T) {
	p := shapes()["along"]
	var s State
	var out Setpoint
	tick := int64(0)
	assert.Zero(t, testing.AllocsPerRun(1000, func() {
		Follow(&p, &s, true, fromW, fromYaw, tick, &out)
		tick += 40
	}))
}
