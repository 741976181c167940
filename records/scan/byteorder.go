package scan

import (
	"math"
	"math/bits"
)

// orderSwapped tells whether the coordinates look as if their bytes were in the other order: most magnitudes are absurd as
// they stand, and most of these are ordinary once turned around. It needs no more than the first block.
//
// Turning around spreads the exponents of floating point numbers evenly, or sends short numbers far below what is normal,
// so that at least two thirds of the magnitudes leave the range from 1e-12 to 1e12, in which every scan lies in any unit.
func orderSwapped(xyz []float64, k kind) bool {
	if k.whole() {
		return false
	}
	absurd, mended, seen := 0, 0, 0
	for _, v := range xyz {
		if v == 0 {
			continue
		}
		seen++
		if ordinary(v) {
			continue
		}
		absurd++
		if k == float32Kind {
			v = float64(math.Float32frombits(bits.ReverseBytes32(math.Float32bits(float32(v)))))
		} else {
			v = math.Float64frombits(bits.ReverseBytes64(math.Float64bits(v)))
		}
		if v == 0 || ordinary(v) {
			mended++
		}
	}
	return 2*absurd > seen && 2*mended >= absurd
}

func ordinary(v float64) bool {
	v = math.Abs(v)
	return v >= 1e-12 && v <= 1e12
}
