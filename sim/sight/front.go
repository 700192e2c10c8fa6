package sight

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
)

// frame is what one picture's work shares: the believed pose against the
// keyframe in camera axes.
type frame struct {
	mount  kernel.Mat3 // camera → body
	rot    kernel.Mat3 // camera now → camera at the keyframe
	back   kernel.Mat3 // and the other way
	trans  Vec3        // m, in the keyframe's camera axes
	away   Vec3        // m, the same in the present camera's axes
	base   float64     // share, uncertainty of the distance: σ_b/b, large where b is small
	turn   float64     // rad, uncertainty of the turn
	deep   float64     // noise of the difference of two bearings in a depth, squared
	sigma  float64     // m, uncertainty of the translation
	common float64     // m, by which it moves all tracks of unknown depth together
	noise  float64     // variance of a bearing as taken, 1 (px over focal length, squared)
}

func newFrame(p *Params, g *estimate.Guess) (f frame) {
	f.mount = mount(p.Tilt)
	m := &f.mount
	mt := m.Transpose()
	r := g.Turn.Matrix()
	rm := r.Mul(m)
	f.rot = mt.Mul(&rm)
	f.back = f.rot.Transpose()
	f.trans = mt.MulVec(g.TransB)
	f.away = f.back.MulVec(f.trans)
	f.base = g.Sigma / max(g.TransB.Norm(), 1e-6)
	f.deep = float64(2*p.DepthSigma*p.DepthSigma) / float64(p.Focal*p.Focal)
	f.sigma = g.Sigma
	f.common = math.Sqrt(float64(g.Sigma*g.Sigma) + g.TransB.NormSq())
	f.turn = g.TurnSigma
	f.noise = float64(p.PixelSigma*p.PixelSigma) / float64(p.Focal*p.Focal)
	return f
}

// work compares the picture with the keyframe.
func (s *State) work(p *Params, sc *Scene, g *estimate.Guess, seed uint64, out *estimate.Relative) {
	f := newFrame(p, g)
	var sum, far info // of tracks of known depth and of the others
	parallax, motion, known, live := 0.0, 0.0, 0, 0
	for i := range s.Tracks {
		t := &s.Tracks[i]
		if t.ID < 0 {
			continue
		}
		live++
		if !g.Live {
			continue
		}
		dx, dy := t.X-t.AX, t.Y-t.AY
		motion += float64(dx*dx) + float64(dy*dy)
		px, isKnown := f.compare(p, t, &sum, &far)
		parallax += px
		if isKnown {
			known++
		}
	}
	out.Sight.WeakSigma = estimate.Blind
	if g.Live {
		sum.weakest(&f, g, &out.Sight)
		sum.common(p.ScaleSigma)
		far.turnOnly(f.common)
		sum.join(&far)
		sum.mounting(&f, p.MountSigma)
		sum.rows(&f, out)
	}
	out.Sight.Tracks, out.Sight.Known = live, known
	out.Sight.Motion = p.Focal * math.Sqrt(0.5*motion/max(float64(live), 1))
	out.Sight.Parallax = parallax / max(float64(live), 1)
	if s.wantsKey(p, g, live, known, parallax) {
		out.Rekey = true
		s.rekey(p, sc, g, &f, seed)
	}
}

// seen is a track in the picture: where the filter expects it, what was
// measured, and how the bearing depends on the inverse depth.
type seen struct {
	y      Vec3    // along the expected line of sight, present camera's axes
	inv    float64 // 1 over y.Z
	ux, uy float64 // expected bearing
	rx, ry float64 // measured less expected
	jx, jy float64 // derivative of the bearing, along the epipolar line
	jj     float64 // its square
}

// expect fills o for track t at inverse depth rho; false where that would lie
// behind the camera.
func (f *frame) expect(t *Track, rho float64, o *seen) bool {
	o.y = f.back.MulVec(Vec3{X: t.AX, Y: t.AY, Z: 1}.AddScaled(-rho, f.trans))
	if o.y.Z < 0.05 {
		return false
	}
	o.inv = 1 / o.y.Z
	o.ux, o.uy = float64(o.y.X*o.inv), float64(o.y.Y*o.inv)
	o.rx, o.ry = t.X-o.ux, t.Y-o.uy
	o.jx = -float64((f.away.X - float64(o.ux*f.away.Z)) * o.inv)
	o.jy = -float64((f.away.Y - float64(o.uy*f.away.Z)) * o.inv)
	o.jj = float64(o.jx*o.jx) + float64(o.jy*o.jy)
	return true
}

// compare takes in one track: its depth where this picture tells it better
// than any before, and its part of the information. It returns the parallax
// (px) against the keyframe.
func (f *frame) compare(p *Params, t *Track, sum, far *info) (parallax float64, known bool) {
	var o seen
	if !f.expect(t, t.Rho, &o) {
		return 0, false
	}
	fresh := f.depth(t, &o)
	known = t.Rel <= p.KnownBelow
	if known && !fresh {
		f.addKnown(t, &o, sum)
	} else {
		f.addUnknown(t, &o, far, fresh)
	}
	return t.Rho * math.Sqrt(o.jj) * p.Focal, known
}

// addKnown takes in a track of known depth: its bearing along the epipolar line
// with the depth marginalised, and across it.
func (f *frame) addKnown(t *Track, o *seen, sum *info) {
	spread := t.Rho * t.Rel
	along := 1 / (f.noise + float64(spread*spread*o.jj))
	w := o.weigh(along, 1/f.noise)
	sum.point(o, t.Rho, &w)
	sum.shared(o, t.Rho, along)
}

// addUnknown takes in a track of unknown depth as a point at infinity. What an
// uncertain translation moves it by counts as noise of its own; what that moves
// all of them by, together, is taken out of their sum (info.turnOnly). Where its
// depth has just been measured with this picture (fresh), what it says along
// the epipolar line has gone into that.
func (f *frame) addUnknown(t *Track, o *seen, sum *info, fresh bool) {
	slip, spread := t.Rho*f.sigma, t.Rho*t.Rel
	noise := f.noise + float64(slip*slip)
	along := 0.0
	if !fresh {
		along = 1 / (noise + float64(spread*spread*o.jj))
	}
	w := o.weigh(along, 1/noise)
	sum.point(o, t.Rho, &w)
}

// weight is the information of a bearing, on its two numbers: its 2 × 2 matrix.
type weight struct{ xx, xy, yy float64 }

// weigh returns the information of a bearing that has one along the epipolar
// line and another across it.
func (o *seen) weigh(along, across float64) weight {
	if o.jj < 1e-18 {
		return weight{xx: across, yy: across}
	}
	k := (along - across) / o.jj
	x, y := float64(k*o.jx), float64(k*o.jy)
	return weight{xx: across + float64(x*o.jx), xy: float64(x * o.jy), yy: across + float64(y*o.jy)}
}

// Depths that are believed.
const (
	leastRho = 1.0 / 30 // 1/m
	mostRho  = 5.0      // 1/m
)

// depth measures a track's depth by its parallax over the filter's baseline,
// where that gives it clearly better than it is known. What it then is, errors
// and all, it stays. It tells whether it did, and then o is of the new depth.
func (f *frame) depth(t *Track, o *seen) bool {
	// As relSq(t.Rho, jj) > ½·Rel², without its division.
	if f.deep+float64(f.turn*f.turn) > (float64(0.5*t.Rel*t.Rel)-float64(f.base*f.base))*t.Rho*t.Rho*o.jj {
		return false
	}
	rho, at := t.Rho, *o
	for range 4 { // Newton's steps along the epipolar line
		rho += (float64(at.jx*at.rx) + float64(at.jy*at.ry)) / at.jj
		if rho < leastRho || rho > mostRho || !f.expect(t, rho, &at) {
			return false
		}
	}
	rel := f.relSq(rho, at.jj)
	if rel > float64(0.5*t.Rel*t.Rel) {
		return false
	}
	t.Rho, t.Rel = rho, math.Sqrt(rel)
	*o = at
	return true
}

// relSq is (σρ/ρ)² of an inverse depth measured by parallax: the bearings'
// noise, twice, and the uncertain turn over the parallax, and the uncertain
// baseline.
func (f *frame) relSq(rho, jj float64) float64 {
	return (f.deep+float64(f.turn*f.turn))/float64(rho*rho*max(jj, 1e-18)) + float64(f.base*f.base)
}
