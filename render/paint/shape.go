package paint

import "math"

// A shape is a convex polygon with a border one pixel wide along which it fades,
// so that edges are smooth without more samples.

// solid is where the atlas is opaque.
const solid = float32(white) / 2 / atlasSize

// Polygon fills the convex polygon of these corners, in either sense of turning.
func (c *Canvas) Polygon(color Color, at ...Point) {
	n := len(at)
	if n < 3 {
		return
	}
	base := uint32(len(c.corners))
	sense := 1.0
	if area(at) < 0 {
		sense = -1
	}
	clear := color
	clear.A = 0
	for i := range at {
		nx, ny := miter(at[(i+n-1)%n], at[i], at[(i+1)%n], sense)
		x, y := at[i].X*c.scale, at[i].Y*c.scale
		c.corner(x-0.5*nx, y-0.5*ny, color)
		c.corner(x+0.5*nx, y+0.5*ny, clear)
	}
	for i := range uint32(n) {
		j := (i + 1) % uint32(n)
		if i > 0 && i < uint32(n)-1 {
			c.indices = append(c.indices, base, base+2*i, base+2*j)
		}
		in, out, in2, out2 := base+2*i, base+2*i+1, base+2*j, base+2*j+1
		c.indices = append(c.indices, in, out, out2, in, out2, in2)
	}
}

func (c *Canvas) corner(x, y float64, color Color) {
	c.corners = append(c.corners, corner{X: float32(x), Y: float32(y), U: solid, V: solid, Color: color})
}

// area is twice the polygon's area, positive where it turns clockwise on the
// screen.
func area(at []Point) (sum float64) {
	for i, p := range at {
		q := at[(i+1)%len(at)]
		sum += p.X*q.Y - q.X*p.Y
	}
	return sum
}

// miter is the way outwards at corner b, as long as keeps both edges one apart.
func miter(a, b, d Point, sense float64) (x, y float64) {
	n1x, n1y := normal(a, b, sense)
	n2x, n2y := normal(b, d, sense)
	x, y = n1x+n2x, n1y+n2y
	sq := x*x + y*y
	if sq < 0.2 {
		return n1x, n1y
	}
	return 2 * x / sq, 2 * y / sq
}

func normal(a, b Point, sense float64) (x, y float64) {
	dx, dy := b.X-a.X, b.Y-a.Y
	n := math.Hypot(dx, dy)
	if n == 0 {
		return 0, 0
	}
	return sense * dy / n, -sense * dx / n
}

// Rect fills r.
func (c *Canvas) Rect(r Rect, color Color) {
	c.Polygon(color, Point{r.X, r.Y}, Point{r.Right(), r.Y}, Point{r.Right(), r.Bottom()}, Point{r.X, r.Bottom()})
}

// Round fills r with corners of that radius.
func (c *Canvas) Round(r Rect, radius float64, color Color) {
	c.Polygon(color, rounded(r, radius)...)
}

func rounded(r Rect, radius float64) []Point {
	radius = min(radius, r.W/2, r.H/2)
	const steps = 6 // an arc of 15 degrees is a tenth of a pixel off at 12 px
	points := make([]Point, 0, 4*(steps+1))
	for q, at := range [4]Point{{r.Right() - radius, r.Bottom() - radius}, {r.X + radius, r.Bottom() - radius},
		{r.X + radius, r.Y + radius}, {r.Right() - radius, r.Y + radius}} {
		for i := range steps + 1 {
			sin, cos := math.Sincos((float64(q) + float64(i)/steps) * math.Pi / 2)
			points = append(points, Point{at.X + radius*cos, at.Y + radius*sin})
		}
	}
	return points
}

// Frame draws the border of r, width inside it.
func (c *Canvas) Frame(r Rect, width float64, color Color) {
	c.Rect(Rect{r.X, r.Y, r.W, width}, color)
	c.Rect(Rect{r.X, r.Bottom() - width, r.W, width}, color)
	c.Rect(Rect{r.X, r.Y + width, width, r.H - 2*width}, color)
	c.Rect(Rect{r.Right() - width, r.Y + width, width, r.H - 2*width}, color)
}

// Line draws a straight line.
func (c *Canvas) Line(a, b Point, width float64, color Color) {
	x, y := normal(a, b, width/2)
	c.Polygon(color, Point{a.X + x, a.Y + y}, Point{b.X + x, b.Y + y}, Point{b.X - x, b.Y - y}, Point{a.X - x, a.Y - y})
}

// Lines draws a line through all points.
func (c *Canvas) Lines(width float64, color Color, at ...Point) {
	for i := 1; i < len(at); i++ {
		c.Line(at[i-1], at[i], width, color)
	}
}

// Disc fills a circle.
func (c *Canvas) Disc(at Point, radius float64, color Color) {
	c.Polygon(color, circle(at, radius)...)
}

// Ring draws a circle of that width, inside radius.
func (c *Canvas) Ring(at Point, radius, width float64, color Color) {
	points := circle(at, radius-width/2)
	c.Lines(width, color, append(points, points[0])...)
}

func circle(at Point, radius float64) []Point {
	n := 12 + int(radius)
	points := make([]Point, n)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		points[i] = Point{at.X + radius*cos, at.Y + radius*sin}
	}
	return points
}
