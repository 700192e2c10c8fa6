package scenarios

import (
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/pilot"
)

// Group is where a scenario stands in the catalogue: a step of the job, or, where
// something goes wrong, how fast the answer must be.
type Group uint8

// The groups, in the order in which they are flown.
const (
	GroupCraft   Group = iota // at the craft, before anything turns
	GroupArming               // motors turn, nothing flies
	GroupCutOff               // the motor cut-off, for practice
	GroupByHand               // flown by hand
	GroupHold                 // with the place held
	GroupPath                 // along a path
	GroupCatch                // looks like a drill, and nothing goes wrong
	GroupStopNow              // events, in the order of their classes
	GroupTakeOver
	GroupLandNow
	GroupLandSoon
	GroupTell
	GroupPeople
	groupCount
)

var groupWords = [groupCount]string{
	"Before the flight, at the craft", "Arming", "Motor cut-off, for practice", "Flown by hand", "Position-hold", "Path and take-over",
	"Looks like a drill, and nothing goes wrong", "Stop now", "Take over", "Land now", "Land soon", "Hold and tell", "Protect people"}

// Words says g as a heading.
func (g Group) Words() string { return groupWords[min(g, groupCount-1)] }

// Groups returns all groups in order.
func Groups() []Group {
	all := make([]Group, groupCount)
	for i := range all {
		all[i] = Group(i)
	}
	return all
}

// Class returns the class of events that g holds; ok is false where nothing goes
// wrong in it.
func (g Group) Class() (class judge.Class, ok bool) {
	return judge.Class(g-GroupStopNow) + judge.ClassA, g >= GroupStopNow
}

// Group tells where b stands: by its class, and where nothing goes wrong by what
// its plan does.
func (b *Bundle) Group() Group {
	if b.Drill.Class != judge.ClassN {
		return GroupStopNow + Group(b.Drill.Class-judge.ClassA)
	}
	flies, cuts, holds, follows, work := false, false, false, false, false
	for i := range b.Plan.Count {
		leg := &b.Plan.Legs[i]
		flies = flies || leg.Do == pilot.LegLift
		cuts = cuts || leg.Do == pilot.LegCutOff
		holds = holds || leg.Do == pilot.LegEngage && leg.Response == hands.PositionHold
		follows = follows || leg.Do == pilot.LegEngage && leg.Response == hands.Path
		work = work || workLeg(leg.Do)
	}
	switch {
	case flies && b.Drill.Announced == judge.AnnouncedNot:
		return GroupCatch
	case cuts:
		return GroupCutOff
	case follows:
		return GroupPath
	case holds:
		return GroupHold
	case flies:
		return GroupByHand
	case work || b.Bench.Task || b.Bench.PropsOff:
		return GroupCraft
	}
	return GroupArming
}

// workLeg tells whether a leg is work at the craft before a flight.
func workLeg(k pilot.LegKind) bool {
	switch k {
	case pilot.LegInspect, pilot.LegCarry, pilot.LegTilt, pilot.LegCover, pilot.LegPrompts:
		return true
	}
	return false
}
