package devices

// Change is a device that came or went.
type Change struct {
	GUID, Name string
	Here       bool // it came; else it went
	InUse      bool // it is the one that is flown with: a run pauses, and a scored one is void
}

// Plugs watches which devices are there. The zero value knows of none.
type Plugs struct {
	here  []Reading // GUID and name only
	inUse string    // GUID of the device that is flown with, "" for the keyboard
}

// Use says which device is flown with.
func (p *Plugs) Use(guid string) { p.inUse = guid }

// See compares the devices that are there with those of the last time. Two of one
// make have the same GUID and are told apart by number: the first stays the first.
func (p *Plugs) See(readings []Reading) []Change {
	var changes []Change
	for _, r := range p.here {
		if count(p.here, r.GUID) > count(readings, r.GUID) && !told(changes, r.GUID) {
			changes = append(changes, Change{GUID: r.GUID, Name: r.Name, InUse: r.GUID == p.inUse})
		}
	}
	for _, r := range readings {
		if count(readings, r.GUID) > count(p.here, r.GUID) && !told(changes, r.GUID) {
			changes = append(changes, Change{GUID: r.GUID, Name: r.Name, Here: true, InUse: r.GUID == p.inUse})
		}
	}
	p.here = p.here[:0]
	for _, r := range readings {
		p.here = append(p.here, Reading{GUID: r.GUID, Name: r.Name})
	}
	return changes
}

func count(readings []Reading, guid string) int {
	n := 0
	for i := range readings {
		if readings[i].GUID == guid {
			n++
		}
	}
	return n
}

func told(changes []Change, guid string) bool {
	for _, c := range changes {
		if c.GUID == guid {
			return true
		}
	}
	return false
}
