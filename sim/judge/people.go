package judge

import "lapwing/dynamics"

// walkIn is for how long after somebody has walked within the radius flying there
// counts as not avoidable (ticks): what answering a surprise takes. A judgement.
const walkIn = 2000

// overPerson is how near above a person counts as directly over (m).
const overPerson = 0.6

// notePeople keeps since when a person is within the radius, and whether they
// came there on their own feet.
func notePeople(f *Facts, v *View) {
	walks := v.PersonShiftW != f.shiftW
	f.shiftW = v.PersonShiftW
	if !inPersonRadius(v) {
		f.near = Never
	} else if f.near == Never {
		f.near, f.walkedIn = v.Tick, walks
	}
}

// avoidable tells whether whoever flies can do something about a person being
// near: not for two seconds after somebody has walked in, not with a craft that
// hears nothing, and not with one that is cut off, which falls where it falls.
func avoidable(f *Facts, v *View) bool {
	return !v.Hands.CutOff && !v.Percept.LinkLost && !(f.near != Never && f.walkedIn && v.Tick-f.near <= walkIn)
}

// place returns where person i stands now (m, on the floor).
func (v *View) place(i int) dynamics.Vec3 {
	if i == 0 {
		return v.Place.People[0].PosW.Add(v.PersonShiftW)
	}
	return v.Place.People[i].PosW
}

// within tells whether the craft is nearer to a person than r (m), horizontally.
func (v *View) within(r float64) bool {
	for i := range v.Place.PersonCount {
		if v.Craft.PosW.Sub(v.place(i)).NormXY() < r {
			return true
		}
	}
	return false
}

func inPersonRadius(v *View) bool { return v.within(v.Place.PersonRadius) }

func overAnyone(v *View) bool { return v.within(overPerson) }

func peopleInside(v *View) bool {
	for i := range v.Place.PersonCount {
		if !outside(v.place(i), v.Place) {
			return true
		}
	}
	return false
}
