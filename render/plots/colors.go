package plots

import "image/color"

// Colours that people of every colour vision tell apart, from M. Okabe and K.
// Ito, "Color Universal Design", 2008.
var (
	blue      = color.RGBA{0, 114, 178, 255}
	vermilion = color.RGBA{213, 94, 0, 255}
	grey      = color.RGBA{110, 110, 110, 255}
)
