package bench

// Finding is the state that a place is in: sound, or one discrepancy.
type Finding uint8

// Sound is the state of a place with nothing wrong.
const Sound Finding = 0

// finding describes a discrepancy. What forbids flying is what could hurt
// somebody or lose the craft, and cannot be put right where it stands: common
// practice of pre-flight lists. How easy each is to see is a judgement: 1 for
// what strikes the eye, less for what hides.
type finding struct {
	place Place
	word  string
	says  string
	noGo  bool    // not to be flown; else it is mended on the spot
	ease  float64 // 0 … 1, chance that a careful look shows it
}

// findings lists the discrepancies. The order is part of a percept.
var findings = [...]finding{
	Sound: {PlaceNone, "sound", "nothing is wrong", false, 1},

	{Frame, "cracked-boom", "a boom is cracked", true, 0.7},
	{Frame, "loose-screw", "a screw of the frame is loose", false, 0.6},
	{Propeller, "wrong-type", "a propeller of another type", false, 0.7},
	{Propeller, "wrong-way-round", "a propeller for the other direction of turning", false, 0.6},
	{Propeller, "nicked", "a blade is nicked", true, 0.8},
	{Propeller, "loose", "a propeller is loose on its shaft", false, 0.7},
	{Bells, "gritty", "a bell turns gritty", true, 0.6},
	{Bells, "thread-wound", "a thread has wound itself round a shaft", false, 0.7},
	{Wiring, "near-blade", "a wire hangs where a blade passes", false, 0.8},
	{Wiring, "chafed", "a wire is chafed to the copper", true, 0.5},
	{Lens, "capped", "the cap is on the lens", false, 0.95},
	{Lens, "smeared", "the lens is smeared", false, 0.6},
	{Guards, "broken", "a guard is broken", true, 0.9},
	{Guards, "unclipped", "a guard is not clipped in", false, 0.8},
	{Pack, "wrong-label", "the label names another pack", false, 0.7},
	{Pack, "swollen", "the pack is swollen", true, 0.8},
	{Pack, "dented", "the pack is dented", true, 0.8},
	{Strap, "slides", "the pack slides under its strap", false, 0.8},
	{Cells, "apart", "the cells' voltages lie apart", true, 0.9},
	{Cells, "not-charged", "the pack is not charged", false, 0.95},
	{Leads, "dangling", "a lead hangs where a blade passes", false, 0.8},
	{Leads, "scorched", "a plug is scorched", true, 0.7},
	{Net, "open", "the net stands open", false, 0.9},
	{Net, "torn", "the net is torn", true, 0.6},
	{Floor, "littered", "something light lies on the floor", false, 0.8},
	{Floor, "bare", "the floor has nothing that the camera could follow", true, 0.6},
	{Lights, "flickering", "a light flickers", true, 0.7},
	{Fans, "running", "a fan is running", false, 0.9},
	{People, "inside", "somebody is inside the net", false, 0.95},
	{Exits, "blocked", "a way out is blocked", false, 0.8},
	{Exits, "no-fire-kit", "the fire kit is not in its place", true, 0.7},
	{Transmitter, "throttle-up", "the throttle is not at its lowest", false, 0.8},
	{Transmitter, "wrong-response", "the selector is not at attitude", false, 0.8},
	{Transmitter, "cut-off-released", "the cut-off is not engaged", false, 0.8},
	{Transmitter, "weak", "the transmitter's own battery is low", false, 0.8},
	{Binding, "other-craft", "this transmitter moves another craft", true, 0.9},
}

// Findings is the number of states, Sound included.
const Findings = len(findings)

func (f Finding) row() *finding {
	if int(f) >= len(findings) {
		panic("bench: no such finding")
	}
	return &findings[f]
}

// String returns the word for f; it is unique at its place.
func (f Finding) String() string { return f.row().word }

// Says says in plain words what is wrong.
func (f Finding) Says() string { return f.row().says }

// Place returns the place at which f can stand.
func (f Finding) Place() Place { return f.row().place }

// NoGo tells whether the craft must not fly with f. What is no NO-GO is mended
// once it has been found.
func (f Finding) NoGo() bool { return f.row().noGo }

// Ease is the chance, 0 … 1, that a careful look shows f.
func (f Finding) Ease() float64 { return f.row().ease }

// ParseFinding returns the discrepancy called w at a place.
func ParseFinding(at Place, w string) (Finding, bool) {
	for i := range findings {
		if findings[i].place == at && findings[i].word == w && i > 0 {
			return Finding(i), true
		}
	}
	return Sound, false
}

// FindingWords lists the words of the discrepancies that can stand at a place.
func FindingWords(at Place) []string {
	var words []string
	for i := range findings {
		if findings[i].place == at && i > 0 {
			words = append(words, findings[i].word)
		}
	}
	return words
}
