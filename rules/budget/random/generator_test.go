package random

import (
	"math/bits"
	"testing"
)

// The first numbers from the state 1, 2, 3, 4 as the authors' C program prints them; so quoted in the tests of several
// public implementations.
func TestXoshiro256PlusPlus(t *testing.T) {
	g := Generator{1, 2, 3, 4}
	for i, want := range []uint64{
		41943041, 58720359, 3588806011781223, 3591011842654386, 9228616714210784205,
		9973669472204895162, 14011001112246962877, 12406186145184390807, 15849039046786891736, 10450023813501588000,
	} {
		if got := g.Uint64(); got != want {
			t.Errorf("number %d is %d, want %d", i+1, got, want)
		}
	}
}

// SplitMix64 from the seed 1234567; so quoted in several public implementations.
func TestSplitMix64(t *testing.T) {
	s := splitMix64(1234567)
	for i, want := range []uint64{6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821} {
		if got := s.next(); got != want {
			t.Errorf("number %d is %d, want %d", i+1, got, want)
		}
	}
}

// matrix is a linear map of the 256 bits of a state: the images of its unit states.
type matrix [256]Generator

func unitState(bit int) Generator {
	var s [4]uint64
	s[bit/64] = 1 << (bit % 64)
	return Generator{s[0], s[1], s[2], s[3]}
}

func (m *matrix) times(g Generator) (out Generator) {
	for i, word := range [4]uint64{g.s0, g.s1, g.s2, g.s3} {
		for ; word != 0; word &= word - 1 {
			column := m[64*i+bits.TrailingZeros64(word)]
			out.s0 ^= column.s0
			out.s1 ^= column.s1
			out.s2 ^= column.s2
			out.s3 ^= column.s3
		}
	}
	return out
}

// A step is linear in the state, so 2^128 steps are its matrix squared 128 times: the jump must do the same.
func TestJumpIsSoManySteps(t *testing.T) {
	var steps matrix
	for bit := range steps {
		g := unitState(bit)
		g.Uint64()
		steps[bit] = g
	}
	for range 128 {
		var squared matrix
		for bit := range squared {
			squared[bit] = steps.times(steps[bit])
		}
		steps = squared
	}
	for seed := range uint64(20) {
		g := NewGenerator(seed)
		want := steps.times(g)
		if g.Jump(); g != want {
			t.Fatalf("seed %d: jumped to %x, want %x", seed, g, want)
		}
	}
}

func TestBlockIsTheSameStream(t *testing.T) {
	one, many := NewGenerator(7), NewGenerator(7)
	block := make([]uint64, 100)
	many.fill(block)
	for i, got := range block {
		if want := one.Uint64(); got != want {
			t.Fatalf("number %d of the block is %d, want %d", i, got, want)
		}
	}
	if one != many {
		t.Error("the block leaves another state behind")
	}
}

func TestSeedsDiffer(t *testing.T) {
	seen := map[uint64]uint64{}
	for seed := range uint64(10_000) {
		g := NewGenerator(seed)
		first := g.Uint64()
		if other, twice := seen[first]; twice {
			t.Fatalf("seeds %d and %d begin alike", seed, other)
		}
		seen[first] = seed
	}
}
