package residuals

import "math"

// xyz is a direction or a place in space.
type xyz = [3]float64

func dot(a, b xyz) float64 {
	return float64(a[0]*b[0]) + float64(a[1]*b[1]) + float64(a[2]*b[2])
}

func cross(a, b xyz) xyz {
	return xyz{
		float64(a[1]*b[2]) - float64(a[2]*b[1]),
		float64(a[2]*b[0]) - float64(a[0]*b[2]),
		float64(a[0]*b[1]) - float64(a[1]*b[0]),
	}
}

func minus(a, b xyz) xyz { return xyz{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

// along returns a + k·b.
func along(a xyz, k float64, b xyz) xyz {
	return xyz{a[0] + float64(k*b[0]), a[1] + float64(k*b[1]), a[2] + float64(k*b[2])}
}

// unit returns a vector of length one, and false for one without a direction.
func unit(a xyz) (xyz, bool) {
	squares := dot(a, a)
	if !(squares > 1e-200 && squares < 1e200) {
		// The squares of very small and very large numbers are none: scaled first.
		most := max(math.Abs(a[0]), math.Abs(a[1]), math.Abs(a[2]))
		if !(most > 0) || math.IsInf(most, 0) {
			return xyz{}, false
		}
		a = xyz{a[0] / most, a[1] / most, a[2] / most}
		squares = dot(a, a)
	}
	length := math.Sqrt(squares)
	return xyz{a[0] / length, a[1] / length, a[2] / length}, true
}

// across returns the part of a that is square to the unit vector axis, as a unit vector; false where a hardly has one, so
// that its direction would be chance.
func across(a, axis xyz) (xyz, bool) {
	a, ok := unit(a)
	if !ok {
		return xyz{}, false
	}
	rest := along(a, -dot(a, axis), axis)
	if dot(rest, rest) < 0.01 { // within 6° of the axis
		return xyz{}, false
	}
	return unit(rest)
}
