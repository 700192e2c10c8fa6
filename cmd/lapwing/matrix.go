package main

import (
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"lapwing/scenarios"
	"lapwing/sim/pilot"
)

// matrix reads the matrix that is named, if one is, and puts in what the flags say.
func (o *trialsOptions) matrix(args []string, f *pflag.FlagSet) (*scenarios.Matrix, error) {
	m := scenarios.DefaultMatrix()
	if len(args) == 1 {
		var err error
		if m, err = scenarios.LoadMatrix(scenarios.Disk(""), args[0]); err != nil {
			return nil, coded{exitUsage, err}
		}
	}
	for _, part := range []struct {
		flag string
		to   *[]string
		from []string
	}{{"scenarios", &m.Scenarios, o.scenarios}, {"craft", &m.Craft, o.craft}, {"laws", &m.Laws, o.laws}} {
		if f.Changed(part.flag) {
			*part.to = part.from
		}
	}
	if f.Changed("limit-ticks") {
		if m.LimitTicks = o.limit; o.limit < 1 || o.limit > scenarios.MostTicks {
			return nil, badUse("--limit-ticks %d: allowed 1 to %d", o.limit, scenarios.MostTicks)
		}
	}
	if f.Changed("pilots") {
		m.Pilots = nil
		for _, name := range o.pilots {
			person, delay := name, 0.0
			if strings.Contains(name, "+") && !scenarios.IsPath(name) {
				var err error
				if person, delay, err = pilot.Delayed(name); err != nil {
					return nil, badUse("--pilots: %v", err)
				}
			}
			m.Pilots = append(m.Pilots, scenarios.MatrixPilot{Name: person, Delay: delay})
		}
	}
	if f.Changed("seeds") {
		var err error
		if m.Seeds, err = parseSeeds(o.seeds); err != nil {
			return nil, err
		}
	}
	if len(m.Scenarios) == 0 || len(m.Pilots) == 0 || len(m.Seeds) == 0 {
		return nil, badUse("trials needs a matrix, or --scenarios, --pilots and --seeds; for example: lapwing trials faults --out run")
	}
	return m, nil
}

// mostSeeds bounds what --seeds may name: a judgement, as for files.
const mostSeeds = 1_000_000

// parseSeeds reads 1-50, or 3,5,8, or both mixed.
func parseSeeds(text string) (seeds []uint64, err error) {
	seen := map[uint64]bool{}
	for part := range strings.SplitSeq(text, ",") {
		from, to, isRange := strings.Cut(part, "-")
		if !isRange {
			to = from
		}
		lo, errLo := strconv.ParseUint(from, 10, 49)
		hi, errHi := strconv.ParseUint(to, 10, 49)
		if errLo != nil || errHi != nil || hi < lo || hi-lo >= mostSeeds {
			return nil, badUse("--seeds %s: allowed FROM-TO or numbers with commas, at most %d", text, mostSeeds)
		}
		for seed := lo; seed <= hi; seed++ {
			if seen[seed] {
				return nil, badUse("--seeds %s: seed %d stands twice", text, seed)
			}
			seen[seed], seeds = true, append(seeds, seed)
		}
	}
	return seeds, nil
}
