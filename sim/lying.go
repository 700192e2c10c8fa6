package sim

import (
	"lapwing/dynamics"
	"lapwing/sim/control"
	"lapwing/sim/hands"
	"lapwing/sim/link"
	"lapwing/sim/safety"
)

// lie begins the run with what a crash leaves: the craft on its back where it
// would take off, armed, and the throttle still where it hovers.
func lie(c *Conditions, w *World) {
	w.Craft = dynamics.Inverted(&c.Craft, &c.Place, c.Place.TakeOff, 0)
	w.Estimate.Belief.PosW, w.Estimate.Belief.QWB = w.Craft.PosW, w.Craft.QWB
	w.Hands.CutOff, w.Hands.Armed = false, true
	w.Hands.Throttle = hands.Stick(control.HoverStick(&c.Law))
	w.Heard = link.Heard{Hands: w.Hands, Any: true}
	w.Safety = safety.StartArmed(&c.Safety)
}
