package pilot

import "lapwing/sim/judge"

// Profile is a modelled person: how late, how surely and how well. What is not
// given a source is a judgement; the levels are meant to be told apart, not to
// predict anybody.
type Profile struct {
	Name string
	Hand Hand
	Care Care

	Unannounced ExGauss // s, from noticing to the hand's first move, when nothing was announced
	Announced   ExGauss // s, the same when the event was announced
	Travel      float64 // s, of the hand to a switch
	Gap         float64 // s, between one action and the next
	Wait        float64 // s, waited on top before acting

	Threshold float64 // ≥ 1, the sign's level must be passed by this factor
	Notice    int64   // ticks for which the sign must last on top
	Wobble    float64 // m, how far off the place its own hover by eye goes

	Omit       float64             // probability that an action after the first is left out
	Unmatched  float64             // probability that the switch is made without matching the throttle
	WrongFirst float64             // probability that the first thing done is wrong
	Weights    [wrongCount]float64 // by which the wrong thing is chosen
	WrongFor   float64             // s, mean time until it is seen to be wrong
	FalseAlarm float64             // probability that a harmless sign is taken for an event
	Lost       float64             // probability that holding still does not show which way the nose points
	Habit      Wrong               // done at every sign and for ever; WrongNot for none
}

// Response times. Means of a whole simple response (hand travel included) by
// expectation are those of M. Green, "How long does it take to stop?",
// Transportation Human Factors 2(3), 2000: expected 0.70 … 0.75 s, unexpected
// 1.25 s, surprise 1.5 s. The choice among n answers adds b·log2(n + 1) with
// b = 0.155 s (W. E. Hick, "On the rate of gain of information", Quarterly J. of
// Experimental Psychology 4, 1952). The shape, μ : σ : τ, is that of Detection.
const (
	expected   = 0.72  // s
	unexpected = 1.25  // s
	surprise   = 1.5   // s
	hickB      = 0.155 // s/bit
)

// Binary logarithms of n + 1 for the answers a level chooses among: an expert
// sees "leave it or stop it" (2), a trained person three, a novice all six.
const (
	bitsOf1 = 1.0
	bitsOf2 = 1.584962500721156
	bitsOf3 = 2.0
	bitsOf6 = 2.807354922057604
)

// withMean returns the distribution of the shape of Detection with a mean of m
// seconds.
func withMean(m float64) ExGauss { return Detection.Scaled(m / Detection.Mean()) }

// responseTo returns the distribution for a grade of announcing; where only the
// kind is known it lies halfway.
func (f *Profile) responseTo(a judge.Announced) ExGauss {
	u, n := f.Unannounced, f.Announced
	switch a {
	case judge.AnnouncedFully:
		return n
	case judge.AnnouncedKind:
		return ExGauss{(u.Mu + n.Mu) / 2, (u.Sigma + n.Sigma) / 2, (u.Tau + n.Tau) / 2}
	}
	return u
}

// Trained returns a person who has met the standard of the drills.
func Trained() Profile {
	const travel = 0.3
	p := Profile{Name: "trained", Hand: TrainedHand(), Travel: travel, Gap: 0.5, Threshold: 1.15, Notice: 80, Wobble: 0.35,
		Unannounced: withMean(unexpected + hickB*bitsOf3 - travel),
		Announced:   withMean(expected + hickB*bitsOf1 - travel),
		Omit:        0.02, Unmatched: 0.05, WrongFirst: 0.04, WrongFor: 1.5, FalseAlarm: 0.03, Lost: 0.05}
	p.Weights[WrongFreeze], p.Weights[WrongFight], p.Weights[WrongCutOff] = 2, 1, 1
	p.Care = Care{Overlook: 0.25, Scale: scaleTold, Answer: p.Announced, Slip: 0.03}
	return p
}

// Expert returns a person who flies often and drills often.
func Expert() Profile {
	const travel = 0.25
	p := Profile{Name: "expert", Hand: ExpertHand(), Travel: travel, Gap: 0.35, Threshold: 1.05, Notice: 40, Wobble: 0.25,
		Unannounced: withMean(unexpected - 0.1 + hickB*(bitsOf2-bitsOf1) - travel), // practised: 0.1 s less, no cost of one alternative
		Announced:   withMean(expected - travel),
		Omit:        0.005, Unmatched: 0.01, WrongFirst: 0.01, WrongFor: 1, FalseAlarm: 0.01}
	p.Weights[WrongFreeze], p.Weights[WrongFight] = 2, 1
	p.Care = Care{Overlook: 0.1, Scale: scaleTold, Answer: p.Announced, Slip: 0.01}
	return p
}

// Novice returns a person in the first hours who has read the actions once.
func Novice() Profile {
	const travel = 0.45
	p := Profile{Name: "novice", Hand: NoviceHand(), Travel: travel, Gap: 0.9, Threshold: 1.3, Notice: 200, Wobble: 0.9,
		Unannounced: withMean(surprise + hickB*bitsOf6 - travel + 0.4), // 0.4 s to find the switch by eye
		Announced:   withMean(expected + hickB*bitsOf3 - travel + 0.4),
		Omit:        0.15, Unmatched: 0.4, WrongFirst: 0.35, WrongFor: 2.5, FalseAlarm: 0.2, Lost: 0.5}
	p.Weights = [wrongCount]float64{WrongFreeze: 3, WrongFight: 3, WrongCutOff: 2, WrongThrottleUp: 2,
		WrongReselect: 1.5, WrongTransmitterOff: 0.5, WrongStir: 1.5, WrongUnmatched: 2, WrongYaw: 1, WrongStep: 1}
	p.Care = Care{Overlook: 1, Scale: 0.12, Answer: p.Announced, Slip: 0.15}
	return p
}

// Ideal returns a person who notices at the cue itself, needs no time and leaves
// nothing out.
func Ideal() Profile {
	return Profile{Name: "ideal", Hand: IdealHand(), Care: careful(), Gap: 0.04, Threshold: 1}
}

// StrategyCutOff returns someone who cuts off at every sign.
func StrategyCutOff() Profile { return strategy("always-cut-off", WrongCutOff) }

// StrategyAttitude returns someone who goes to attitude and lands at every sign.
func StrategyAttitude() Profile { return strategy("always-attitude", WrongAttitude) }

// StrategyStir returns someone who stirs the sticks at every sign.
func StrategyStir() Profile { return strategy("stir", WrongStir) }

// StrategyWait returns someone who does the right thing two seconds late.
func StrategyWait() Profile {
	p := Trained()
	p.Name, p.Wait = "wait", 2
	return p
}

// strategy is a trained person with a habit, who takes harmless signs for events
// as well: that is what a habit is.
func strategy(name string, habit Wrong) Profile {
	p := Trained()
	p.Name, p.Habit, p.FalseAlarm = name, habit, 1
	return p
}

// Profiles returns every modelled person, the four strategies last: those must
// lose against a trained person over the catalogue, or the score is worth
// nothing.
func Profiles() []Profile {
	return []Profile{Novice(), Trained(), Expert(), Ideal(),
		StrategyCutOff(), StrategyAttitude(), StrategyWait(), StrategyStir()}
}

// ProfileByName returns the modelled person called name.
func ProfileByName(name string) (Profile, bool) {
	for _, p := range Profiles() {
		if p.Name == name {
			return p, true
		}
	}
	return Profile{}, false
}
