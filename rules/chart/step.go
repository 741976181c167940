package chart

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Step is the change of level at a restart: the mean of all points of the
// segment less the mean of all points of the segment before. Where points are
// means of samples, each counts as one value, whatever its size, so that the
// scatter from sample to sample is in the interval.
type Step struct {
	Difference float64
	// Interval is nil if either segment has a single point, or if neither shows
	// a spread.
	Interval *Interval
}

// Interval is the 95 % confidence interval of a difference of two means whose
// variances may differ, for independent normal values (Welch 1947, Biometrika
// 34, 28-35). A drift within a segment makes it too wide, values that follow
// their neighbours make it too narrow.
type Interval struct {
	Lower, Upper float64
	// Freedom is the number of degrees of freedom (Welch and Satterthwaite).
	Freedom float64
}

// moments gathers mean and scatter of values one by one (Welford 1962,
// Technometrics 4, 419-420), relative to the first of them.
type moments struct {
	count   int
	first   float64
	scale   float64 // power of two, so that squares neither overflow nor vanish; 0 until values differ
	mean    float64 // in units of scale from first
	squares float64 // about the mean, in units of scale²
}

func (m *moments) add(v float64) {
	m.count++
	if m.count == 1 {
		m.first = v
		return
	}
	d := v - m.first
	if m.scale == 0 {
		if d == 0 {
			return
		}
		_, exponent := math.Frexp(d)
		m.scale = math.Ldexp(1, exponent)
	}
	x := d / m.scale
	off := x - m.mean
	m.mean += off / float64(m.count)
	m.squares += float64(off * (x - m.mean))
}

// error2 returns the squared standard error of the mean over scale².
func (m *moments) error2() float64 {
	return m.squares / float64(m.count-1) / float64(m.count)
}

// step compares two segments; nil if the difference cannot be told in a number.
func step(before, after moments) *Step {
	s := &Step{Difference: (after.first - before.first) + (float64(after.scale*after.mean) - float64(before.scale*before.mean))}
	if !finite(s.Difference) {
		return nil
	}
	unit := max(before.scale, after.scale)
	if before.count < 2 || after.count < 2 || unit == 0 {
		return s
	}
	share := func(m moments) float64 { r := m.scale / unit; return m.error2() * r * r }
	a, b := share(before), share(after)
	freedom := (a + b) * (a + b) / (a*a/float64(before.count-1) + b*b/float64(after.count-1))
	half := unit * math.Sqrt(a+b) * quantile(0.975, freedom)
	if !finite(freedom, half, s.Difference-half, s.Difference+half) {
		return s
	}
	s.Interval = &Interval{Lower: s.Difference - half, Upper: s.Difference + half, Freedom: freedom}
	return s
}

// manyFreedom is where Student's t of the library loses digits and the normal
// distribution has taken over.
const manyFreedom = 1e6

// quantile returns the quantile of Student's t.
func quantile(p, freedom float64) float64 {
	if freedom > manyFreedom {
		return distuv.UnitNormal.Quantile(p)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}.Quantile(p)
}
