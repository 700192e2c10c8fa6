package dynamics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Goal: ground effect of one rotor. Source: Cheeseman and Bennett, ARC R&M 3021
// (1955).
func TestGroundRatio(t *testing.T) {
	for _, row := range []struct{ z, want float64 }{
		{0.5, 1.333333}, {0.75, 1.125}, {1, 1.066667}, {1.5, 1.028571}, {2, 1.015873}, {3, 1.006993}, {4, 1.003922},
		{0.1, 1.333333}, {-1, 1.333333}, // held below z/R = 0.5
	} {
		assert.InDelta(t, row.want, GroundRatio(row.z*0.0635, 0.0635), 1e-6, "z/R = %v", row.z)
	}
}

// Goal: ground effect of a quad. Source: Sanchez-Cuevas, Heredia and Ollero, Int.
// J. Aerospace Eng. 2017, 1823056, eqs 4 and 5 (from memory).
func TestGroundRatioQuad(t *testing.T) {
	const R, d, b = 0.0635, 0.16, 0.2263
	for _, row := range []struct{ z, bare, body float64 }{
		{1, 1.1109, 1.1883}, {2, 1.0428, 1.1027}, {4, 1.0139, 1.0389},
	} {
		assert.InDelta(t, row.bare, GroundRatioQuad(row.z*R, R, d, b, 0), 1e-4, "z/R = %v", row.z)
		assert.InDelta(t, row.body, GroundRatioQuad(row.z*R, R, d, b, 2), 1e-4, "z/R = %v with body", row.z)
	}
}

// Goal: the table of the tick, summed over the hubs, is the quad's formula.
func TestGroundTable(t *testing.T) {
	c, _, _, _ := plusQuad(t)
	const R = 0.0635
	d := 0.17 * math.Sqrt2
	for z := 0.5 * R; z < groundTaper*R; z += 0.001 {
		want := GroundRatioQuad(z, R, d, 0.34, 2)
		for i := range 4 {
			assert.InDelta(t, want-1, c.Rotors[i].fixed.ground.at(z, R), 2e-4, "rotor %d, z/R = %v", i, z/R)
		}
	}
	assert.Zero(t, c.Rotors[0].fixed.ground.at(groundFar*R, R))
	assert.Less(t, c.Rotors[0].fixed.ground.at(0.999*groundFar*R, R), 1e-3)
}

// Goal: thrust near floor, box and ceiling is as the formulas say at level
// attitude, fades with tilt, does not jump across an edge, and is untouched, bit
// for bit, far from all.
func TestSurfaces(t *testing.T) {
	c, p, s, in := plusQuad(t)
	const R = 0.0635
	thrust := func(pos Vec3, q Quat) [MaxRotors]float64 {
		here := *s
		here.PosW, here.QWB = pos, q
		var w Wrench
		rotorStep(c, p, &here, in, Vec3{}, &w)
		return here.Thrust
	}
	level := Quat{W: 1}
	free := thrust(Vec3{Z: 10}, level)
	assert.Equal(t, free, thrust(Vec3{Z: 1.2}, level), "far")

	near := thrust(Vec3{Z: 2 * R}, level)
	assert.InDelta(t, GroundRatioQuad(2*R, R, 0.17*math.Sqrt2, 0.34, 2), near[0]/free[0], 2e-4)
	ceiling := thrust(Vec3{Z: 20 - R}, level)
	assert.InDelta(t, CeilingRatio(R, R), ceiling[0]/free[0], 1e-9)
	assert.InDelta(t, 1.292, CeilingRatio(0, R), 1e-3, "contact: 1/(1 − 1/(6.924·0.8²)) by the formula")

	lean := 30 * math.Pi / 180
	tilted := thrust(Vec3{Z: 2 * R}, Quat{W: math.Cos(lean / 2), X: math.Sin(lean / 2)})
	assert.InDelta(t, 1+0.75*(near[0]/free[0]-1), tilted[0]/free[0], 1e-3, "front and rear hubs keep their height")
	assert.Equal(t, free, thrust(Vec3{Z: 2 * R}, Quat{X: 1}), "upside down")

	p.Boxes[0] = Box{Min: Vec3{X: 1, Y: -1}, Max: Vec3{X: 3, Y: 1, Z: 5}}
	p.BoxCount = 1
	above := thrust(Vec3{X: 2, Z: 5 + 2*R}, level)
	assert.InDelta(t, near[0]/free[0], above[0]/free[0], 1e-12, "a box's top is a floor")
	assert.Equal(t, free, thrust(Vec3{X: -2, Z: 5 + 2*R}, level), "beside the box")
	last := thrust(Vec3{X: 0.5, Z: 5 + 2*R}, level)
	for x := 0.5; x < 1.5; x += 0.001 {
		now := thrust(Vec3{X: x, Z: 5 + 2*R}, level)
		assert.InDelta(t, last[0], now[0], 0.005*free[0])
		last = now
	}
}
