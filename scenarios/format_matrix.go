package scenarios

import (
	"fmt"
	"math"

	"lapwing/sim/control"
	"lapwing/sim/trials"
)

// Own stands in a matrix for the craft or the law that a scenario has of its own.
const Own = "own"

// Bounds of a matrix: judgements. The greatest limit is an hour of simulated time.
const (
	mostNames    = 200
	mostDelay    = 20.0 // s
	mostSeeds    = 1_000_000
	mostPoints   = 10_000
	mostAxes     = 8
	MostTicks    = 3_600_000
	mostOfSeed   = 1e15 - 1
	leastOfRange = 2 // steps of a grid
)

// matrixFormat describes many rehearsals: everything by everything.
func matrixFormat() format {
	return format{kind: KindMatrix, dir: "matrices", rules: []rule{{[]string{"sweep"}, checkSweep}, {[]string{"seeds"}, checkSeeds}}, root: document(KindMatrix,
		"Many rehearsals: every scenario with every craft, law, point of the sweep, pilot and seed.",
		list("scenarios", 1, mostNames, reference("", ""), "of the catalogue or beside this file").need(),
		list("craft", 1, mostNames, reference("", ""), "in place of the scenarios' own; the word own leaves that; left out: own"),
		list("laws", 1, mostNames, reference("", ""), "in place of the scenarios' own; the word own leaves that, the built-in law where a scenario names none; left out: own"),
		list("pilots", 1, mostNames, group("", "one pilot, or the same one with several delays",
			reference("pilot", "a pilot, or a script of the catalogue or beside this file").need(),
			list("delay_s", 1, 16, number("", "s", 0, mostDelay, ""), "waited before answering, on top of the person's own time; one case each; left out: none")),
			"who flies").need(),
		variant("sweep", "design", "numbers of law and craft that are varied together",
			form("grid", "every step of each with every step of the others", varyField(true)),
			form("random", "points drawn evenly", pointsField(), drawField(), varyField(false)),
			form("low-discrepancy", "points of a scrambled Halton sequence, which fill the space more evenly than drawn ones", pointsField(), drawField(), varyField(false))),
		either("seeds", "the same for all", group("from", "seeds in a row",
			integer("from", 0, mostOfSeed, "the first").need(), integer("count", 1, mostSeeds, "how many").need()),
			group("list", "chosen seeds", list("list", 1, 10_000, integer("", 0, mostOfSeed, ""), "each once").need())).need(),
		integer("limit_ticks", 1, MostTicks, "a case that has not ended by then is an error; left out: an hour").or(float64(MostTicks)),
	)}
}

func pointsField() field { return integer("points", 1, mostPoints, "how many").need() }
func drawField() field   { return integer("draw", 0, mostOfSeed, "seed of the points").or(1.0) }

// varyField describes the axes of a sweep. Numbers are as in the file that is
// varied, without unit here: the key carries it.
func varyField(steps bool) field {
	ends := []field{number("from", "", -1e6, 1e6, "least").need(), number("to", "", -1e6, 1e6, "greatest").need()}
	if steps {
		ends = append(ends, integer("steps", leastOfRange, 1000, "how many values, both ends among them").need())
	}
	var keys []string
	for _, k := range control.Keys() {
		f := lawField(k)
		keys = append(keys, f.fullName())
	}
	return list("vary", 1, mostAxes, either("", "one number",
		group("law", "a number of the law file", append([]field{word("law", keys, "its key under loops").need()}, ends...)...),
		group("craft", "how far the craft is from its file, in parts of the uncertainty stated there",
			append([]field{word("craft", trials.CraftKeys(), "which uncertainty").need()}, ends...)...)), "what is varied").need()
}

func checkSweep(v *value, r *report) {
	sweep := v.at("sweep")
	if !sweep.present {
		return
	}
	seen, points := map[string]bool{}, 1.0
	for _, item := range sweep.list("vary") {
		lo, hi := -1.0, 1.0
		key := item.str(item.choice)
		if item.choice == trials.OfLaw {
			lo, hi = rangeOfLaw(key)
		}
		if seen[item.choice+key] {
			r.add(item.fault("", "", key+" is varied twice"))
		}
		seen[item.choice+key] = true
		allowed := figureWords(lo) + " to " + figureWords(hi)
		if at := item.at("from"); at.number < lo {
			r.add(at.fault(at.text, allowed, ""))
		}
		if at := item.at("to"); at.number > hi || at.number <= item.num("from") {
			r.add(at.fault(at.text, allowed+", and more than from", ""))
		}
		if steps := item.maybe("steps"); steps != nil {
			points *= math.Max(1, steps.number)
		}
	}
	if points > mostPoints {
		r.add(sweep.fault(figureWords(points)+" points", fmt.Sprintf("at most %d", mostPoints), "this grid is too large"))
	}
}

// rangeOfLaw returns what a key of a law file may be, in the file's unit.
func rangeOfLaw(key string) (lo, hi float64) {
	for _, k := range control.Keys() {
		if f := lawField(k); f.fullName() == key {
			return f.min, f.max
		}
	}
	panic("scenarios: no key " + key)
}

func checkSeeds(v *value, r *report) {
	seen := map[float64]bool{}
	if v.at("seeds").choice != "list" {
		return
	}
	for _, item := range v.at("seeds").list("list") {
		if seen[item.number] {
			r.add(item.fault(item.text, "each seed once", ""))
		}
		seen[item.number] = true
	}
}
