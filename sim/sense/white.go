package sense

import (
	"math"
	"math/bits"

	"lapwing/dynamics/kernel"
)

// white3 returns three independent numbers of mean 0 and variance 1, nearly
// normal: the count of heads in 48 coin flips, with a uniform number of one flip's
// width added so that the values do not stand on a grid. One random word serves
// each. Excess kurtosis is −0.04, the greatest value 7.05. Real sensors are no
// nearer to the normal law, and six of these cost a third of six by inverse
// distribution, which here is half the time of reading the sensors.
func white3(seed uint64, s kernel.Stream, tick int64) kernel.Vec3 {
	return kernel.Vec3{
		X: white(kernel.Bits(seed, s, tick, 0)),
		Y: white(kernel.Bits(seed, s, tick, 1)),
		Z: white(kernel.Bits(seed, s, tick, 2)),
	}
}

// flips is how many bits of a word are flipped coins; the rest is the dither.
const flips = 48

// whiteScale is one over the standard deviation: flips/4 for the count and, for
// a uniform of 2^16 steps, (1 − 2^−32)/12.
var whiteScale = 1 / math.Sqrt(flips*0.25+(1-0x1p-32)/12)

func white(w uint64) float64 {
	heads := float64(bits.OnesCount64(w >> (64 - flips)))
	dither := float64((float64(int64(w&(1<<(64-flips)-1))) + 0.5) * (1.0 / (1 << (64 - flips))))
	return float64((heads + dither - (flips*0.5 + 0.5)) * whiteScale)
}
