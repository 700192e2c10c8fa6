package scenarios

import (
	"fmt"

	"lapwing/sim/hands"
	"lapwing/sim/judge"
)

// proceduresFormat describes what a laboratory or a craft's manual asks in
// place of a scenario's own demands. It wins over the scenario, event by event.
func proceduresFormat() format {
	return format{kind: KindProcedures, dir: "procedures", rules: proceduresRules(), root: document(KindProcedures,
		"What counts as the right action for a craft or in a room, checked by a person. It wins over scenarios.",
		sentence("checked_by", "code of the person who checked it").need(),
		date("date", "of the check").need(),
		list("craft", 1, 32, reference("", "a craft"), "the craft it is for; left out: any"),
		list("rooms", 1, 32, reference("", "a room"), "the rooms it is for; left out: any"),
		list("events", 1, len(events), group("", "one event",
			word("event", eventWords(), "as in a drill").need(),
			sentence("why", "why it differs from the scenario").need(),
			demandsField(), commissionsField(),
			list("permits", 1, len(permitWords), word("", permitWords, ""), "what is no hard fail here")), "event by event; a list that is left out stays as in the scenario").need(),
	)}
}

// permitWords are what procedures may permit that otherwise is a hard fail.
var permitWords = []string{hands.StepTransmitterOff.String()}

func proceduresRules() []rule {
	return []rule{
		{[]string{"craft", "rooms"}, func(v *value, r *report) {
			if !v.at("craft").present && !v.at("rooms").present {
				r.add(v.fault("neither craft nor rooms", "at least one of the keys craft and rooms", "what is it for?"))
			}
		}},
		{[]string{"events"}, checkProcedureEvents},
	}
}

func checkProcedureEvents(v *value, r *report) {
	lines := map[string]int{}
	for _, e := range v.list("events") {
		at := e.at("event")
		if first, twice := lines[at.text]; twice {
			r.add(at.fault(at.text, "each event once", fmt.Sprintf("it stands in line %d already", first)))
		}
		lines[at.text] = at.line
		demands := e.at("demands")
		if !demands.present && !e.at("commissions").present && !e.at("permits").present {
			r.add(e.fault("neither demands nor commissions nor permits", "at least one of them", ""))
		}
		if demands.present {
			checkDemands(demands, r)
			checkFirst(at, demands, r)
		}
	}
}

// checkFirst checks that the first right action can be told.
func checkFirst(event, demands *value, r *report) {
	if eventNamed(event.text).Class == judge.ClassN {
		return
	}
	for _, d := range demands.items {
		if d.is("first") {
			return
		}
	}
	r.add(event.fault(event.text, "", "no demand is marked as first: the first right action cannot be told"))
}

// Procedure says which procedures file won over a scenario.
type Procedure struct {
	Name      string // of the file
	Title     string
	CheckedBy string // code
	Date      string // year-month-day
	Why       string
}

// matches tells whether a sound procedures file is for a craft in a room.
func matches(v *value, craft, room string) bool {
	return names(v.at("craft"), craft) && names(v.at("rooms"), room)
}

// names tells whether a list is absent or holds name.
func names(v *value, name string) bool {
	for _, item := range v.items {
		if item.text == name {
			return true
		}
	}
	return !v.present
}

// override puts what v says about d's event in place of d's demands and
// commissions, and tells whether it says anything.
func override(d *judge.Drill, v *value, name string) (Procedure, bool) {
	for _, e := range v.list("events") {
		if eventNamed(e.str("event")).Row != d.Event {
			continue
		}
		if e.at("demands").present {
			setDemands(d, e.at("demands"))
		}
		if e.at("commissions").present {
			setCommissions(d, e.at("commissions"))
		}
		for _, item := range e.list("permits") {
			d.MaySwitchOff = d.MaySwitchOff || item.text == hands.StepTransmitterOff.String()
		}
		return Procedure{Name: name, Title: v.str("title"), CheckedBy: v.str("checked_by"), Date: v.str("date"), Why: e.str("why")}, true
	}
	return Procedure{}, false
}
