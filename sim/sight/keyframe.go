package sight

import (
	"lapwing/sim/estimate"
)

// wantsKey tells whether the keyframe serves no more: too few of its tracks
// live, or the mean parallax is large (Qin, Li and Shen, IEEE Trans. Robotics
// 34(4), 2018, section III-A, from memory), sooner while few tracks live; or,
// while most depths are unknown, the translation since it has become too
// uncertain to measure any; or the craft was set down. A search goes with it, so
// it comes no more often than a search may.
func (s *State) wantsKey(p *Params, g *estimate.Guess, live, known int, parallax float64) bool {
	if s.Frames-s.Searched < p.SearchEvery {
		return false
	}
	if !g.Live || g.Refused || g.Set || live < p.Tracked/4 {
		return true
	}
	if 4*known < live && g.Sigma > p.StaleSigma {
		return true
	}
	most := p.KeyParallax
	if 2*live < p.Tracked && 2*known > live {
		most *= 0.25 // there is room for what has come into view, as after a lift-off
	}
	return float64(live) < float64(p.KeepShare*float64(s.AtKey)) || parallax > float64(most*float64(live))
}

// rekey makes the last picture the keyframe: every track's bearing in it is
// its anchor, depths are carried over, and new landmarks are looked for.
func (s *State) rekey(p *Params, sc *Scene, g *estimate.Guess, f *frame, seed uint64) {
	for i := range s.Tracks {
		t := &s.Tracks[i]
		if t.ID < 0 {
			continue
		}
		if g.Live {
			a := Vec3{X: t.AX, Y: t.AY, Z: 1}
			y := f.back.MulVec(a.AddScaled(-t.Rho, f.trans))
			if y.Z < 0.05 {
				t.ID = -1
				continue
			}
			t.Rho /= y.Z
		}
		t.AX, t.AY = t.X, t.Y
		if g.Refused {
			t.Rel = max(t.Rel, p.KnownBelow)
		}
	}
	s.search(p, sc, seed)
	s.Searched = s.Frames
	s.AtKey = 0
	for i := range s.Tracks {
		if s.Tracks[i].ID >= 0 {
			s.AtKey++
		}
	}
}

// Cells of the picture over which tracks are spread.
const (
	cellsX  = 6
	cellsY  = 5
	perCell = (MaxTracks + cellsX*cellsY - 1) / (cellsX * cellsY)
)

func cell(p *Params, x, y float64) int {
	i := int(cellsX * (float64(x*p.Focal)/p.Width + 0.5))
	j := int(cellsY * (float64(y*p.Focal)/p.Height + 0.5))
	return min(max(i, 0), cellsX-1) + cellsX*min(max(j, 0), cellsY-1)
}
