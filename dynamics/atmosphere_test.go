package dynamics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Goal: the standard atmosphere, by geometric and geopotential height. Source:
// U.S. Standard Atmosphere 1976, NOAA-S/T 76-1562, table I.
func TestStandardAir(t *testing.T) {
	for _, row := range []struct{ z, temperature, pressure, density, sound, viscosity float64 }{
		{0, 288.150, 101325, 1.2250, 340.294, 1.7894e-5},
		{100, 287.500, 100129.5, 1.213282, 339.910, 1.7862e-5},
		{500, 284.900, 95461.3, 1.167273, 338.370, 1.7737e-5},
		{1000, 281.651, 89876.3, 1.111659, 336.435, 1.7579e-5},
		{1500, 278.402, 84559.7, 1.058104, 334.489, 1.7420e-5},
		{2000, 275.154, 79501.4, 1.006553, 332.532, 1.7260e-5},
		{3000, 268.659, 70121.2, 0.909254, 328.584, 1.6938e-5},
	} {
		a := StandardAir(row.z)
		assert.InEpsilon(t, row.temperature, a.Temperature, 1e-5, "T at %v m", row.z)
		assert.InEpsilon(t, row.pressure, a.Pressure, 1e-5, "p at %v m", row.z)
		assert.InEpsilon(t, row.density, a.Density, 1e-5, "ρ at %v m", row.z)
		assert.InEpsilon(t, row.sound, a.SoundSpeed, 1e-5, "a at %v m", row.z)
		assert.InEpsilon(t, row.viscosity, a.Viscosity, 1e-5*3, "μ at %v m (five digits printed)", row.z)
	}
	for _, row := range []struct{ h, density float64 }{
		{500, 1.167269}, {1000, 1.111643}, {2000, 1.006490}, {3000, 0.909122},
	} {
		assert.InEpsilon(t, row.density, StandardAirGeopotential(row.h).Density, 1e-5, "ρ at %v m geopotential", row.h)
	}
	// Hover power goes with ρ^−½: 10.32 % more at 2000 m.
	assert.InDelta(t, 1.1032, math.Sqrt(StandardAir(0).Density/StandardAir(2000).Density), 1e-4)
}

// Goal: gravity. Source: NIMA TR8350.2, 3rd ed. (2000), eqs 4-1 and 4-3, table
// 3.4.
func TestNormalGravity(t *testing.T) {
	for _, row := range []struct{ degrees, h, want float64 }{
		{0, 0, 9.78032534}, {15, 0, 9.78378496}, {30, 0, 9.79324727}, {45, 0, 9.80619777},
		{50, 0, 9.81070214}, {60, 0, 9.81917695}, {90, 0, 9.83218494},
		{45, 100, 9.80588922}, {45, 1000, 9.80311294},
		// The flattening cancels at 45°, so the poles and the equator too, computed from eq. 4-3.
		{0, 1000, 9.77723837}, {90, 1000, 9.82910227},
	} {
		assert.InDelta(t, row.want, NormalGravity(row.degrees*math.Pi/180, row.h), 1e-8, "%v° at %v m", row.degrees, row.h)
	}
}
