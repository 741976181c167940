package sphere

import "math"

// Points are coordinates in millimetres, x, y, z of each point one after the other, and their weights; nil weights count
// every point alike.
type Points struct {
	XYZ    []float64
	Weight []float64
}

// Len returns the number of points.
func (p Points) Len() int { return len(p.XYZ) / 3 }

// at returns the i-th point.
func (p Points) at(i int) vector { return vector{p.XYZ[3*i], p.XYZ[3*i+1], p.XYZ[3*i+2]} }

// weight returns the weight of the i-th point.
func (p Points) weight(i int) float64 {
	if p.Weight == nil {
		return 1
	}
	return p.Weight[i]
}

// upTo returns the first n points.
func (p Points) upTo(n int) Points {
	out := Points{XYZ: p.XYZ[:3*n]}
	if p.Weight != nil {
		out.Weight = p.Weight[:n]
	}
	return out
}

// where returns the points for which keep holds, in their order.
func (p Points) where(keep func(i int) bool) Points {
	var out Points
	for i := range p.Len() {
		if keep(i) {
			out.XYZ = append(out.XYZ, p.XYZ[3*i:3*i+3]...)
			if p.Weight != nil {
				out.Weight = append(out.Weight, p.Weight[i])
			}
		}
	}
	return out
}

// vector is a place or a direction.
type vector = [3]float64

func minus(a, b vector) vector { return vector{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func plus(a vector, k float64, b vector) vector {
	return vector{a[0] + float64(k*b[0]), a[1] + float64(k*b[1]), a[2] + float64(k*b[2])}
}

func dot(a, b vector) float64 {
	return float64(a[0]*b[0]) + float64(a[1]*b[1]) + float64(a[2]*b[2])
}

func norm(a vector) float64 { return math.Sqrt(dot(a, a)) }

// unit returns the direction of a; zero for the zero vector.
func unit(a vector) vector {
	n := norm(a)
	if n == 0 {
		return vector{}
	}
	return vector{a[0] / n, a[1] / n, a[2] / n}
}
