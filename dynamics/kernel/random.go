package kernel

import "math/bits"

// Stream tells one source of randomness from another: gusts, gyro noise, and so
// on. A random number is a function of (seed, stream, tick, index) and of
// nothing else, so drawing from one stream, or drawing more of it, shifts no
// other (the counter-based idea: Salmon, Moraes, Dror and Shaw, "Parallel random
// numbers: as easy as 1, 2, 3", SC11, 2011).
type Stream uint64

// Odd multipliers that spread the words of a counter over 64 bits: the fraction
// bits of (√5−1)/2, √3−1 and √7−2, made odd.
const (
	spreadStream = 0x9e3779b97f4a7c15
	spreadTick   = 0xbb67ae8584caa73b
	spreadIndex  = 0xa54ff53a5f1d36f1
)

// NewStream returns the stream of a name; call it when the program starts, not
// in the tick. The hash is 64-bit FNV-1a (G. Fowler, L. C. Noll, K.-P. Vo,
// 1991), mixed once more.
func NewStream(name string) Stream {
	h := uint64(0xcbf29ce484222325)
	for i := range len(name) {
		h = (h ^ uint64(name[i])) * 0x100000001b3
	}
	return Stream(mix(h))
}

// mix is a bijection of 64-bit words in which each input bit changes about half
// of the output bits: the finaliser of Steele, Lea and Flood, "Fast splittable
// pseudorandom number generators", OOPSLA 2014, with D. Stafford's constants,
// from memory.
func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// Bits returns 64 random bits: two rounds of mix over the four words.
func Bits(seed uint64, s Stream, tick int64, index uint64) uint64 {
	h := seed + uint64(s)*spreadStream + bits.RotateLeft64(uint64(tick)*spreadTick, 32)
	return mix(mix(h) + index*spreadIndex)
}

// Uniform returns a random number evenly spread over the open interval 0 … 1,
// on 2^52 values placed symmetrically about ½.
func Uniform(seed uint64, s Stream, tick int64, index uint64) float64 {
	return float64((float64(Bits(seed, s, tick, index)>>12) + 0.5) * 0x1p-52)
}

// Normal returns a random number of the standard normal distribution, within
// ±8.3.
func Normal(seed uint64, s Stream, tick int64, index uint64) float64 {
	return NormalInv(Uniform(seed, s, tick, index))
}

// Normal3 returns three independent standard normal numbers, those of the
// indices 3·index, 3·index + 1 and 3·index + 2.
func Normal3(seed uint64, s Stream, tick int64, index uint64) Vec3 {
	return Vec3{
		Normal(seed, s, tick, 3*index),
		Normal(seed, s, tick, 3*index+1),
		Normal(seed, s, tick, 3*index+2),
	}
}

// Exponential returns a random number of the exponential distribution of mean
// 1: positive, at most 36.8.
func Exponential(seed uint64, s Stream, tick int64, index uint64) float64 {
	return -Log(Uniform(seed, s, tick, index))
}
