package paint

import (
	"fmt"
	"image"

	"github.com/go-gl/gl/v4.1-core/gl"
)

// Target is a picture off the screen, with depth.
type Target struct {
	Width, Height int // px

	frame, color, depth uint32 // drawn into
	plain, picture      uint32 // resolved into, where there is more than one sample
	samples             int
	before              int32 // what was drawn into before Begin
}

// NewTarget makes a target with samples per pixel, 1 for no smoothing.
func NewTarget(width, height, samples int) (*Target, error) {
	t := &Target{Width: width, Height: height, samples: samples}
	gl.GetIntegerv(gl.DRAW_FRAMEBUFFER_BINDING, &t.before)
	defer func() { gl.BindFramebuffer(gl.FRAMEBUFFER, uint32(t.before)) }()
	gl.GenFramebuffers(1, &t.plain)
	gl.BindFramebuffer(gl.FRAMEBUFFER, t.plain)
	gl.GenTextures(1, &t.picture)
	gl.BindTexture(gl.TEXTURE_2D, t.picture)
	gl.TexImage2D(gl.TEXTURE_2D, 0, gl.RGBA8, int32(width), int32(height), 0, gl.RGBA, gl.UNSIGNED_BYTE, nil)
	gl.TexParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.LINEAR)
	gl.TexParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.LINEAR)
	gl.TexParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE)
	gl.TexParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE)
	gl.FramebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, t.picture, 0)
	t.frame = t.plain
	if samples > 1 {
		gl.GenFramebuffers(1, &t.frame)
		gl.BindFramebuffer(gl.FRAMEBUFFER, t.frame)
		t.color = t.renderbuffer(gl.RGBA8, gl.COLOR_ATTACHMENT0)
	}
	t.depth = t.renderbuffer(gl.DEPTH_COMPONENT24, gl.DEPTH_ATTACHMENT)
	if s := gl.CheckFramebufferStatus(gl.FRAMEBUFFER); s != gl.FRAMEBUFFER_COMPLETE {
		return nil, fmt.Errorf("paint: a picture of %d × %d px with %d samples is refused (0x%x)", width, height, samples, s)
	}
	return t, nil
}

func (t *Target) renderbuffer(format, attachment uint32) (id uint32) {
	gl.GenRenderbuffers(1, &id)
	gl.BindRenderbuffer(gl.RENDERBUFFER, id)
	if t.samples > 1 {
		gl.RenderbufferStorageMultisample(gl.RENDERBUFFER, int32(t.samples), format, int32(t.Width), int32(t.Height))
	} else {
		gl.RenderbufferStorage(gl.RENDERBUFFER, format, int32(t.Width), int32(t.Height))
	}
	gl.FramebufferRenderbuffer(gl.FRAMEBUFFER, attachment, gl.RENDERBUFFER, id)
	return id
}

// Begin makes t what is drawn into.
func (t *Target) Begin() {
	gl.GetIntegerv(gl.DRAW_FRAMEBUFFER_BINDING, &t.before)
	gl.BindFramebuffer(gl.FRAMEBUFFER, t.frame)
	gl.Viewport(0, 0, int32(t.Width), int32(t.Height))
}

// End gives drawing back to what was drawn into before Begin.
func (t *Target) End() {
	if t.frame != t.plain {
		gl.BindFramebuffer(gl.READ_FRAMEBUFFER, t.frame)
		gl.BindFramebuffer(gl.DRAW_FRAMEBUFFER, t.plain)
		w, h := int32(t.Width), int32(t.Height)
		gl.BlitFramebuffer(0, 0, w, h, 0, 0, w, h, gl.COLOR_BUFFER_BIT, gl.NEAREST)
	}
	gl.BindFramebuffer(gl.FRAMEBUFFER, uint32(t.before))
}

// Show copies t's picture, good after End, into what is drawn into, pixel for
// pixel, with its lower left corner at x, y.
func (t *Target) Show(x, y int) {
	gl.BindFramebuffer(gl.READ_FRAMEBUFFER, t.plain)
	w, h := int32(t.Width), int32(t.Height)
	gl.BlitFramebuffer(0, 0, w, h, int32(x), int32(y), int32(x)+w, int32(y)+h, gl.COLOR_BUFFER_BIT, gl.NEAREST)
	gl.BindFramebuffer(gl.READ_FRAMEBUFFER, uint32(t.before))
}

// Texture is t's picture as a texture, good after End.
func (t *Target) Texture() uint32 { return t.picture }

// Image reads t's picture back, good after End.
func (t *Target) Image() *image.RGBA {
	gl.BindFramebuffer(gl.FRAMEBUFFER, t.plain)
	img := ReadPixels(t.Width, t.Height)
	gl.BindFramebuffer(gl.FRAMEBUFFER, uint32(t.before))
	return img
}

// ReadPixels reads the lower left width × height pixels of what is drawn into.
func ReadPixels(width, height int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, width, height))
	gl.PixelStorei(gl.PACK_ALIGNMENT, 1)
	raw := make([]uint8, len(img.Pix))
	gl.ReadPixels(0, 0, int32(width), int32(height), gl.RGBA, gl.UNSIGNED_BYTE, gl.Ptr(raw))
	for y := range height { // OpenGL counts rows from below
		copy(img.Pix[y*img.Stride:], raw[(height-1-y)*img.Stride:(height-y)*img.Stride])
	}
	for i := 3; i < len(img.Pix); i += 4 {
		img.Pix[i] = 0xff
	}
	return img
}

// Release gives t's memory back.
func (t *Target) Release() {
	gl.DeleteFramebuffers(1, &t.plain)
	gl.DeleteTextures(1, &t.picture)
	gl.DeleteRenderbuffers(1, &t.depth)
	if t.frame != t.plain {
		gl.DeleteFramebuffers(1, &t.frame)
		gl.DeleteRenderbuffers(1, &t.color)
	}
}
