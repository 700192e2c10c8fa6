package kernel

import (
	"flag"
	"fmt"
	"go/format"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var writeGolden = flag.Bool("write-golden", false, "write the golden table in place of comparing it")

// goldenSeries lists every function with a way to draw its i-th value. The
// arguments come from integers and exact products, never from package math, so
// they too are the same everywhere.
var goldenSeries = []struct {
	name  string
	value func(i int) float64
}{
	{"exp", func(i int) float64 { return Exp(goldenSpan(i, -700, 700)) }},
	{"expm1", func(i int) float64 { return Expm1(goldenSpan(i, -3, 3)) }},
	{"log", func(i int) float64 { return Log(goldenSpan(i, 0, 20)) }},
	{"pow", func(i int) float64 { return Pow(goldenSpan(i, 0, 3), goldenSpan(i+1, -9, 9)) }},
	{"tanh", func(i int) float64 { return Tanh(goldenSpan(i, -4, 4)) }},
	{"sin", func(i int) float64 { return Sin(goldenSpan(i, -100, 100)) }},
	{"cos", func(i int) float64 { return Cos(goldenSpan(i, -1e5, 1e5)) }},
	{"sincos", func(i int) float64 { s, c := SinCos(goldenSpan(i, -10, 10)); return s + c }},
	{"atan", func(i int) float64 { return Atan(goldenSpan(i, -5, 5)) }},
	{"atan2", func(i int) float64 { return Atan2(goldenSpan(i, -5, 5), goldenSpan(i+1, -5, 5)) }},
	{"asin", func(i int) float64 { return Asin(goldenSpan(i, -1, 1)) }},
	{"acos", func(i int) float64 { return Acos(goldenSpan(i, -1, 1)) }},
	{"normalinv", func(i int) float64 { return NormalInv(goldenSpan(i, 0, 1)) }},
	{"normalcdf", func(i int) float64 { return NormalCDF(goldenSpan(i, -12, 8)) }},
	{"bits", func(i int) float64 { return float64(Bits(uint64(i), testStream, int64(-i), 3)) }},
	{"uniform", func(i int) float64 { return Uniform(1, testStream, int64(i), 2) }},
	{"normal", func(i int) float64 { return Normal(1, NewStream("gust"), int64(i), 2) }},
	{"exponential", func(i int) float64 { return Exponential(1, testStream, int64(i), 2) }},
	{"vector", goldenVector},
	{"rotation", goldenRotation},
	{"solve", goldenSolve},
}

// goldenSpan returns the i-th of a scattered sequence over lo … hi.
func goldenSpan(i int, lo, hi float64) float64 {
	u := float64(uint64(i+1)*0x9e3779b97f4a7c15>>11) * 0x1p-53
	return lo + float64((hi-lo)*u)
}

func goldenVec(i int) Vec3 {
	return Vec3{goldenSpan(3*i, -2, 2), goldenSpan(3*i+1, -2, 2), goldenSpan(3*i+2, -2, 2)}
}

// goldenVector runs through the vector and matrix arithmetic.
func goldenVector(i int) float64 {
	a, b := goldenVec(i), goldenVec(i+1)
	m := Mat3{a.X, b.Y, 0.3, a.Y, b.Z, 0.7, a.Z, b.X, 1.1}
	inv, _ := m.Inverse()
	p := m.Mul(&inv)
	v := p.MulVec(a.Cross(b).AddScaled(0.1, a).Unit(b))
	return v.Dot(b) + m.Det() + a.Norm() + b.NormXY()
}

// goldenRotation runs through the quaternion arithmetic.
func goldenRotation(i int) float64 {
	q := QuatExp(goldenVec(i)).Mul(QuatExp(goldenVec(i + 7))).Normalized()
	roll, pitch, yaw := q.Euler()
	v := QuatEuler(yaw, pitch, roll).RotateInv(q.Rotate(goldenVec(i + 9)))
	return v.Dot(q.Log()) + q.Tilt() + float64(0.1*q.AxisZ().X)
}

// goldenSolve runs through the solvers, 6 × 6.
func goldenSolve(i int) float64 {
	const n = 6
	var a, w, inv [n * n]float64
	var x, y [n]float64
	for r := range n {
		for c := range n {
			a[r*n+c] = goldenSpan(i+r*c, -1, 1)
		}
		a[r*n+r] += 6
		x[r], y[r] = goldenSpan(i+r, -1, 1), goldenSpan(i+r, -1, 1)
	}
	w = a
	if !SolveLU(n, w[:], x[:]) || !Inverse(n, a[:], inv[:]) || !Cholesky(n, a[:]) {
		return 0
	}
	SolveCholesky(n, a[:], y[:])
	var pseudo [8 * 4]float64
	PseudoInverse(4, 8, w[:32], pseudo[:])
	return dot(x[:], y[:]) + dot(inv[:], inv[:]) + dot(pseudo[:], pseudo[:])
}

// goldenHash folds the bits of n values into one word.
func goldenHash(value func(int) float64, n int) uint64 {
	h := uint64(0)
	for i := range n {
		h = mix(h ^ math.Float64bits(value(i)))
	}
	return h
}

// Goal: the same bits on every processor. Method: for each function a dozen
// values in plain sight and the hash of 20,000; the table was written on amd64
// by -write-golden and must hold on every other machine. The table may change
// only with a change of an algorithm, and then every recorded run changes too.
func TestGoldenBits(t *testing.T) {
	const shown, hashed = 12, 20000
	if *writeGolden {
		source, err := format.Source([]byte(goldenTable(shown, hashed)))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile("golden_values_test.go", source, 0o644))
		return
	}
	assert.Len(t, goldenValues, len(goldenSeries))
	for _, s := range goldenSeries {
		want := goldenValues[s.name]
		for i := range shown {
			assert.Equal(t, want.first[i], math.Float64bits(s.value(i)), "%s, value %d", s.name, i)
		}
		assert.Equal(t, want.hash, goldenHash(s.value, hashed), "hash of %s", s.name)
	}
}

// goldenTable returns the text of golden_values_test.go.
func goldenTable(shown, hashed int) string {
	var b strings.Builder
	b.WriteString("package kernel\n\n// Written by go test ./dynamics/kernel -run TestGoldenBits -write-golden on amd64.\n")
	b.WriteString("var goldenValues = map[string]struct {\n\thash  uint64\n\tfirst [12]uint64\n}{\n")
	for _, s := range goldenSeries {
		fmt.Fprintf(&b, "\t%q: {%#016x, [12]uint64{", s.name, goldenHash(s.value, hashed))
		for i := range shown {
			if i%4 == 0 {
				b.WriteString("\n\t\t")
			}
			fmt.Fprintf(&b, "%#016x, ", math.Float64bits(s.value(i)))
		}
		b.WriteString("\n\t}},\n")
	}
	b.WriteString("}\n")
	return b.String()
}

// Goal: a tick allocates nothing.
func TestNoAllocation(t *testing.T) {
	var a [36]float64
	for i := range 6 {
		a[i*6+i] = 2
	}
	allocs := testing.AllocsPerRun(100, func() {
		w, out, x := a, a, [6]float64{1, 2, 3, 4, 5, 6}
		SolveLU(6, w[:], x[:])
		Inverse(6, a[:], out[:])
		PseudoInverse(2, 6, a[:12], out[:12])
		Cholesky(6, a[:])
		SolveCholesky(6, a[:], x[:])
		v := Normal3(1, testStream, 2, 3)
		sinkQuat = QuatExp(v).Mul(QuatEuler(x[0], x[1], x[2]))
		m := sinkQuat.Matrix()
		sinkVec = m.MulVec(sinkQuat.Log())
		sinkFloat = Pow(2, v.X) + Tanh(v.Y) + Exponential(1, testStream, 2, 3) + NormalCDF(v.Z) + goldenRotation(3)
	})
	assert.Zero(t, allocs)
}
