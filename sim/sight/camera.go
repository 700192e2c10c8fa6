package sight

import (
	"math"
	"math/bits"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// view is a picture being taken: the camera's true pose and motion. Camera axes
// are x right, y down in the picture, z along the line of sight.
type view struct {
	posW    Vec3
	rot     kernel.Mat3 // room → camera
	velC    Vec3        // m/s, of the camera, in its axes
	omegaC  Vec3        // rad/s
	ambient float64
	levels  [MaxLamps]float64
	light   float64 // factor of everything: 1, or 0 with the lens covered
	time    float64 // s
	walked  Vec3    // m, by which the first person has walked
}

// mount returns the rotation camera → body for a down-tilt (rad).
func mount(tilt float64) kernel.Mat3 {
	sin, cos := kernel.SinCos(tilt)
	// Columns: the camera's right, down and forward in body axes.
	return kernel.Mat3{
		0, -sin, cos,
		-1, 0, 0,
		0, -cos, -sin,
	}
}

// open returns the view of shot: pose and motion a moment off the tick by the
// camera's clock error, and turned by its mounting error.
func (s *State) open(p *Params, sc *Scene, v *view) {
	shot := &s.Shot
	v.posW = shot.PosW.AddScaled(s.TimeError, shot.VelW)
	q := shot.QWB.Mul(kernel.QuatExp(shot.OmegaB.Scale(s.TimeError))).Mul(kernel.QuatExp(s.MountError))
	if shot.Turned != 0 {
		q = q.Mul(kernel.QuatYaw(shot.Turned))
	}
	m := mount(p.Tilt)
	r := q.Matrix()
	wc := r.Mul(&m)
	v.rot = wc.Transpose()
	v.velC = v.rot.MulVec(shot.VelW)
	mt := m.Transpose()
	v.omegaC = mt.MulVec(shot.OmegaB)
	v.light, v.ambient = shot.Light, sc.Decor.Ambient
	v.time, v.walked = float64(shot.Tick)*dynamics.DT, shot.WalkedW
	sc.Decor.levels(v.time, &v.levels)
}

// see projects landmark l into the view: its bearing (x/z, y/z), and whether it
// is seen, margin px inside the border.
func (v *view) see(p *Params, sc *Scene, l *Landmark, margin float64) (x, y float64, ok bool) {
	at := l.PosW
	if l.Leaves > 0 {
		at = at.Add(sc.Decor.Leaves[l.Leaves-1].at(v.time, float64(l.Behind)))
	}
	d := at.Sub(v.posW)
	c := v.rot.MulVec(d)
	if c.Z < p.Near || c.Z > p.Far {
		return 0, 0, false
	}
	x, y = c.X/c.Z, c.Y/c.Z
	if float64(math.Abs(x)*p.Focal)+margin > 0.5*p.Width || float64(math.Abs(y)*p.Focal)+margin > 0.5*p.Height {
		return x, y, false
	}
	sight := -d.Dot(l.NormalW)
	if sight <= 0 || float64(sight*sight) < float64(p.Facing*p.Facing)*d.NormSq() {
		return x, y, false
	}
	if v.lit(sc, l)*l.Contrast < p.Lit || v.blurSq(p, &c, x, y) > p.BlurMax*p.BlurMax {
		return x, y, false
	}
	return x, y, !sc.hidden(v.posW, at, &v.walked)
}

// lit returns the light on l.
func (v *view) lit(sc *Scene, l *Landmark) float64 {
	sum := v.ambient
	for i := range sc.Decor.LampCount {
		sum += float64(v.levels[i] * float64(l.Light[i]))
	}
	return sum * v.light
}

// blurSq returns how far (px, squared) the image of c moves during the exposure.
func (v *view) blurSq(p *Params, c *Vec3, x, y float64) float64 {
	move := c.Cross(v.omegaC).Sub(v.velC)
	dx := (move.X - float64(x*move.Z)) / c.Z
	dy := (move.Y - float64(y*move.Z)) / c.Z
	k := p.Focal * p.Exposure
	return k * k * (float64(dx*dx) + float64(dy*dy))
}

// white2 returns two independent numbers of mean 0 and variance 1, nearly
// normal: heads in 24 coin flips each, with a uniform number of one flip's width
// so that they stand on no grid. Excess kurtosis −0.08, greatest value 5.
func white2(seed uint64, s kernel.Stream, tick int64, index uint64) (float64, float64) {
	w := kernel.Bits(seed, s, tick, index)
	return white(uint32(w)), white(uint32(w >> 32))
}

var whiteScale = 1 / math.Sqrt(24*0.25+1.0/12)

func white(w uint32) float64 {
	heads := float64(bits.OnesCount32(w >> 8))
	dither := float64((float64(w&255) + 0.5) * (1.0 / 256))
	return float64((heads + dither - 12.5) * whiteScale)
}
