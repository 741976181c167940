package random

import "math"

// layers is the number of strips of equal area that cover one half of the normal density.
const layers = 256

// tailStart is where the lowest strip ends and the tail begins, for 256 strips: Marsaglia and Tsang 2000.
const tailStart = 3.6541528853610088

// ziggurat holds the strips: strip i reaches from 0 to its right end and from the density there up to that at the next
// strip's right end. All but a hundredth of the draws fall where the strip lies wholly under the density.
//
// Source: Marsaglia and Tsang, "The ziggurat method for generating random variables", J. Stat. Softw. 5 (2000) 8.
type ziggurat struct {
	scale  [layers]float64     // right end of the strip over 2^53
	inside [layers]uint64      // draws below it, out of 2^53, need no look at the density
	height [layers + 1]float64 // density at the strip's right end
}

func density(x float64) float64 { return math.Exp(-x * x / 2) }

func newZiggurat() *ziggurat {
	const draws = 1 << 53
	// The area of the lowest strip: the rectangle and the tail beside it.
	area := float64(tailStart*density(tailStart)) + float64(math.Sqrt(math.Pi/2)*math.Erfc(tailStart/math.Sqrt2))
	var ends [layers + 1]float64
	ends[0] = area / density(tailStart) // a rectangle of that area, as high as the strip
	ends[1] = tailStart
	for i := 1; i < layers-1; i++ {
		ends[i+1] = math.Sqrt(-2 * math.Log(density(ends[i])+area/ends[i]))
	}
	z := &ziggurat{} // ends[layers] is 0
	for i := range layers {
		z.scale[i] = ends[i] / draws
		z.inside[i] = uint64(ends[i+1] / ends[i] * draws)
		z.height[i] = density(ends[i])
	}
	z.height[layers] = 1
	return z
}
