package sense

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// readRange measures along the body's down to the first face met: floor, wall
// or box. The beam is a line from the centre of gravity; nets and people do not
// stop it.
func readRange(p *Params, c *dynamics.State, place *dynamics.Place, seed uint64, tick int64, f *Faults, out *Reading) {
	out.RangeNew = true
	dirW := c.QWB.AxisZ().Neg()
	r := leave(&place.Min, &place.Max, &c.PosW, &dirW)
	for i := range place.BoxCount {
		b := &place.Boxes[i]
		r = min(r, meet(&b.Min, &b.Max, &c.PosW, &dirW))
	}
	if f.RangeLost || r < p.RangeMin || r > p.RangeMax {
		return
	}
	out.RangeOK = true
	out.Range = max(0, r+float64(p.RangeSigma*kernel.Normal(seed, rangeNoise, tick, 0))+f.RangeOffset)
}

// never is a distance beyond every reach.
const never = 1e300

// slab narrows near … far to where from + t·dir lies between lo and hi.
func slab(lo, hi, from, dir float64, near, far *float64) {
	if dir == 0 {
		if from < lo || from > hi {
			*near = never
		}
		return
	}
	k := 1 / dir
	a, b := float64((lo-from)*k), float64((hi-from)*k)
	if a > b {
		a, b = b, a
	}
	*near, *far = max(*near, a), min(*far, b)
}

// through returns where a ray enters and leaves the solid lo … hi; it misses
// where near > far.
func through(lo, hi, from, dir *kernel.Vec3) (near, far float64) {
	near, far = -never, never
	slab(lo.X, hi.X, from.X, dir.X, &near, &far)
	slab(lo.Y, hi.Y, from.Y, dir.Y, &near, &far)
	slab(lo.Z, hi.Z, from.Z, dir.Z, &near, &far)
	return near, far
}

// meet returns the distance to the solid, or never; 0 from inside.
func meet(lo, hi, from, dir *kernel.Vec3) float64 {
	near, far := through(lo, hi, from, dir)
	if near > far || far < 0 {
		return never
	}
	return max(near, 0)
}

// leave returns the distance to the faces of the room from inside, or 0.
func leave(lo, hi, from, dir *kernel.Vec3) float64 {
	near, far := through(lo, hi, from, dir)
	if near > far {
		return never
	}
	return max(far, 0)
}
