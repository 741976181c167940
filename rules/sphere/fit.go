package sphere

import (
	"errors"
	"math"
)

// ErrUndetermined says that the points determine no sphere: there are fewer than the fit has unknowns, or they lie on a
// circle, a line or a cap too small to curve.
var ErrUndetermined = errors.New("the points determine no sphere")

// Fit is a sphere fitted to points by geometric least squares.
type Fit struct {
	CenterMM vector
	RadiusMM float64
	Fixed    bool // the radius was given, not fitted

	Points int     // number of points fitted
	SDMM   float64 // s = √(Σwf²/(Σw − the weight the unknowns use up)); with unit weights √(Σf²/(n − p))

	// Cofactors Q: the covariance of centre and radius is s²Q. Rows and columns are x, y, z and radius; the last are 0 for a
	// fixed radius. For unit weights Q = (JᵀJ)⁻¹.
	Cofactors matrix
}

// FitOptions say how to fit.
type FitOptions struct {
	// RadiusMM, if above 0, is held fixed. That steadies the centre, and turns an error of the radius into a shift of the
	// centre along the axis of the part that was seen.
	RadiusMM float64

	Workers int

	steps int // most steps of the iteration; 0: [largestSteps]. A rough fit on the way to a better one needs few.
}

// FitPoints fits a sphere to all points. The error is [ErrUndetermined].
func FitPoints(p Points, o FitOptions) (Fit, error) {
	c, r, ok := algebraic(p)
	if !ok {
		return Fit{}, ErrUndetermined
	}
	if o.RadiusMM > 0 {
		r = o.RadiusMM
	}
	return fitFrom(p, nil, c, r, o)
}

// largestSteps bounds the iteration; from an algebraic start some five steps reach the last digit.
const largestSteps = 100

// fitFrom fits a sphere by Gauss and Newton's method from a start, to the points that are in; nil means all are. A step
// that would make the sum of squares larger is halved.
func fitFrom(p Points, in []bool, c vector, r float64, o FitOptions) (Fit, error) {
	fixed, unknowns := o.RadiusMM > 0, 4
	if fixed {
		unknowns = 3
	}
	sums := sumsOver(p, in, c, r, 1, o.Workers)
	if sums.points < unknowns {
		return Fit{}, ErrUndetermined
	}
	steps := o.steps
	if steps == 0 {
		steps = largestSteps
	}
	for step := range steps {
		m := sums.normal(fixed)
		q, ok := m.inverse()
		if !ok {
			return Fit{}, ErrUndetermined
		}
		b := sums.jf
		if fixed {
			b[3] = 0
		}
		d := q.times(b)
		moved := math.Abs(d[0]) + math.Abs(d[1]) + math.Abs(d[2]) + math.Abs(d[3])
		if math.IsNaN(moved) {
			return Fit{}, ErrUndetermined
		}
		size := math.Abs(c[0]) + math.Abs(c[1]) + math.Abs(c[2]) + r
		last := moved <= 4e-16*size
		for range 40 {
			tried, radius := vector{c[0] + d[0], c[1] + d[1], c[2] + d[2]}, r+d[3]
			next := sumsOver(p, in, tried, radius, 1, o.Workers)
			// Near the minimum rounding decides; a step that small is taken as it is.
			if radius > 0 && (next.ff <= sums.ff || moved <= 1e-9*r) {
				c, r, sums = tried, radius, next
				break
			}
			for i := range d {
				d[i] /= 2
			}
		}
		if last || step > 2 && moved <= 1e-14*size {
			break
		}
	}
	return finish(p, in, c, r, &sums, unknowns, o)
}

// finish states the scatter and the cofactors of a converged fit.
func finish(p Points, in []bool, c vector, r float64, sums *normalSums, unknowns int, o FitOptions) (Fit, error) {
	fixed := o.RadiusMM > 0
	m := sums.normal(fixed)
	q, ok := m.inverse()
	if !ok || r <= 0 || math.IsInf(r, 0) {
		return Fit{}, ErrUndetermined
	}
	f := Fit{CenterMM: c, RadiusMM: r, Fixed: fixed, Points: sums.points, Cofactors: q}
	free := float64(sums.points - unknowns)
	if p.Weight != nil {
		squares := sumsOver(p, in, c, r, 2, o.Workers)
		b := squares.normal(fixed)
		if fixed {
			b[3][3] = 0
		}
		qb := product(&q, &b)
		free = sums.w
		for i := range 4 {
			free -= qb[i][i]
		}
		f.Cofactors = product(&qb, &q)
	}
	if fixed {
		f.Cofactors[3][3] = 0
	}
	if free > 0 {
		f.SDMM = math.Sqrt(sums.ff / free)
	}
	return f, nil
}

// within marks the points within gate of the sphere.
func (f *Fit) within(p Points, gate float64, into []bool, workers int) {
	inChunks(p.Len(), workers, func(_, from, to int) {
		for i := from; i < to; i++ {
			into[i] = math.Abs(f.DeviationMM(p.at(i))) <= gate
		}
	})
}

// DeviationMM returns the signed distance of a point from the sphere, positive outside.
func (f *Fit) DeviationMM(p vector) float64 { return norm(minus(p, f.CenterMM)) - f.RadiusMM }

// algebraic returns the sphere for which Σ w(|p|² − 2c·p − k)² is least, a linear problem whose solution is near the
// geometric one; with the middle of the points as origin.
func algebraic(p Points) (c vector, r float64, ok bool) {
	n := p.Len()
	if n < 3 {
		return vector{}, 0, false
	}
	var middle vector
	for i := range n {
		middle = plus(middle, 1/float64(n), p.at(i))
	}
	size := 0.0
	for i := range n {
		size = math.Max(size, norm(minus(p.at(i), middle)))
	}
	if !(size > 0) || math.IsInf(size, 0) {
		return vector{}, 0, false
	}
	var s normalSums
	for i := range n {
		v := minus(p.at(i), middle)
		x, y, z := v[0]/size, v[1]/size, v[2]/size
		s.take(x, y, z, float64(x*x)+float64(y*y)+float64(z*z), p.weight(i))
	}
	m := s.normal(false)
	q, ok := m.inverse()
	if !ok {
		return vector{}, 0, false
	}
	k := q.times(s.jf) // |p|² = 2c·p + (r² − |c|²)
	c = vector{k[0] / 2, k[1] / 2, k[2] / 2}
	square := k[3] + dot(c, c)
	if !(square > 0) {
		return vector{}, 0, false
	}
	return plus(middle, size, c), size * math.Sqrt(square), true
}
