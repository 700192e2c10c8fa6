package rounds

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"lapwing/scenarios"
	"lapwing/sim/guest/host"
	"lapwing/sim/pilot"
	"lapwing/sim/trials"
)

// mostBundles bounds scenarios × craft × laws of a matrix, and mostCases its
// cases: judgements, so that a slip of the pen is told before it is flown.
const (
	mostBundles = 20_000
	mostCases   = 100_000_000
)

// Cases are the rehearsals of a matrix, by number: by scenario, craft, law, point
// of the sweep, pilot, seed, the last changing fastest.
type Cases struct {
	Matrix  *scenarios.Matrix
	Digest  string // of everything that decides a result but the program
	bundles []*scenarios.Bundle
	points  [][]trials.Setting
	pilots  []who

	lock  sync.Mutex
	ready map[int]*ready // bundles at a point, only looked up
}

// who flies: a pilot with its delay, or a script.
type who struct {
	name   string // as in results
	script *scenarios.ScriptFile
}

// Resolve loads everything that a matrix names. The error joins everything that is
// wrong with it.
func Resolve(m *scenarios.Matrix) (*Cases, error) {
	c := &Cases{Matrix: m, points: m.Sweep.Settings(), ready: map[int]*ready{}}
	all := []error{c.people(), twice("scenario", m.Scenarios), twice("craft", m.Craft), twice("law", m.Laws)}
	if len(m.Scenarios) == 0 || len(m.Seeds) == 0 {
		all = append(all, errors.New("a matrix needs scenarios and seeds, at least one of each"))
	}
	if n := len(m.Scenarios) * len(m.Craft) * len(m.Laws); n > mostBundles || n*len(c.points)*len(c.pilots)*len(m.Seeds) > mostCases {
		return nil, errors.Join(append(all, fmt.Errorf("%d cases; allowed at most %d, and %d of scenario × craft × law",
			n*len(c.points)*len(c.pilots)*len(m.Seeds), mostCases, mostBundles))...)
	}
	if err := errors.Join(append(all, c.load())...); err != nil {
		return nil, err
	}
	c.digest()
	return c, nil
}

// people finds out who flies.
func (c *Cases) people() error {
	var all []error
	for _, p := range c.Matrix.Pilots {
		name := pilot.WithDelay(p.Name, p.Delay)
		_, _, err := pilot.Delayed(name)
		known := slices.Contains(pilot.Names(), p.Name) && p.Name != "script"
		switch {
		case err != nil:
			all = append(all, err)
		case known:
			c.pilots = append(c.pilots, who{name: name})
		default:
			script, err := scenarios.LoadScript(c.Matrix.Find, p.Name)
			if err != nil {
				all = append(all, fmt.Errorf("there is no pilot %q (%s), and no such script: %w", p.Name, strings.Join(pilot.Names(), ", "), err))
				continue
			}
			c.pilots = append(c.pilots, who{"script " + script.Name, script})
		}
	}
	if len(c.Matrix.Pilots) == 0 {
		all = append(all, errors.New("a matrix needs at least one pilot"))
	}
	names := make([]string, len(c.pilots))
	for i := range c.pilots {
		names[i] = c.pilots[i].name
	}
	return errors.Join(append(all, twice("pilot", names))...)
}

func twice(what string, names []string) error {
	var seen []string
	for _, name := range names {
		base := scenarios.BaseName(name)
		if slices.Contains(seen, base) {
			return fmt.Errorf("the %s %s stands twice", what, base)
		}
		seen = append(seen, base)
	}
	return nil
}

// load reads every scenario with every craft and law. What is wrong with several
// of them is told once.
func (c *Cases) load() error {
	var lines []string
	own := func(name string) string {
		if name == scenarios.Own {
			return ""
		}
		return name
	}
	for _, scenario := range c.Matrix.Scenarios {
		for _, craft := range c.Matrix.Craft {
			for _, law := range c.Matrix.Laws {
				b, err := scenarios.LoadInstead(c.Matrix.Find, scenario, scenarios.Instead{Craft: own(craft), Law: own(law)})
				if err != nil {
					lines = append(lines, strings.Split(err.Error(), "\n")...)
				}
				c.bundles = append(c.bundles, b)
			}
		}
	}
	if len(lines) == 0 {
		return nil
	}
	slices.Sort(lines)
	return errors.New(strings.Join(slices.Compact(lines), "\n"))
}

// digest hashes the matrix with the text of all its files.
func (c *Cases) digest() {
	h := sha256.New()
	to := json.NewEncoder(h)
	write := func(v any) {
		if err := to.Encode(v); err != nil {
			panic("rounds: " + err.Error()) // names, texts and finite numbers
		}
	}
	write(c.Matrix.Seeds)
	write(c.points)
	write(c.Matrix.LimitTicks)
	for _, b := range c.bundles {
		for _, d := range b.Documents {
			d.File = ""
			write(d)
		}
		write(b.From.Command)
	}
	for _, p := range c.pilots {
		write(p.name)
		if p.script != nil {
			write(string(p.script.Document.Text))
		}
	}
	c.Digest = hex.EncodeToString(h.Sum(nil))
}

// Len is the number of cases.
func (c *Cases) Len() int {
	return len(c.bundles) * len(c.points) * len(c.pilots) * len(c.Matrix.Seeds)
}

// place is where a case stands along each side of the matrix.
type place struct{ bundle, point, pilot, seed int }

func (c *Cases) placeOf(number int) place {
	seeds, pilots, points := len(c.Matrix.Seeds), len(c.pilots), len(c.points)
	return place{number / seeds / pilots / points, number / seeds / pilots % points, number / seeds % pilots, number % seeds}
}

// Named returns the result of a case before it is flown: its names.
func (c *Cases) Named(number int) trials.Result {
	at := c.placeOf(number)
	b := c.bundles[at.bundle]
	law := c.Matrix.Laws[at.bundle%len(c.Matrix.Laws)]
	r := trials.Result{Case: trials.Case{ID: number, Craft: b.CraftName, Law: scenarios.BaseName(law), Point: c.points[at.point]}}
	r.Scenario, r.Pilot, r.Seed = b.Name, c.pilots[at.pilot].name, c.Matrix.Seeds[at.seed]
	return r
}

// ready is a bundle at a point of the sweep, with its law from outside started.
type ready struct {
	once   sync.Once
	bundle *scenarios.Bundle
	host   *host.Host
	err    error
	users  int // under the lock of Cases
}

// mostReady bounds how many are kept: cases come in order, so the few latest do.
const mostReady = 16

// take returns what a case is flown from. The caller calls give when it is done.
func (c *Cases) take(at place) (r *ready, give func()) {
	key := at.bundle*len(c.points) + at.point
	c.lock.Lock()
	if r = c.ready[key]; r == nil {
		r = &ready{}
		c.ready[key] = r
	}
	r.users++
	c.lock.Unlock()
	r.once.Do(func() {
		defer func() {
			if p := recover(); p != nil {
				r.err = fmt.Errorf("%v", p)
			}
		}()
		if r.bundle, r.err = c.bundles[at.bundle].Tuned(c.points[at.point]); r.err == nil {
			r.host, r.err = host.Open(&r.bundle.From)
		}
	})
	return r, func() {
		c.lock.Lock()
		defer c.lock.Unlock()
		r.users--
		c.forget()
	}
}

// forget lets go of the oldest that nobody uses.
func (c *Cases) forget() {
	for len(c.ready) > mostReady {
		oldest := -1
		for key, r := range c.ready {
			if r.users == 0 && (oldest < 0 || key < oldest) {
				oldest = key
			}
		}
		if oldest < 0 {
			return
		}
		c.ready[oldest].host.Close()
		delete(c.ready, oldest)
	}
}

// Close frees the laws from outside.
func (c *Cases) Close() {
	c.lock.Lock()
	defer c.lock.Unlock()
	for _, r := range c.ready {
		r.host.Close()
	}
	c.ready = map[int]*ready{}
}
