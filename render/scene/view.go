package scene

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/render/paint"
)

// View says from where the scene is seen.
type View uint8

// The views.
const (
	PilotsPlace View = iota // the eyes of who holds the transmitter
	Following               // a step behind the craft on the pilot's line of sight, so left stays left
	Top                     // from above, as a drawing: x to the right
	Views

	camera // the craft's own, for the inset
)

// eye is where and how one looks.
type eye struct {
	at, to, up vec
	fovY       float64 // rad
	near, far  float64 // m
}

const (
	eyeShare    = 0.93 // of a person's height
	standHeight = 1.62 // m, of the eyes where no person's place is known
	standOff    = 0.4  // m, outside the wall where nobody has a place inside
	headTurn    = 0.62 // share of half the picture in which the craft may stand before the head turns
	follow      = 2.9  // m
	shadowDrop  = 0.45 // m, at most, by which Following looks below the craft
)

// pilotsEye is where the pilot's eyes are.
func pilotsEye(p *dynamics.Place) vec {
	if p.PersonCount == 0 {
		return vec{X: p.Min.X - standOff, Y: (p.Min.Y + p.Max.Y) / 2, Z: standHeight}
	}
	at := p.People[0].PosW
	at.Z += eyeShare * p.People[0].Height
	return at
}

// lookFrom returns the eye of view v. Head and eyes of the pilot rest on the
// middle of the flying space and turn only as far as keeps the craft inside the
// picture: what stands still in the room then stands still on the screen.
func lookFrom(v View, o *Options, p *dynamics.Place, craft vec, aspect float64) eye {
	e := eye{at: pilotsEye(p), up: vec{Z: 1}, fovY: o.FovY, near: 0.08, far: 150}
	switch v {
	case Following:
		away := craft.Sub(e.at)
		away.Z = 0
		way := away.Unit(vec{X: 1})
		e.at = clampInto(craft.AddScaled(-follow, way).Add(vec{Z: 0.8}), p)
		height := craft.Z - below(p, craft)
		e.to = craft.Add(vec{Z: -min(0.4*height, shadowDrop)}) // so that the shadow is in the picture
	case Top:
		return fromAbove(p, aspect)
	default:
		rest := vec{X: p.TakeOff.X, Y: p.TakeOff.Y, Z: 1.05}
		e.to = e.at.Add(turnTowards(rest.Sub(e.at), craft.Sub(e.at), o.FovY/2*headTurn, aspect))
	}
	return e
}

// turnTowards turns the way rest towards want, just so far that want is at most
// half (rad) up or down and aspect times that to the side.
func turnTowards(rest, want vec, half, aspect float64) vec {
	yaw, pitch := math.Atan2(rest.Y, rest.X), math.Atan2(rest.Z, rest.NormXY())
	dy := math.Remainder(math.Atan2(want.Y, want.X)-yaw, 2*math.Pi)
	dp := math.Atan2(want.Z, want.NormXY()) - pitch
	yaw += beyond(dy, half*aspect)
	pitch += beyond(dp, half)
	sin, cos := math.Sincos(yaw)
	return vec{X: cos * math.Cos(pitch), Y: sin * math.Cos(pitch), Z: math.Sin(pitch)}
}

func beyond(x, free float64) float64 { return x - min(max(x, -free), free) }

func clampInto(at vec, p *dynamics.Place) vec {
	const free = 0.15
	return vec{
		X: kernel.Clamp(at.X, p.Min.X+free, p.Max.X-free),
		Y: kernel.Clamp(at.Y, p.Min.Y+free, p.Max.Y-free),
		Z: kernel.Clamp(at.Z, 0.3, p.Max.Z-free),
	}
}

// fromAbove looks down far enough to see the whole floor. What is above the
// ceiling is cut away.
func fromAbove(p *dynamics.Place, aspect float64) eye {
	const fov = 0.30
	wide, deep := p.Max.X-p.Min.X+1.2, p.Max.Y-p.Min.Y+1.0
	high := math.Max(deep, wide/aspect) / (2 * math.Tan(fov/2))
	middle := vec{X: (p.Min.X + p.Max.X) / 2, Y: (p.Min.Y + p.Max.Y) / 2}
	at := middle.Add(vec{Z: high})
	roof := p.Max.Z
	if p.HasNet {
		roof = p.NetMax.Z
	}
	return eye{at: at, to: middle, up: vec{Y: 1}, fovY: fov, near: high - roof + 0.05, far: high + 1}
}

// matrix is the way from the room to the picture.
func (e *eye) matrix(aspect float64) paint.Mat4 {
	back := e.at.Sub(e.to).Unit(vec{X: -1})
	right := e.up.Cross(back).Unit(vec{Y: -1})
	up := back.Cross(right)
	row := func(a vec) [4]float32 {
		return [4]float32{float32(a.X), float32(a.Y), float32(a.Z), float32(-a.Dot(e.at))}
	}
	m := paint.Identity()
	for i, a := range [...]vec{right, up, back} {
		r := row(a)
		copy(m[4*i:], r[:])
	}
	p := paint.Perspective(e.fovY, aspect, e.near, e.far)
	return p.Mul(&m)
}

// placed is the matrix of a thing at p, turned by q, scaled by k along each of
// its axes.
func placed(p vec, q kernel.Quat, k float64) paint.Mat4 {
	m := paint.Identity()
	for i, axis := range [...]vec{{X: k}, {Y: k}, {Z: k}} {
		a := q.Rotate(axis)
		m[i], m[4+i], m[8+i] = float32(a.X), float32(a.Y), float32(a.Z)
	}
	m[3], m[7], m[11] = float32(p.X), float32(p.Y), float32(p.Z)
	return m
}
