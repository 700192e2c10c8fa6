package pilot

import (
	"lapwing/dynamics/kernel"
	"lapwing/sim/percept"
)

// ringLength bounds the delay of a hand: 32 looks are 0.64 s.
const ringLength = 32

// glance is what a hand takes from one percept.
type glance struct {
	posW, velW kernel.Vec3 // m, m/s, room
	leanW      kernel.Vec3 // horizontal part of body up, room
	climbing   float64     // m/s², upward acceleration
	yaw        float64     // rad
}

// seen holds the last looks, so that the hand acts on what was true a while ago.
type seen struct {
	ring [ringLength]glance
	next int64 // looks so far; 0 before the first
}

// take adds a percept. Before the first, the past is filled by going back along
// the present motion.
func (s *seen) take(p *percept.Percept) {
	if s.next == 0 {
		s.recall(p)
	}
	s.ring[s.next%ringLength] = glanceOf(p)
	s.next++
}

func glanceOf(p *percept.Percept) glance {
	return glance{p.PosW, p.VelW, p.TiltW, p.AccelW.Z, p.Yaw}
}

func (s *seen) recall(p *percept.Percept) {
	for k := range int64(ringLength) {
		back := glanceOf(p)
		t := float64(k+1) * look
		back.velW = back.velW.AddScaled(-t, p.AccelW)
		back.posW = back.posW.AddScaled(-t, p.VelW).AddScaled(float64(0.5*t*t), p.AccelW)
		s.ring[ringLength-1-k] = back
	}
	s.next = ringLength
}

// at returns the look that lies back looks behind the latest, between two looks
// where back is no whole number.
func (s *seen) at(back float64) glance {
	whole := int64(back)
	a := &s.ring[(s.next-1-whole)%ringLength]
	k := back - float64(whole)
	if k == 0 {
		return *a
	}
	b := &s.ring[(s.next-2-whole)%ringLength]
	g := glance{between(a.posW, b.posW, k), between(a.velW, b.velW, k), between(a.leanW, b.leanW, k), a.climbing, a.yaw}
	g.climbing += float64(k * (b.climbing - a.climbing))
	return g
}

func between(a, b kernel.Vec3, k float64) kernel.Vec3 { return a.AddScaled(k, b.Sub(a)) }
