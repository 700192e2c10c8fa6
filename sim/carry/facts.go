package carry

import "lapwing/dynamics/kernel"

// Never stands for a tick that has not come.
const Never int64 = -1

// Facts is what is noted of a carry: what was true of it and what was shown.
// Places are in m, room axes.
type Facts struct {
	TakenAt   int64       // tick of the first pick-up, Never before
	TakenW    kernel.Vec3 // where the craft was then
	TakenSeen kernel.Vec3 // and where the station showed it

	Made  [MaxMoves]bool        // moves that were made to their end
	TrueW [MaxMoves]kernel.Vec3 // by how much the craft was moved; while a move lasts, where it began
	SeenW [MaxMoves]kernel.Vec3 // by how much the station showed it moved; likewise

	Path   float64     // m, length of the way in the hand
	DownAt int64       // tick of the last setting down, Never before
	OffW   kernel.Vec3 // m, by how much the estimate was off then, less what it was off at the pick-up
}

// noFacts returns the facts before the first pick-up.
func noFacts() Facts { return Facts{TakenAt: Never, DownAt: Never} }

func (f *Facts) take(trueW, seenW kernel.Vec3, tick int64) {
	f.TakenAt, f.TakenW, f.TakenSeen = tick, trueW, seenW
}

func (f *Facts) begin(i int64, trueW, seenW kernel.Vec3) {
	f.TrueW[i], f.SeenW[i], f.Made[i] = trueW, seenW, false
}

func (f *Facts) end(i int64, trueW, seenW kernel.Vec3) {
	f.TrueW[i], f.SeenW[i], f.Made[i] = trueW.Sub(f.TrueW[i]), seenW.Sub(f.SeenW[i]), true
}

func (f *Facts) setDown(trueW, seenW kernel.Vec3, tick int64) {
	f.DownAt = tick
	f.OffW = seenW.Sub(f.TakenSeen).Sub(trueW.Sub(f.TakenW))
}

// Done tells whether every move was made and the craft stands again.
func (s *State) Done(p *Params) bool {
	for i := range p.Count {
		if !s.Facts.Made[i] {
			return false
		}
	}
	return p.Count > 0 && s.Phase == Free && s.Facts.DownAt != Never
}

// OffShare returns by how much the estimate was off at the setting down, for
// each metre of the way in the hand; 0 before.
func (s *State) OffShare() float64 {
	if s.Facts.DownAt == Never || s.Facts.Path == 0 {
		return 0
	}
	return s.Facts.OffW.Norm() / s.Facts.Path
}

// Scale returns how long move i was shown for each metre of it, negative where
// it was shown the wrong way; ok is false for a move that was not made or was
// shorter than half a metre, too short to tell.
func (f *Facts) Scale(i int) (scale float64, ok bool) {
	t := f.TrueW[i]
	if !f.Made[i] || t.Norm() < leastTold {
		return 0, false
	}
	return f.SeenW[i].Dot(t) / t.NormSq(), true
}

// leastTold is the shortest way from which a person can tell the scale.
const leastTold = 0.5 // m
