package kernel

import "testing"

var (
	sinkFloat float64
	sinkVec   Vec3
	sinkQuat  Quat
	sinkBits  uint64
)

// The arguments walk through the range, so that no branch is always the same;
// results are summed, so that calls may overlap as they do in the tick.
func BenchmarkElementary(b *testing.B) {
	cases := []struct {
		name   string
		f      func(float64) float64
		lo, hi float64
	}{
		{"exp", Exp, -5, 5}, {"log", Log, 0.1, 10}, {"sin", Sin, -10, 10}, {"cos", Cos, -10, 10},
		{"atan", Atan, -3, 3}, {"asin", Asin, -1, 1}, {"acos", Acos, -1, 1}, {"tanh", Tanh, -3, 3},
		{"expm1", Expm1, -2, 2}, {"normalinv", NormalInv, 0, 1}, {"normalinv-centre", NormalInv, 0.08, 0.92},
		{"normalcdf", NormalCDF, -2, 2},
	}
	for _, c := range cases {
		b.Run("f="+c.name, func(b *testing.B) {
			var x [1024]float64
			r := source(600)
			for i := range x {
				x[i] = between(r, c.lo, c.hi)
			}
			sum := 0.0
			for i := 0; b.Loop(); i++ {
				sum += c.f(x[i&1023])
			}
			sinkFloat = sum
		})
	}
	b.Run("f=pow", func(b *testing.B) {
		sum := 0.0
		for i := 0; b.Loop(); i++ {
			sum += Pow(1+float64(i&1023)*1e-3, 4.2559)
		}
		sinkFloat = sum
	})
	b.Run("f=atan2", func(b *testing.B) {
		sum := 0.0
		for i := 0; b.Loop(); i++ {
			sum += Atan2(float64(i&1023)-500, float64(i&511)-200)
		}
		sinkFloat = sum
	})
	b.Run("f=sincos", func(b *testing.B) {
		sum := 0.0
		for i := 0; b.Loop(); i++ {
			s, c := SinCos(float64(i&1023) * 0.01)
			sum += s + c
		}
		sinkFloat = sum
	})
}

func BenchmarkRandom(b *testing.B) {
	b.Run("f=bits", func(b *testing.B) {
		var x uint64
		for i := 0; b.Loop(); i++ {
			x ^= Bits(1, testStream, int64(i), 3)
		}
		sinkBits = x
	})
	for _, c := range []struct {
		name string
		f    func(uint64, Stream, int64, uint64) float64
	}{{"uniform", Uniform}, {"normal", Normal}, {"exponential", Exponential}} {
		b.Run("f="+c.name, func(b *testing.B) {
			sum := 0.0
			for i := 0; b.Loop(); i++ {
				sum += c.f(1, testStream, int64(i), 3)
			}
			sinkFloat = sum
		})
	}
}

func BenchmarkQuat(b *testing.B) {
	q, w, v := QuatEuler(0.1, 0.2, 0.3), Vec3{0.001, 0.002, -0.001}, Vec3{1, 2, 3}
	b.Run("f=exp", func(b *testing.B) {
		for b.Loop() {
			sinkQuat = QuatExp(w)
		}
	})
	b.Run("f=rotate", func(b *testing.B) {
		for b.Loop() {
			sinkVec = q.Rotate(v)
		}
	})
}

func BenchmarkSolve(b *testing.B) {
	r := source(601)
	var a, work, out [maxOrder * maxOrder]float64
	var x [maxOrder]float64
	for _, n := range []int{4, 6, 16} {
		copy(a[:], randomPositive(r, n))
		name := map[int]string{4: "n=4", 6: "n=6", 16: "n=16"}[n]
		b.Run("f=cholesky/"+name, func(b *testing.B) {
			for b.Loop() {
				work = a
				Cholesky(n, work[:n*n])
				SolveCholesky(n, work[:n*n], x[:n])
			}
		})
		b.Run("f=lu/"+name, func(b *testing.B) {
			for b.Loop() {
				work = a
				SolveLU(n, work[:n*n], x[:n])
			}
		})
		b.Run("f=inverse/"+name, func(b *testing.B) {
			for b.Loop() {
				Inverse(n, a[:n*n], out[:n*n])
			}
		})
	}
}
