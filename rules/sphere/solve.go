package sphere

import "math"

// matrix is a symmetric 4×4 matrix over (x, y, z of the centre, radius).
type matrix [4][4]float64

// normal returns Σ w·j·jᵀ; without the radius its last row and column stand for nothing.
func (s *normalSums) normal(fixed bool) matrix {
	var m matrix
	for i := range m {
		for k := range m {
			m[i][k] = s.at(i, k)
		}
	}
	if fixed {
		for i := range m {
			m[i][3], m[3][i] = 0, 0
		}
		m[3][3] = 1
	}
	return m
}

// inverse returns the inverse of a positive definite matrix by Cholesky's method, or false when its rank is too low for
// the points to determine a sphere: they then lie on a circle or a line. The radius and the centre along the axis of a
// small cap are hard to tell apart; a pivot below 1e-11 of the diagonal means a cap of less than one degree.
func (m *matrix) inverse() (matrix, bool) {
	var l matrix
	for i := range 4 {
		for k := range i + 1 {
			sum := m[i][k]
			for j := range k {
				sum -= float64(l[i][j] * l[k][j])
			}
			if i == k {
				if !(sum > 1e-11*m[i][i]) {
					return matrix{}, false
				}
				l[i][i] = math.Sqrt(sum)
			} else {
				l[i][k] = sum / l[k][k]
			}
		}
	}
	var low matrix // the inverse of l
	for i := range 4 {
		low[i][i] = 1 / l[i][i]
		for k := range i {
			sum := 0.0
			for j := k; j < i; j++ {
				sum -= float64(l[i][j] * low[j][k])
			}
			low[i][k] = sum / l[i][i]
		}
	}
	var out matrix
	for i := range 4 {
		for k := range 4 {
			for j := max(i, k); j < 4; j++ {
				out[i][k] += float64(low[j][i] * low[j][k])
			}
		}
	}
	return out, true
}

// times returns m·v.
func (m *matrix) times(v [4]float64) (out [4]float64) {
	for i := range out {
		for k := range v {
			out[i] += float64(m[i][k] * v[k])
		}
	}
	return out
}

// product returns a·b.
func product(a, b *matrix) (out matrix) {
	for i := range out {
		for k := range out {
			for j := range out {
				out[i][k] += float64(a[i][j] * b[j][k])
			}
		}
	}
	return out
}
