package guest

import (
	"encoding/binary"
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
)

// pen writes fields one after another.
type pen struct{ b []byte }

func (p *pen) whole(x int64) {
	binary.LittleEndian.PutUint64(p.b, uint64(x))
	p.b = p.b[8:]
}

func (p *pen) real(x float64) {
	binary.LittleEndian.PutUint64(p.b, math.Float64bits(x))
	p.b = p.b[8:]
}

func (p *pen) flag(yes bool) {
	x := int64(0)
	if yes {
		x = 1
	}
	p.whole(x)
}

func (p *pen) stick(s int16) { p.real(hands.Share(s)) }

func (p *pen) vec(v *kernel.Vec3) {
	b := p.b[:24]
	binary.LittleEndian.PutUint64(b, math.Float64bits(v.X))
	binary.LittleEndian.PutUint64(b[8:], math.Float64bits(v.Y))
	binary.LittleEndian.PutUint64(b[16:], math.Float64bits(v.Z))
	p.b = p.b[24:]
}

func (p *pen) reals(all []float64) {
	for _, x := range all {
		p.real(x)
	}
}

// eye reads fields one after another.
type eye struct{ b []byte }

func (e *eye) whole() int64 {
	x := binary.LittleEndian.Uint64(e.b)
	e.b = e.b[8:]
	return int64(x)
}

func (e *eye) real() float64 { return math.Float64frombits(uint64(e.whole())) }

func (e *eye) vec() kernel.Vec3 { return kernel.Vec3{X: e.real(), Y: e.real(), Z: e.real()} }
