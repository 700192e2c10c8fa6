package kernel

// Slope writes into dy how fast y changes at time t. Both have the length of
// the problem.
type Slope func(t float64, y, dy []float64)

// RungeKutta moves y (length ≤ maxOrder) on from time t to t + h with one step of
// the classical fourth-order method: E. Hairer, S. P. Nørsett and G. Wanner,
// Solving Ordinary Differential Equations I, 2nd ed. 1993, table II.1.2 (from
// memory). It is for what is worked out once. The tick has the same step written
// out in package dynamics, where a test holds the two together.
func RungeKutta(f Slope, t, h float64, y []float64) {
	var at, k1, k2, k3, k4 [maxOrder]float64
	n, half := len(y), float64(0.5*h)
	f(t, y, k1[:n])
	f(t+half, along(at[:n], y, k1[:n], half), k2[:n])
	f(t+half, along(at[:n], y, k2[:n], half), k3[:n])
	f(t+h, along(at[:n], y, k3[:n], h), k4[:n])
	for i := range y {
		y[i] += float64(h / 3 * (k2[i] + k3[i]))
		y[i] += float64(h / 6 * (k1[i] + k4[i]))
	}
}

// along sets at to y + h·k and returns it.
func along(at, y, k []float64, h float64) []float64 {
	for i := range y {
		at[i] = y[i] + float64(h*k[i])
	}
	return at
}
