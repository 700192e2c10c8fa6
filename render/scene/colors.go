package scene

import "lapwing/render/paint"

// Colours of the glasshouse: muted, so that craft, marks and people stand out.
var (
	slab     = paint.RGB(0xC2B9A6)
	block    = paint.RGB(0xD8CFBE) // the low wall under the glass
	bar      = paint.RGB(0xF4F1E8) // painted glazing bars
	steel    = paint.RGB(0x8C9690)
	wood     = paint.RGB(0xA9835A)
	slat     = paint.RGB(0xBE9768)
	clay     = paint.RGB(0xB4694A)
	soil     = paint.RGB(0x4E3A2C)
	netGreen = paint.RGB(0x27443A)
	rope     = paint.RGB(0x33544A)

	leafDark  = paint.RGB(0x3F6B35)
	leafLight = paint.RGB(0x8DB255)
	leafBlue  = paint.RGB(0x5B8A72)
	leafRed   = paint.RGB(0x97604F)
	fruit     = paint.RGB(0xC8452F)
	lawn      = paint.RGB(0x9DB57B)
	path      = paint.RGB(0xCBC3B2)

	skyLow  = paint.RGB(0xF2F3EE)
	skyHigh = paint.RGB(0xB4CAD6)
	haze    = paint.RGB(0xE4ECE8) // what glass puts over all that is outside

	coatGreen = paint.RGB(0x4F6F52)
	coatBlue  = paint.RGB(0x3F5F7F)
	trousers  = paint.RGB(0x4A4640)
	skin      = paint.RGB(0xC99B77)
	straw     = paint.RGB(0xD9BE7C)

	hull     = paint.RGB(0x3A4046)
	hullTop  = paint.RGB(0xE6E4DC)
	boom     = paint.RGB(0x5A6168)
	motor    = paint.RGB(0x2B2E32)
	guard    = paint.RGB(0x4A5157)
	packBlue = paint.RGB(0x2F4F7A)
	blade    = paint.RGB(0x23262A)
	bladeTip = paint.RGB(0xEDEBE2)
	front    = paint.Orange
	lens     = paint.RGB(0x10181C)

	smoke     = paint.RGB(0x6E6A66)
	shadow    = paint.RGB(0x1C1F1A)
	markWhite = paint.RGB(0xFBFAF4)
	lampShade = paint.RGB(0x5F6B64)
	lampGlow  = paint.RGB(0xFFE9B8)
)

// behindGlass is c as seen through a pane.
func behindGlass(c paint.Color) paint.Color { return c.Mix(haze, 0.22) }
