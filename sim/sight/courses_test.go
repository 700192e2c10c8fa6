package sight_test

import "math"

// ease goes from 0 to 1 between t = 0 and t = 1 with five smooth derivatives at
// the ends: 35·t⁴ − 84·t⁵ + 70·t⁶ − 20·t⁷.
func ease(t float64) float64 {
	t = math.Max(0, math.Min(1, t))
	return t * t * t * t * (35 + t*(-84+t*(70-20*t)))
}

// easeSum is the integral of ease from 0 to t.
func easeSum(t float64) float64 {
	if t <= 0 {
		return 0
	}
	over := math.Max(0, t-1)
	t = math.Min(t, 1)
	return over + t*t*t*t*t*(7+t*(-14+t*(10-2.5*t)))
}

// rise stands for three seconds and takes off from 0.2 m to 1.5 m in another
// three.
func rise(t float64) float64 { return 0.2 + 1.3*ease((t-3)/3) }

// sway is the wandering of a hand-held hover, 2 cm.
func sway(t float64) vec {
	k := 0.02 * ease((t-3)/3)
	return vec{X: k * math.Sin(1.9*t), Y: k * math.Sin(1.4*t+1), Z: 0.5 * k * math.Sin(1.1*t+2)}
}

// weave is a flight round a room of 8 × 6 m at 0.9 m/s, nose along the way.
func weave(t float64) (vec, float64) {
	p := func(t float64) vec {
		return vec{X: 2.6 * math.Sin(0.34*t), Y: 1.9 * math.Sin(0.52*t+0.5), Z: 0.35 * math.Sin(0.42*t)}
	}
	v := p(t + 1e-4).Sub(p(t - 1e-4))
	q := p(t)
	q.Z += 1.5
	return q, math.Atan2(v.Y, v.X)
}

// wander takes off and weaves from 8 s.
func wander(t float64) (vec, float64) {
	p, yaw := weave(4 * easeSum((t-7)/4))
	p.Z += rise(t) - 1.5
	return p.Add(sway(t)), yaw
}

// hover takes off and stays.
func hover(t float64) (vec, float64) {
	p := sway(t)
	p.Z += rise(t)
	return p, 0
}

// quarters is four quarter turns with a pause of a second after each, at most
// rate rad/s, from t = 9 s.
func quarters(rate float64) (yaw func(t float64) float64, end float64) {
	// The greatest slope of ease is 35/16.
	took := math.Pi / 2 * (35.0 / 16) / rate
	yaw = func(t float64) float64 {
		sum := 0.0
		for k := range 4 {
			sum += math.Pi / 2 * ease((t-9-float64(k)*(took+1))/took)
		}
		return sum
	}
	return yaw, 9 + 4*(took+1)
}

// turning makes the quarter turns while moving ahead at a speed (m/s), which
// it takes up from 6.5 s: 0 turns in place.
func turning(rate, speed float64) (c course, end float64) {
	yaw, end := quarters(rate)
	// The way, summed once, at a step of 1 ms, by Simpson's rule.
	const step = 1e-3
	v := func(t float64) (x, y float64) {
		k := speed * ease((t-6.5)/2) * (1 - ease((t-end)/2))
		return k * math.Cos(yaw(t)), k * math.Sin(yaw(t))
	}
	n := int((end + 10) / step)
	way := make([]vec, n+1)
	for i := range n {
		t := float64(i) * step
		x0, y0 := v(t)
		x1, y1 := v(t + step/2)
		x2, y2 := v(t + step)
		way[i+1] = way[i].Add(vec{X: (x0 + 4*x1 + x2) * step / 6, Y: (y0 + 4*y1 + y2) * step / 6})
	}
	return func(t float64) (vec, float64) {
		p := sway(t)
		p.Z += rise(t)
		i := math.Max(0, math.Min(float64(n-1), math.Floor(t/step)))
		k := t/step - i
		x0, y0 := v(i * step)
		x1, y1 := v((i + 1) * step)
		a, b := way[int(i)], way[int(i)+1]
		// Cubic between the sums, so that second differences are smooth.
		at := func(a, va, b, vb float64) float64 {
			c0, c1 := va*step, vb*step
			return a + k*(c0+k*(3*(b-a)-2*c0-c1+k*(2*(a-b)+c0+c1)))
		}
		return p.Add(vec{X: at(a.X, x0, b.X, x1), Y: at(a.Y, y0, b.Y, y1)}), yaw(t)
	}, end
}

// carried is walked in hand 6 m ahead and back, turned about on the way.
func carried(t float64) (vec, float64) {
	out := 6 * (ease((t-4)/9) - ease((t-16)/9))
	p := sway(t)
	return p.Add(vec{X: out - 3, Y: 0.15 * math.Sin(0.7*t) * ease((t-3)/3), Z: 0.9 + 0.05*math.Sin(5*t)*ease((t-3)/3)}), 0
}
