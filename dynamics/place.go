package dynamics

// Place is the room and its air. It never changes in a run. The origin is the
// middle of the floor; x runs along the room's length.
type Place struct {
	Min, Max Vec3 // m, inside faces of walls, floor (Min.Z = 0) and ceiling

	HasNet         bool
	NetMin, NetMax Vec3    // m, the net's faces inside the walls; a soft wall
	NetStiffness   float64 // N/m for each touching point
	NetDamping     float64 // N·s/m for each touching point

	CageMin, CageMax Vec3 // m, where the craft may fly (keep in)

	Boxes    [MaxBoxes]Box
	BoxCount int

	People       [MaxPeople]Person
	PersonCount  int
	PersonRadius float64 // m, powered flight inside it is a hard fail

	TakeOff Vec3 // m, the take-off mark on the floor

	Air Air
}

// Box is a solid with faces along the room's axes.
type Box struct{ Min, Max Vec3 } // m

// Person is an upright cylinder.
type Person struct {
	PosW   Vec3    // m, on the floor
	Radius float64 // m, of the body
	Height float64 // m
}

// Air is the air of a place.
type Air struct {
	Density float64 // kg/m³
	Gravity float64 // m/s²
	WindW   Vec3    // m/s, steady, the way the air moves

	// Turbulence after the Dryden model; zero speed means none. The model is
	// stated for the open air above 3 m: indoors it is outside its range.
	TurbulenceWind  float64 // m/s, mean wind at 6 m that sets the intensity
	TurbulenceSpeed float64 // m/s, speed at which the frozen field passes the craft, > 0 when used

	Fans     [MaxFans]Fan
	FanCount int

	turbulence dryden // derived by Place.Prepare
}

// Fan is a round free jet: uniform core at the mouth, widening and slowing with
// distance.
type Fan struct {
	PosW  Vec3    // m, centre of the mouth
	DirW  Vec3    // unit, the way it blows
	Width float64 // m, diameter of the mouth
	Speed float64 // m/s at the mouth
}
