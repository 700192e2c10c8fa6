package bench

// Place is a place of the inspection list, or something that stands there.
type Place uint8

// The places, in walking order: from the craft over its battery and the room to
// the transmitter.
const (
	PlaceNone Place = iota
	Frame
	Propeller // one for each rotor
	Bells
	Wiring
	Lens
	Guards // of craft that have them
	Pack
	Strap
	Cells
	Leads
	Net // of rooms that have one
	Floor
	Lights
	Fans
	People
	Exits
	Transmitter
	Binding
	placeCount
)

var placeWords = [placeCount]string{"", "frame", "propeller", "motor-bells", "wiring", "lens", "guards", "pack", "strap",
	"cells", "leads", "net", "floor", "lights", "fans", "people", "exits", "transmitter", "binding"}

var placeSays = [placeCount]string{"",
	"the frame and its booms, screw by screw",
	"a propeller: its type, its way round, its edges, its hold",
	"the motors' bells, turned by hand",
	"the wiring, and what the blades could reach",
	"the camera's lens",
	"the guards",
	"the battery's label and its skin",
	"the battery's strap, pulled every way",
	"the battery's cells, with the tester",
	"the battery's leads and plugs",
	"the net",
	"the floor",
	"the lights",
	"fans and moving air",
	"the people, counted",
	"the ways out and the fire kit",
	"the transmitter and its switches",
	"that this transmitter moves this craft and no other",
}

// String returns the word for p.
func (p Place) String() string {
	if p >= placeCount {
		return "unknown"
	}
	return placeWords[p]
}

// Says says in plain words what is looked at.
func (p Place) Says() string { return placeSays[min(p, placeCount-1)] }

// ParsePlace returns the place called w.
func ParsePlace(w string) (Place, bool) {
	for i, candidate := range placeWords {
		if candidate == w && i > 0 {
			return Place(i), true
		}
	}
	return PlaceNone, false
}

// PlaceWords lists the places' words in walking order.
func PlaceWords() []string { return placeWords[1:] }
