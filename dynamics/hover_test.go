package dynamics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Goal: the hover of a craft of 0.5 kg on four 5-inch propellers. Source:
// momentum theory and the definitions of CT and CP with CT 0.11275, CP 0.0453:
// 11 082 rpm, 46.21 W at the shafts.
func TestHoverWorkedCase(t *testing.T) {
	c, p, _, _ := plusQuad(t)
	for i := range 4 {
		q := &c.Rotors[i].Prop
		*q = Propeller{StaticCount: 1}
		q.StaticSpeed[0], q.StaticCT[0], q.StaticCP[0] = 100, 0.11275, 0.0453
	}
	c.Prepare()
	speed := HoverSpeed(c, p)
	assert.InDelta(t, 11082, speed*60/(2*math.Pi), 0.5)
	assert.InDelta(t, 46.21, HoverPower(c, p)*0.75, 0.005)
	assert.InDelta(t, speed/2200*4.2/3.7, HoverDuty(c, p, 3.7), 1e-12)
}

// Goal: hover is an equilibrium of the tick: speed, thrust and power stay.
func TestHoverIsAnEquilibrium(t *testing.T) {
	c, p, s, in := plusQuad(t)
	start := s.RotorSpeed
	var w Wrench
	power := 0.0
	for range 1000 {
		in.Tick++
		power = rotorStep(c, p, s, in, Vec3{}, &w)
	}
	for i := range 4 {
		assert.InDelta(t, start[i], s.RotorSpeed[i], 1e-9)
		kT, kQ := Linear(c, p.Air.Density, start[i], i)
		assert.InDelta(t, 0.5*9.80665/4, kT*start[i]*start[i], 1e-9)
		assert.Greater(t, kQ, 0.0)
	}
	assert.InDelta(t, 0.5*9.80665, w.ForceB.Z, 1e-9)
	assert.InDelta(t, HoverPower(c, p), power, 1e-9)
}

// Goal: thinner air asks for more speed, and a craft too heavy says so by a duty
// above 1.
func TestHoverLimits(t *testing.T) {
	c, p, _, _ := plusQuad(t)
	low := HoverSpeed(c, p)
	p.Air.Density = StandardAir(2000).Density
	assert.InEpsilon(t, math.Sqrt(1.225/p.Air.Density), HoverSpeed(c, p)/low, 0.01)
	c.Mass = 50
	assert.Greater(t, HoverDuty(c, p, 4), 1.0)
}
