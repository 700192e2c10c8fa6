package dynamics

import (
	"math"

	"lapwing/dynamics/kernel"
)

// Air and gravity of a place on the earth, for those who fill a Place: density
// and g differ by several per cent between sea level and a laboratory on a hill.

// Atmosphere is the air at one height.
type Atmosphere struct {
	Temperature float64 // K
	Pressure    float64 // Pa
	Density     float64 // kg/m³
	SoundSpeed  float64 // m/s
	Viscosity   float64 // Pa·s, dynamic
}

// StandardAir returns the standard atmosphere at a geometric height above sea
// level, m, −5000 … 11 000 (the lowest layer).
//
// U.S. Standard Atmosphere 1976 (NOAA-S/T 76-1562): H = r0·Z/(r0 + Z) with r0 =
// 6 356 766 m, then as StandardAirGeopotential.
func StandardAir(z float64) Atmosphere {
	const r0 = 6356766
	return StandardAirGeopotential(r0 * z / (r0 + z))
}

// StandardAirGeopotential returns the same at a geopotential height, m′.
func StandardAirGeopotential(h float64) Atmosphere {
	const (
		t0, p0 = 288.15, 101325.0
		lapse  = 0.0065   // K/m′
		gas    = 8314.32  // N·m/(kmol·K), R* of the 1976 standard
		molar  = 28.9644  // kg/kmol
		gamma  = 1.4      // ratio of specific heats
		beta   = 1.458e-6 // kg/(s·m·K^½), Sutherland, eq. 51
		suth   = 110.4    // K, Sutherland, eq. 51
		expo   = 9.80665 * molar / (gas * lapse)
	)
	t := t0 - float64(lapse*h)
	p := p0 * kernel.Pow(t/t0, expo)
	return Atmosphere{
		Temperature: t,
		Pressure:    p,
		Density:     p * molar / (gas * t),
		SoundSpeed:  math.Sqrt(gamma * gas / molar * t),
		Viscosity:   beta * t * math.Sqrt(t) / (t + suth),
	}
}

// NormalGravity returns the acceleration of gravity, m/s², at a geodetic
// latitude (rad) and height above the ellipsoid (m).
//
// NIMA TR8350.2, 3rd ed. (2000), eqs 4-1 (Somigliana, WGS 84) and 4-3.
func NormalGravity(latitude, h float64) float64 {
	const (
		ge   = 9.7803253359     // m/s² at the equator
		k    = 0.00193185265241 // Somigliana's constant
		e2   = 0.00669437999014 // first eccentricity squared
		a    = 6378137.0        // m, equatorial radius
		flat = 1 / 298.257223563
		m    = 0.00344978650684 // ω²a²b/GM
	)
	sin := kernel.Sin(latitude)
	ss := float64(sin * sin)
	g := ge * (1 + float64(k*ss)) / math.Sqrt(1-float64(e2*ss))
	free := 1 - float64(2*(1+flat+m-float64(2*flat*ss))*(h/a)) + float64(3*(h/a)*(h/a))
	return g * free
}
