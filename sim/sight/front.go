package sight

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
)

// frame is what one picture's work shares: the believed pose against the
// keyframe in camera axes.
type frame struct {
	mount kernel.Mat3 // camera → body
	rot   kernel.Mat3 // camera now → camera at the keyframe
	back  kernel.Mat3 // and the other way
	trans Vec3        // m, in the keyframe's camera axes
	away  Vec3        // m, the same in the present camera's axes
	base  float64     // share, uncertainty of the distance: σ_b/b, large where b is small
	turn  float64     // rad, uncertainty of the turn
	deep  float64     // the same for a depth, squared, for the difference of two
	sharp float64     // 1 over pix
	pix   float64     // bearing noise as taken, 1 (px over focal length)
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
	f.turn = g.TurnSigma
	f.pix, f.sharp = p.PixelSigma/p.Focal, p.Focal/p.PixelSigma
	return f
}

// work compares the picture with the keyframe.
func (s *State) work(p *Params, sc *Scene, g *estimate.Guess, seed uint64, out *estimate.Relative) {
	f := newFrame(p, g)
	var sum info
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
		px, isKnown := f.compare(p, t, &sum)
		parallax += px
		if isKnown {
			known++
		}
	}
	if g.Live {
		sum.weakest(&f, g, &out.Sight)
		sum.common(p.ScaleSigma)
		sum.mounting(&f, p.MountSigma)
		sum.rows(&f, out)
	}
	if !g.Live {
		out.Sight.WeakSigma = estimate.Blind
	}
	out.Sight.Tracks, out.Sight.Known = live, known
	out.Sight.Motion = p.Focal * math.Sqrt(0.5*motion/max(float64(live), 1))
	if s.wantsKey(p, g, live, parallax) {
		out.Rekey = true
		s.rekey(p, sc, g, &f, seed)
	}
}

// compare takes in one track: its depth where this picture tells it better
// than any before, and its part of the information. It returns the parallax
// (px) against the keyframe.
func (f *frame) compare(p *Params, t *Track, sum *info) (parallax float64, known bool) {
	a := Vec3{X: t.AX, Y: t.AY, Z: 1}
	y := f.back.MulVec(a.AddScaled(-t.Rho, f.trans))
	if y.Z < 0.05 {
		return 0, false
	}
	inv := 1 / y.Z
	ux, uy := float64(y.X*inv), float64(y.Y*inv)
	rx, ry := t.X-ux, t.Y-uy
	jx := -float64((f.away.X - float64(ux*f.away.Z)) * inv) // of the bearing on the inverse depth
	jy := -float64((f.away.Y - float64(uy*f.away.Z)) * inv)
	jj := float64(jx*jx) + float64(jy*jy)

	fresh := f.depth(t, jx, jy, jj, rx, ry)
	known = t.Rel <= p.KnownBelow
	j, ex, ey := 0.0, 1.0, 0.0
	if jj > 1e-18 {
		j = math.Sqrt(jj)
		k := 1 / j
		ex, ey = float64(jx*k), float64(jy*k)
	}
	trans := known && !fresh
	if !fresh { // or what it says along the epipolar line has gone into the depth
		spread := t.Rho * t.Rel * j
		w := 1 / math.Sqrt(float64(f.pix*f.pix)+float64(spread*spread))
		if w*f.pix > 0.03 { // below, it says nothing
			z := w * (float64(ex*rx) + float64(ey*ry))
			turn, move := lean(&y, w*inv, ux, uy, ex, ey, t.Rho)
			if trans {
				sum.row(&turn, &move, z)
				sum.cross(&turn, &move, z, t.Rho*j*w)
			} else {
				sum.turnRow(&turn, z)
			}
		}
	}
	z := (float64(ex*ry) - float64(ey*rx)) * f.sharp
	turn, move := lean(&y, inv*f.sharp, ux, uy, -ey, ex, t.Rho)
	if trans {
		sum.row(&turn, &move, z)
	} else {
		sum.turnRow(&turn, z)
	}
	return t.Rho * j * p.Focal, known
}

// lean returns how the bearing (ux, uy) of y along the picture's direction
// (ex, ey), times k·y.Z, depends on turn and translation.
func lean(y *Vec3, k, ux, uy, ex, ey, rho float64) (turn, move Vec3) {
	mx, my := float64(k*ex), float64(k*ey)
	mz := -(float64(mx*ux) + float64(my*uy))
	turn = Vec3{X: float64(my*y.Z) - float64(mz*y.Y), Y: float64(mz*y.X) - float64(mx*y.Z), Z: float64(mx*y.Y) - float64(my*y.X)}
	return turn, Vec3{X: -float64(rho * mx), Y: -float64(rho * my), Z: -float64(rho * mz)}
}

// depth measures a track's depth by its parallax over the filter's baseline,
// where that gives it clearly better than it is known. What it then is, errors
// and all, it stays. It tells whether it did.
func (f *frame) depth(t *Track, jx, jy, jj, rx, ry float64) bool {
	// As relSq(t.Rho, jj) > ½·Rel², without its division.
	if f.deep+float64(f.turn*f.turn) > (float64(0.5*t.Rel*t.Rel)-float64(f.base*f.base))*t.Rho*t.Rho*jj {
		return false
	}
	rho := t.Rho + (float64(jx*rx)+float64(jy*ry))/jj
	for range 3 {
		y := f.back.MulVec(Vec3{X: t.AX, Y: t.AY, Z: 1}.AddScaled(-rho, f.trans))
		if y.Z < 0.05 {
			return false
		}
		inv := 1 / y.Z
		ux, uy := float64(y.X*inv), float64(y.Y*inv)
		jx = -float64((f.away.X - float64(ux*f.away.Z)) * inv)
		jy = -float64((f.away.Y - float64(uy*f.away.Z)) * inv)
		jj = float64(jx*jx) + float64(jy*jy)
		rho += (float64(jx*(t.X-ux)) + float64(jy*(t.Y-uy))) / jj
	}
	rho = kernel.Clamp(rho, 1.0/30, 5)
	rel := f.relSq(rho, jj)
	if rel > float64(0.5*t.Rel*t.Rel) {
		return false
	}
	t.Rho, t.Rel = rho, math.Sqrt(rel)
	return true
}

// relSq is (σρ/ρ)² of an inverse depth measured by parallax: the bearings'
// noise, twice, and the uncertain turn over the parallax, and the uncertain
// baseline.
func (f *frame) relSq(rho, jj float64) float64 {
	return (f.deep+float64(f.turn*f.turn))/float64(rho*rho*max(jj, 1e-18)) + float64(f.base*f.base)
}
