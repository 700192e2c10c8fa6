package trials

import (
	"errors"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"lapwing/sim"
	"lapwing/sim/score"
)

// Matrix is every scenario with every pilot under every seed.
type Matrix struct {
	Scenarios []Scenario
	Pilots    []string // as package pilot names them
	Seeds     []uint64
	Timed     int // for the first so many seeds, how long there was to act is worked out; it does not touch the verdict
	Workers   int // how many fly at the same time, at least 1
}

// DefaultMatrix returns scenarios and pilots under the seeds 1 … n, on all cores,
// without the time available.
func DefaultMatrix(scenarios []Scenario, pilots []string, n int) Matrix {
	m := Matrix{Scenarios: scenarios, Pilots: pilots, Workers: runtime.GOMAXPROCS(0)}
	for seed := range n {
		m.Seeds = append(m.Seeds, uint64(seed)+1)
	}
	return m
}

// Validate reports everything that is wrong with m.
func (m *Matrix) Validate() error {
	var all []error
	if len(m.Scenarios) == 0 || len(m.Pilots) == 0 || len(m.Seeds) == 0 {
		all = append(all, errors.New("trials: scenarios, pilots and seeds are needed, at least one of each"))
	}
	if m.Workers < 1 {
		all = append(all, fmt.Errorf("trials: %d workers: at least one has to fly", m.Workers))
	}
	if m.Timed < 0 {
		all = append(all, fmt.Errorf("trials: the time available for %d seeds", m.Timed))
	}
	return errors.Join(all...)
}

// Flights is the number of rows.
func (m *Matrix) Flights() int { return len(m.Scenarios) * len(m.Pilots) * len(m.Seeds) }

// Run flies them all and returns the rows by scenario, then pilot, then seed: the
// same at any number of workers. flown, where it is not nil, is called after each
// flight, from several goroutines at once. The first error ends it.
func (m *Matrix) Run(flown func()) ([]Row, error) {
	if err := m.Validate(); err != nil {
		return nil, err
	}
	rows, failed := make([]Row, m.Flights()), make([]error, m.Flights())
	var next atomic.Int64
	var broken atomic.Bool
	var wait sync.WaitGroup
	for range min(m.Workers, len(rows)) {
		wait.Go(func() {
			for !broken.Load() {
				i := int(next.Add(1)) - 1
				if i >= len(rows) {
					return
				}
				rows[i], failed[i] = m.fly(i)
				if failed[i] != nil {
					broken.Store(true)
				}
				if flown != nil {
					flown()
				}
			}
		})
	}
	wait.Wait()
	return rows, errors.Join(failed...)
}

// fly flies the case of a row.
func (m *Matrix) fly(i int) (row Row, err error) {
	seed := i % len(m.Seeds)
	name := m.Pilots[i/len(m.Seeds)%len(m.Pilots)]
	scenario := &m.Scenarios[i/len(m.Seeds)/len(m.Pilots)]
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("trials: %s, pilot %s, seed %d: %v", scenario.Name, name, m.Seeds[seed], p)
		}
	}()
	c := scenario.Rehearsal(m.Seeds[seed])
	hands, err := c.Pilot(name, nil)
	if err != nil {
		return Row{}, fmt.Errorf("trials: %s: %w", scenario.Name, err)
	}
	r := sim.Run(&c, hands)
	a := score.Assess(&c, &r, score.Available{})
	row = RowOf(scenario.Name, name, &c, &r, &a)
	if seed < m.Timed && row.Event && row.counts() {
		a = score.Assess(&c, &r, score.NominalTimeAvailable(&c, &r))
		row.setAvailable(&a)
	}
	return row, nil
}
