package pilot

import "lapwing/sim/judge"

// Answer is a way to answer an event, as the forks try it.
type Answer uint8

// The answers.
const (
	AnswerGoOn         Answer = iota // stay as it is
	AnswerRefuge                     // attitude, arrest by leaning against the motion, land
	AnswerHeightHold                 // the same with height held
	AnswerPositionHold               // position-hold with sticks centred
	AnswerLand                       // land under the present response type
	AnswerCutOff                     // cut-off, throttle lowest, disarmed
	AnswerReturnSafe                 // sticks set for the link's return
	AnswerNeutral                    // sticks neutral for a second, then position-hold
	AnswerNeutralLand                // sticks neutral for a second, then landed with a soft hand
	AnswerAway                       // away from the nearest person, then landed
	AnswerClear                      // to where room is, then landed
	answerCount
)

// MaxAnswers bounds the answers of a drill.
const MaxAnswers = int(answerCount)

var answerWords = [answerCount]string{"go-on", "refuge", "height-hold", "position-hold", "land", "cut-off", "return-safe",
	"neutral", "neutral-land", "away", "clear"}

// String returns the word for a.
func (a Answer) String() string { return answerWords[min(a, answerCount-1)] }

// Answers returns the ways of answering that d's first right actions permit, the
// likeliest first, and their number, at least one. Where no demand is marked as
// first, all demands are asked.
func Answers(d *judge.Drill) (all [MaxAnswers]Answer, n int) {
	for _, onlyFirst := range [2]bool{true, false} {
		for i := range d.DemandCount {
			demand := &d.Demands[i]
			if onlyFirst && !demand.First {
				continue
			}
			for k := range demand.Count {
				n = permit(&all, n, demand.AnyOf[k].Kind)
			}
		}
		if n > 0 {
			return all, n
		}
	}
	all[0] = AnswerGoOn
	return all, 1
}

// permit adds the answers that a deed of kind k stands for.
func permit(all *[MaxAnswers]Answer, n int, k judge.DeedKind) int {
	switch k {
	case judge.DeedRefuge, judge.DeedYawStopped, judge.DeedCorrectThrottle:
		n = addAnswer(all, n, AnswerRefuge)
		n = addAnswer(all, n, AnswerHeightHold)
	case judge.DeedAttitude:
		n = addAnswer(all, n, AnswerRefuge)
	case judge.DeedPositionHold:
		n = addAnswer(all, n, AnswerPositionHold)
	case judge.DeedArrest:
		n = addAnswer(all, n, AnswerRefuge)
		n = addAnswer(all, n, AnswerPositionHold)
	case judge.DeedDescend, judge.DeedTouchdown, judge.DeedEaseThrottle:
		n = addAnswer(all, n, AnswerLand)
		n = addAnswer(all, n, AnswerRefuge)
	case judge.DeedCutOff, judge.DeedThrottleLowest, judge.DeedHoldLowest, judge.DeedDisarm:
		n = addAnswer(all, n, AnswerCutOff)
	case judge.DeedReturnSafe:
		n = addAnswer(all, n, AnswerReturnSafe)
	case judge.DeedSticksNeutral:
		n = addAnswer(all, n, AnswerNeutral)
		n = addAnswer(all, n, AnswerNeutralLand)
	case judge.DeedMoveAway:
		n = addAnswer(all, n, AnswerAway)
		n = addAnswer(all, n, AnswerRefuge)
	case judge.DeedMoveClear:
		n = addAnswer(all, n, AnswerClear)
		n = addAnswer(all, n, AnswerRefuge)
	case judge.DeedCall, judge.DeedStep, judge.DeedPlanDone, judge.DeedInspected, judge.DeedFoundAll,
		judge.DeedVerdictRight, judge.DeedPromptsAnswered, judge.DeedCarryDone:
		n = addAnswer(all, n, AnswerGoOn)
	}
	return n
}

func addAnswer(all *[MaxAnswers]Answer, n int, a Answer) int {
	for _, b := range all[:n] {
		if a == b {
			return n
		}
	}
	all[n] = a
	return n + 1
}
