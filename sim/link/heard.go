// Package link is the C2 link between the transmitter and the craft: frames at
// 50 Hz that arrive late, in bursts, or not at all.
//
// It stands apart because it is the only way from the person to the craft: what
// is not in Heard the craft does not know. The way of the data:
//
//  1. every FrameEvery ticks the transmitter sends the hands as they are;
//  2. the channel, good or bad for a while, loses the frame or lets it pass;
//  3. the frame arrives LatencyTicks later;
//  4. the receiver keeps the newest frame for ever and says how old it is.
//
// What to do when frames stay away is not decided here but by the watchman.
package link

import "lapwing/sim/hands"

// Heard is what has come through the link, and how old it is.
type Heard struct {
	Hands hands.Hands // of the newest frame; hands.Rest() before the first. Calls and steps do not pass
	Age   int64       // ticks since that frame was sent; before the first frame, ticks since power-up
	Any   bool        // some frame was heard since power-up
}
