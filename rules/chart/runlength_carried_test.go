package chart

import (
	"math"
	"testing"
)

// More nodes than are used change nothing.
func TestNodesSuffice(t *testing.T) {
	for _, tests := range []Tests{{Trend: 12}, {PointBeyond: true, Trend: 7}, {Alternation: 14}, {SameSide: 4, Alternation: 5, Trend: 4}} {
		a, err := newAutomaton(tests)
		if err != nil {
			t.Fatal(err)
		}
		var lengths []float64
		for _, trend := range []int{tests.Trend, 20} {
			length, err := expectation(newCarried(a, trend, 0.7).advance, 200, 1000)
			if err != nil {
				t.Fatal(err)
			}
			lengths = append(lengths, length)
		}
		if math.Abs(lengths[0]/lengths[1]-1) > 1e-9 {
			t.Errorf("%+v: %v", tests, lengths)
		}
	}
}
