package scenarios

import "lapwing/sim/link"

// linkField describes the C2 link of a scenario. What is left out stands as in
// the program's sound link.
func linkField() field {
	d := link.Default()
	seconds := func(ticks int64) float64 { return float64(ticks) / 1000 }
	return group("link", "the C2 link: a channel with a good and a bad state",
		number("frame_every", "s", 0.001, 0.2, "time between two frames sent").or(seconds(d.FrameEvery)),
		number("latency", "s", 0, 0.8, "from sending to hearing").or(seconds(d.LatencyTicks)),
		number("good_to_bad", "share", 0, 1, "chance in each frame that a good channel turns bad").or(d.GoodToBad),
		number("bad_to_good", "share", 0, 1, "chance in each frame that a bad channel turns good").or(d.BadToGood),
		number("loss_good", "share", 0, 1, "of frames lost while the channel is good").or(d.LossGood),
		number("loss_bad", "share", 0, 1, "of frames lost while the channel is bad").or(d.LossBad))
}

// linkOf returns the link that a sound scenario gives.
func linkOf(v *value) link.Params {
	return link.Params{FrameEvery: v.ticks("frame_every_s"), LatencyTicks: v.ticks("latency_s"),
		GoodToBad: v.num("good_to_bad_share"), BadToGood: v.num("bad_to_good_share"),
		LossGood: v.num("loss_good_share"), LossBad: v.num("loss_bad_share")}
}

func checkLink(v *value, r *report) {
	l := v.at("link")
	p := linkOf(l)
	if err := p.Validate(); err != nil {
		addErrors(l, err, r)
	}
}
