package scenarios

// scenarioFormat describes a scenario: a craft in a room, a briefed task, what
// goes wrong, and what is expected of the person.
func scenarioFormat() format {
	return format{kind: KindScenario, dir: "scenarios", rules: scenarioRules(), root: document(KindScenario,
		"A scenario: task, conditions and standards, what goes wrong, and what is expected.",
		list("briefing", 3, 6, sentence("", ""), "plain sentences that the trainee reads").need(),
		list("conditions", 1, 8, sentence("", ""), "under which the task is done").need(),
		list("standards", 1, 8, sentence("", ""), "what counts as done well, for people").need(),
		list("expected_actions", 1, 10, sentence("", ""), "in order, for instructor and debrief").need(),
		list("not_modelled", 0, 10, sentence("", ""), "what the program leaves out here"),
		list("artificialities", 0, 10, sentence("", ""), "what is unlike a real session"),
		reference("craft", "of the catalogue or beside this file").need(),
		reference("room", "of the catalogue or beside this file").need(),
		reference("law", "left out: the built-in law as designed"),
		list("procedures", 0, 8, reference("", ""), "procedures files that win over this drill"),
		number("duration", "s", 5, 1800, "after which the run ends whatever happens").need(),
		word("start", startWords, "how the craft lies as the run begins: on its feet, or on its back, armed, with the throttle up").or(startUpright),
		number("starting_charge", "share", 0.02, 1, "of the battery; left out: as the craft says"),
		vector("wind", "m_s", -10, 10, "steady, in place of the room's"),
		linkField(),
		pathField(),
		planField(),
		benchField(),
		inspectionField(),
		carryField(),
		estimateFaultField(),
		promptsField(),
		injectsField(),
		drillField(),
	)}
}

// How the craft lies as a run begins.
const (
	startUpright  = "upright"
	startInverted = "inverted"
)

var startWords = []string{startUpright, startInverted}

func scenarioRules() []rule {
	return []rule{
		{nil, func(v *value, r *report) { checkDrill(v.at("drill"), r) }},
		{[]string{"plan", "path"}, checkPlan},
		{[]string{"link"}, checkLink},
		{[]string{"injects", "drill"}, checkInjectsAndEvent},
		{[]string{"injects", "duration_s"}, checkOnsets},
		{[]string{"injects"}, checkInjectForms},
		{[]string{"path"}, checkPath},
		{[]string{"plan", "bench"}, checkBench},
		{[]string{"inspection"}, checkInspection},
		{[]string{"carry", "estimate_fault"}, checkCarry},
		{[]string{"prompts", "bench"}, checkPrompts},
	}
}
