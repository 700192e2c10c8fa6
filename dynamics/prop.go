package dynamics

import (
	"errors"
	"fmt"
	"math"

	"lapwing/dynamics/kernel"
)

// A propeller is known by two measured tables: coefficients at rest over the
// speed of revolution, and coefficients in a wind tunnel over the advance ratio
// at one speed. This file turns them into one function of both:
//
//  1. at rest, a straight line between rows, the end values beyond them;
//  2. in climb (J > 0), times the tunnel value over the static value at the
//     tunnel's speed, so J = 0 gives the static table and the measured zero of
//     thrust stays where it was measured;
//  3. in descent (J < 0) and in edgewise flow nobody measured small propellers
//     well, so the change of the total flow through the disc, from inflow.go,
//     acts through the measured slope of thrust over advance ratio.
//
// Definitions of CT, CP and J: J. B. Brandt, R. W. Deters, G. K. Ananda,
// O. D. Dantsker, M. S. Selig, UIUC Propeller Database, Vols 1–3.

const (
	curveCells = 64
	curveRows  = 32 // a power of two, at least the rows and two more: one at J = 0, one behind the end

	// stallRatio bounds the rise of thrust in fast descent: beyond it the
	// sections stall. From memory of the windmill-brake rows that small
	// propellers show; a choice, not a measurement. It acts only beyond a
	// descent of about 1.6 times the hover inflow.
	stallRatio = 1.5
)

// row is one knot of a curve and the slope to the next one.
type row struct {
	x                float64 // rev/s, or J
	ct, cp           float64
	ctSlope, cpSlope float64 // per unit of x; 0 behind the last knot
}

// curve is a table of straight lines with a grid that leads straight to the
// right line: cell[k] is the line that holds at the start of cell k.
type curve struct {
	start   float64 // x of the first knot
	end     float64 // x of the last knot
	perUnit float64 // cells per unit of x, a hair less than fits, so that the end falls into the last cell
	cell    [curveCells]uint8
	count   uint8 // knots
	row     [curveRows]row
}

// at returns both values at x, the end values outside the table.
func (t *curve) at(x float64) (ct, cp float64) {
	x = kernel.Clamp(x, t.start, t.end)
	r := t.find(x)
	d := x - r.x
	return r.ct + float64(r.ctSlope*d), r.cp + float64(r.cpSlope*d)
}

// find returns the line that holds at x, start ≤ x ≤ end.
func (t *curve) find(x float64) *row {
	i := t.cell[uint(int((x-t.start)*t.perUnit))%curveCells]
	for x >= t.row[(i+1)%curveRows].x {
		i++
	}
	return &t.row[i%curveRows]
}

// add appends a knot.
func (t *curve) add(x, ct, cp float64) {
	t.row[t.count] = row{x: x, ct: ct, cp: cp}
	t.count++
}

// build fills slopes and grid once all knots are in. A knot at infinity stands
// behind the last, so that the search needs no end test.
func (t *curve) build() {
	n := int(t.count)
	if n == 0 {
		t.add(0, 1, 1)
		n = 1
	}
	for i := range n - 1 {
		a, b := &t.row[i], &t.row[i+1]
		a.ctSlope = (b.ct - a.ct) / (b.x - a.x)
		a.cpSlope = (b.cp - a.cp) / (b.x - a.x)
	}
	for i := n; i < curveRows; i++ {
		t.row[i] = row{x: math.Inf(1)}
	}
	t.start, t.end = t.row[0].x, t.row[n-1].x
	t.perUnit = 0
	if n > 1 {
		t.perUnit = (1 - 1e-12) * curveCells / (t.end - t.start)
	}
	i := 0
	for k := range curveCells {
		// The line that holds at the cell's lower edge, or the one before it where
		// rounding puts a knot on the edge: the search in find mends that.
		edge := t.start + float64(float64(k)/curveCells*(t.end-t.start))
		for i+1 < n && t.row[i+1].x < edge {
			i++
		}
		t.cell[k] = uint8(i)
	}
}

// Prepare fills the derived fields. It must be called after the tables change
// and before CT or CP; Craft.Prepare does it for every rotor.
func (q *Propeller) Prepare() {
	q.static, q.advance, q.slopeLambda = curve{}, curve{}, 0
	for i := range q.StaticCount {
		q.static.add(q.StaticSpeed[i], q.StaticCT[i], q.StaticCP[i])
	}
	q.static.build()
	ct0, cp0 := q.static.at(q.AdvanceSpeed)
	q.lambda = math.Sqrt((2 / math.Pi) * ct0) // vh/(n·D), from vh = √(T/(2ρA))
	q.perLambdaSq = 1 / (q.lambda * q.lambda)
	if q.AdvanceCount > 0 {
		if q.AdvanceJ[0] == 0 {
			ct0, cp0 = q.AdvanceCT[0], q.AdvanceCP[0]
		} else {
			q.advance.add(0, 1, 1)
		}
	}
	for i := range q.AdvanceCount {
		q.advance.add(q.AdvanceJ[i], q.AdvanceCT[i]/ct0, q.AdvanceCP[i]/cp0)
	}
	q.advance.build()
	// At constant thrust momentum theory gives d(v+vi)/dv = 1/2 at rest: half of
	// a small climb speed is taken back by the induced flow. So the slope against
	// the total flow is twice the measured slope against J.
	q.slopeLambda = min(0, 2*q.lambda*q.advance.row[0].ctSlope)
}

// Validate reports every fault of the tables at once.
func (q *Propeller) Validate() error {
	var faults []error
	fault := func(format string, a ...any) { faults = append(faults, fmt.Errorf(format, a...)) }
	if q.StaticCount < 1 || q.StaticCount > MaxStatic {
		fault("static rows: %d, want 1 to %d", q.StaticCount, MaxStatic)
	}
	for i := range min(max(q.StaticCount, 0), MaxStatic) {
		if !(q.StaticCT[i] > 0 && q.StaticCP[i] > 0 && q.StaticSpeed[i] >= 0) {
			fault("static row %d: want speed ≥ 0, CT > 0, CP > 0", i+1)
		}
		if i > 0 && !(q.StaticSpeed[i] > q.StaticSpeed[i-1]) {
			fault("static row %d: speeds must rise", i+1)
		}
	}
	if q.AdvanceCount < 2 || q.AdvanceCount > MaxAdvance {
		fault("advancing rows: %d, want 2 to %d", q.AdvanceCount, MaxAdvance)
	}
	for i := range min(max(q.AdvanceCount, 0), MaxAdvance) {
		if !(kernel.IsFinite(q.AdvanceCT[i]) && kernel.IsFinite(q.AdvanceCP[i]) && q.AdvanceJ[i] >= 0) {
			fault("advancing row %d: want J ≥ 0, finite CT and CP", i+1)
		}
		if i > 0 && !(q.AdvanceJ[i] > q.AdvanceJ[i-1]) {
			fault("advancing row %d: J must rise", i+1)
		}
	}
	if q.AdvanceCount > 0 && q.AdvanceJ[0] > 0 && !(q.AdvanceSpeed > 0) {
		fault("advancing rows do not begin at J = 0: the speed at which they were measured is needed")
	}
	return errors.Join(faults...)
}

// CT returns the thrust coefficient at n (rev/s) and advance ratio J, without
// edgewise flow.
func (q *Propeller) CT(n, j float64) float64 {
	ct, _, _ := q.coefficients(n, j, 0)
	return ct
}

// CP returns the power coefficient at n (rev/s) and advance ratio J, without
// edgewise flow.
func (q *Propeller) CP(n, j float64) float64 {
	_, cp, _ := q.coefficients(n, j, 0)
	return cp
}

// coefficients returns CT and CP at n (rev/s), axial advance ratio j and the
// square of the edgewise advance ratio muSq, both in n·D, and in descent the
// climb speed x < 0 in units of the hover inflow, else 0.
//
// With λ the hover inflow in n·D, total flow λ·(x + v) where v is the induced
// flow (InducedRatio times Glauert's vE), and b the slope of CT:
//
//	climb:   CT = CT0·fT(J)·(1 + b·λ·(vE − 1))    CP = CP0·fP(J) + λ·(CT·vE − CT0·fT)
//	descent: CT = CT0·(1 + b·λ·(x + v·vE − 1))    CP = CP0 + λ·(CT·(x + v·vE) − CT0)
//
// Both give the same at J = 0, and the static table without any flow. The power
// terms are thrust times total flow: what momentum theory says changes. The
// shaft never gives power back: CP ≥ 0. λ goes with the root of CT, a few per
// cent over a table, so one value serves.
func (q *Propeller) coefficients(n, j, muSq float64) (ct, cp, x float64) {
	ct, cp = q.static.at(n)
	edge := glauertAt(float64(muSq * q.perLambdaSq))
	if j >= 0 {
		fT, fP := q.advance.at(j)
		still := float64(ct * fT)
		ct = float64(still * (1 + float64(q.slopeLambda*(edge-1))))
		cp = float64(cp*fP) + float64(q.lambda*(float64(ct*edge)-still))
	} else {
		x = j / q.lambda
		total := x + float64(InducedRatio(x)*edge)
		still := ct
		ct = float64(ct * min(1+float64(q.slopeLambda*(total-1)), stallRatio))
		cp += float64(q.lambda * (float64(ct*total) - still))
	}
	if cp < 0 {
		cp = 0
	}
	return ct, cp, x
}
