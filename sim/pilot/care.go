package pilot

// Care is how surely a person finds what there is to find before a flight, and
// how quickly a switch. Levels are judgements; the times of a switch follow the
// choice among answers as Unannounced and Announced do.
type Care struct {
	Overlook float64 // ≥ 0, times what hides from a careful look: the share of it that this person misses
	Scale    float64 // > 0, share by which a shown way must differ from the seen one to be noticed
	Answer   ExGauss // s, from a spoken prompt to the hand's first move
	Slip     float64 // probability of the wrong switch first, or of the wrong word
}

// careless finds nothing: the pilots that recognise nothing.
func careless() Care { return Care{Overlook: 1e9, Scale: 1e9, Answer: withMean(expected)} }

// careful finds whatever can be found.
func careful() Care { return Care{Scale: scaleTold} }

// scaleTold is the share of a way by which the station must be wrong to be
// noticed when somebody looks for it: the mark on the floor is known to a
// centimetre, the estimate follows to about 2 %.
const scaleTold = 0.05

// misses tells whether this person overlooks a discrepancy of an ease (0 … 1),
// for a lot u of 0 … 1.
func (c *Care) misses(ease, u float64) bool { return u < c.Overlook*(1-ease) }
