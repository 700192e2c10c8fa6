package sense

import (
	"math"
	"math/bits"

	"lapwing/dynamics/kernel"
)

// white3 returns three independent numbers of mean 0 and variance 1, nearly
// normal: the count of heads in 16 coin flips, with a uniform number of one flip's
// width added so that the values do not stand on a grid. One random word serves
// all three. Excess kurtosis is −0.12, the greatest value 4.2. Real sensors are no
// nearer to the normal law, and six of these cost a sixth of six by inverse
// distribution, which here is half the time of reading the sensors.
func white3(seed uint64, s kernel.Stream, tick int64) kernel.Vec3 {
	w := kernel.Bits(seed, s, tick, 0)
	return kernel.Vec3{X: white(w), Y: white(w >> 21), Z: white(w >> 42)}
}

// flips is how many bits of a number are flipped coins; ditherBits, below them,
// are the dither.
const (
	flips      = 16
	ditherBits = 5
)

// whiteScale is one over the standard deviation: flips/4 for the count and, for
// a uniform of 2^5 steps, (1 − 2^−10)/12.
var whiteScale = 1 / math.Sqrt(flips*0.25+(1-0x1p-10)/12)

// white makes a number of the lowest 21 bits of w.
func white(w uint64) float64 {
	heads := float64(bits.OnesCount64(w >> ditherBits & (1<<flips - 1)))
	dither := float64((float64(int64(w&(1<<ditherBits-1))) + 0.5) * (1.0 / (1 << ditherBits)))
	return float64((heads + dither - (flips*0.5 + 0.5)) * whiteScale)
}
