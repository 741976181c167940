package random

import "math/bits"

// Generator is xoshiro256++ 1.0, of period 2^256 − 1. Its numbers are good for simulation and worthless as secrets. It is
// not safe for concurrent use: one for each goroutine.
//
// Source: Blackman and Vigna, "Scrambled linear pseudorandom number generators", ACM Trans. Math. Softw. 47 (2021) 36.
type Generator struct{ s0, s1, s2, s3 uint64 }

// NewGenerator spreads a seed of 64 bits over the 256 of the state by SplitMix64, as the authors of xoshiro advise; every
// seed is good, 0 too.
func NewGenerator(seed uint64) Generator {
	mix := splitMix64(seed)
	return Generator{mix.next(), mix.next(), mix.next(), mix.next()}
}

// Uint64 returns the next 64 random bits.
func (g *Generator) Uint64() uint64 {
	out := bits.RotateLeft64(g.s0+g.s3, 23) + g.s0
	shifted := g.s1 << 17
	g.s2 ^= g.s0
	g.s3 ^= g.s1
	g.s1 ^= g.s2
	g.s0 ^= g.s3
	g.s2 ^= shifted
	g.s3 = bits.RotateLeft64(g.s3, 45)
	return out
}

// fill writes the next numbers into a block: [Generator.Uint64] in a loop, with the state in registers.
func (g *Generator) fill(into []uint64) {
	s0, s1, s2, s3 := g.s0, g.s1, g.s2, g.s3
	for i := range into {
		into[i] = bits.RotateLeft64(s0+s3, 23) + s0
		shifted := s1 << 17
		s2 ^= s0
		s3 ^= s1
		s1 ^= s2
		s0 ^= s3
		s2 ^= shifted
		s3 = bits.RotateLeft64(s3, 45)
	}
	g.s0, g.s1, g.s2, g.s3 = s0, s1, s2, s3
}

// Jump moves the generator on by 2^128 numbers: as many streams as there are jumps never meet.
//
// The state after that many steps is a polynomial of the step applied to the state; its coefficients are the authors'.
func (g *Generator) Jump() {
	var out Generator
	for _, word := range [...]uint64{0x180ec6d33cfd0aba, 0xd5a61266f0c9392c, 0xa9582618e03fc9aa, 0x39abdc4529b1661c} {
		for bit := range 64 {
			if word>>bit&1 != 0 {
				out.s0 ^= g.s0
				out.s1 ^= g.s1
				out.s2 ^= g.s2
				out.s3 ^= g.s3
			}
			g.Uint64()
		}
	}
	*g = out
}

// splitMix64 is the generator of Steele, Lea and Flood (OOPSLA 2014); here it makes states of one seed.
type splitMix64 uint64

func (s *splitMix64) next() uint64 {
	*s += 0x9e3779b97f4a7c15
	z := uint64(*s)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}
