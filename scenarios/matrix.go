package scenarios

import "lapwing/sim/trials"

// Matrix is many rehearsals, as its file names them.
type Matrix struct {
	Title      string        `json:"title"`
	Scenarios  []string      `json:"scenarios"`
	Craft      []string      `json:"craft"` // Own among them
	Laws       []string      `json:"laws"`  // Own among them
	Pilots     []MatrixPilot `json:"pilots"`
	Sweep      trials.Sweep  `json:"sweep"`
	Seeds      []uint64      `json:"-"`
	LimitTicks int64         `json:"limit_ticks"` // a case that has not ended by then is an error
	Find       Finder        `json:"-"`           // of what it names
}

// MatrixPilot is who flies, and how long that one waits on top.
type MatrixPilot struct {
	Name  string  `json:"pilot"`
	Delay float64 `json:"delay_s"` // s
}

// DefaultMatrix returns a matrix with each scenario's own craft and law, without
// sweep, limited to an hour of simulated time. Scenarios, pilots and seeds are to
// be filled in.
func DefaultMatrix() *Matrix {
	return &Matrix{Title: "As typed", Craft: []string{Own}, Laws: []string{Own}, LimitTicks: MostTicks, Find: Disk("")}
}

// LoadMatrix reads the matrix called name and none of the files that it names. A
// matrix that is named by its path finds them beside it, or in the folder above,
// laid out like the catalogue, before find is asked. The error is Faults.
func LoadMatrix(find Finder, name string) (*Matrix, error) {
	l := loader{find: around(find, name)}
	f, ok := l.read(KindMatrix, name, nil)
	if !ok || !f.sound() {
		return nil, l.rep.error()
	}
	v := f.root
	m := DefaultMatrix()
	m.Title, m.Scenarios, m.LimitTicks, m.Find = v.str("title"), texts(v.at("scenarios")), int64(v.integer("limit_ticks")), l.find
	if v.has("craft") {
		m.Craft = texts(v.at("craft"))
	}
	if v.has("laws") {
		m.Laws = texts(v.at("laws"))
	}
	for _, p := range v.list("pilots") {
		delays := p.list("delay_s")
		if len(delays) == 0 {
			m.Pilots = append(m.Pilots, MatrixPilot{Name: p.str("pilot")})
		}
		for _, d := range delays {
			m.Pilots = append(m.Pilots, MatrixPilot{p.str("pilot"), d.number})
		}
	}
	m.Sweep, m.Seeds = sweepOf(v.at("sweep")), seedsOf(v.at("seeds"))
	return m, nil
}

func sweepOf(v *value) (s trials.Sweep) {
	if !v.present {
		return s
	}
	s.Design = trials.Design(v.text)
	if s.Design != trials.Grid {
		s.Points, s.Draw = v.integer("points"), uint64(v.num("draw"))
	}
	for _, item := range v.list("vary") {
		a := trials.Axis{Of: item.choice, Key: item.str(item.choice), From: item.num("from"), To: item.num("to")}
		if steps := item.maybe("steps"); steps != nil {
			a.Steps = int(steps.number)
		}
		s.Axes = append(s.Axes, a)
	}
	return s
}

func seedsOf(v *value) (seeds []uint64) {
	if v.choice == "list" {
		for _, item := range v.list("list") {
			seeds = append(seeds, uint64(item.number))
		}
		return seeds
	}
	for i := range v.integer("count") {
		seeds = append(seeds, uint64(v.num("from"))+uint64(i))
	}
	return seeds
}
