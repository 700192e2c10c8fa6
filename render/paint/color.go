package paint

// Color is a colour with opacity, not premultiplied, 0 … 255 (sRGB).
type Color struct{ R, G, B, A uint8 }

// RGB returns the opaque colour of a hexadecimal code such as 0xE69F00.
func RGB(code uint32) Color { return Color{uint8(code >> 16), uint8(code >> 8), uint8(code), 255} }

// Alpha returns c at opacity a, 0 … 1.
func (c Color) Alpha(a float64) Color {
	c.A = uint8(255*min(max(a, 0), 1) + 0.5)
	return c
}

// Mix returns the colour a share k of the way from c to d.
func (c Color) Mix(d Color, k float64) Color {
	mix := func(a, b uint8) uint8 { return uint8(float64(a) + k*(float64(b)-float64(a)) + 0.5) }
	return Color{mix(c.R, d.R), mix(c.G, d.G), mix(c.B, d.B), mix(c.A, d.A)}
}

// The palette of Okabe and Ito, Color Universal Design, 2008, that people with
// and without colour deficiencies can tell apart. Shapes and words stand beside
// it all the same.
var (
	Black      = RGB(0x000000)
	Orange     = RGB(0xE69F00)
	SkyBlue    = RGB(0x56B4E9)
	Green      = RGB(0x009E73) // bluish green
	Yellow     = RGB(0xF0E442)
	Blue       = RGB(0x0072B2)
	Vermillion = RGB(0xD55E00)
	Purple     = RGB(0xCC79A7) // reddish purple
)

// White is white.
var White = RGB(0xFFFFFF)
