package repeatability

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// term is a multiple of a mean square. Every variance component is a sum of such terms.
type term struct {
	times float64
	of    square
}

// scaled multiplies all terms.
func scaled(by float64, terms []term) []term {
	out := make([]term, len(terms))
	for i, t := range terms {
		out[i] = term{float64(by * t.times), t.of}
	}
	return out
}

// gathered adds up the terms of the same mean square.
func gathered(lists ...[]term) []term {
	var out []term
	for _, list := range lists {
		for _, t := range list {
			found := false
			for i := range out {
				if out[i].of.source == t.of.source {
					out[i].times += t.times
					found = true
					break
				}
			}
			if !found {
				out = append(out, t)
			}
		}
	}
	return out
}

func estimate(terms []term) float64 {
	sum := 0.0
	for _, t := range terms {
		sum += float64(t.times * t.of.mean())
	}
	return sum
}

// largeSample returns the modified large-sample confidence limits of a sum of terms, each limit one-sided at level alpha.
// They may be negative. With a single term they are the exact ones, from χ².
//
// Sources: Graybill and Wang (1980) for positive terms, Ting et al. (1990) for differences (from memory). A square root of a
// negative number, which the cross terms can bring about, counts as 0.
func largeSample(terms []term, alpha float64) (lower, upper float64) {
	var plus, minus []term // with positive multiples both
	for _, t := range terms {
		switch {
		case t.times > 0:
			plus = append(plus, t)
		case t.times < 0:
			minus = append(minus, term{-t.times, t.of})
		}
	}
	centre := estimate(terms)
	// In units of the largest term, whose square may be beyond the range of numbers.
	scale := 0.0
	for _, t := range terms {
		scale = max(scale, math.Abs(t.value()))
	}
	if scale == 0 {
		return 0, 0
	}
	for _, side := range [][]term{plus, minus} {
		for i := range side {
			side[i].times /= scale
		}
	}
	below, above := 0.0, 0.0
	for _, q := range plus {
		x := q.value()
		below += squared(shrink(q.of.df, alpha) * x)
		above += squared(grow(q.of.df, alpha) * x)
	}
	for _, q := range minus {
		x := q.value()
		below += squared(grow(q.of.df, alpha) * x)
		above += squared(shrink(q.of.df, alpha) * x)
	}
	for _, q := range plus {
		for _, r := range minus {
			product := q.value() * r.value()
			below += product * crossLower(q.of.df, r.of.df, alpha)
			above += product * crossUpper(q.of.df, r.of.df, alpha)
		}
	}
	below += sameSign(plus, alpha, len(minus) > 0)
	above += sameSign(minus, alpha, len(plus) > 0)
	return centre - scale*math.Sqrt(max(0, below)), centre + scale*math.Sqrt(max(0, above))
}

func (t term) value() float64 { return t.times * t.of.mean() }

func squared(x float64) float64 { return x * x }

// shrink is G = 1 − n/χ²(1−α; n), the relative reach of the exact limit below a mean square, and grow is
// H = n/χ²(α; n) − 1, the one above it.
func shrink(df int, alpha float64) float64 {
	return 1 - float64(df)/distuv.ChiSquared{K: float64(df)}.Quantile(1-alpha)
}

func grow(df int, alpha float64) float64 {
	return float64(df)/distuv.ChiSquared{K: float64(df)}.Quantile(alpha) - 1
}

// crossLower makes the lower limit of the difference of two mean squares 0 exactly where the F test at level alpha says so.
func crossLower(q, r int, alpha float64) float64 {
	f := distuv.F{D1: float64(q), D2: float64(r)}.Quantile(1 - alpha)
	return (squared(f-1) - squared(shrink(q, alpha)*f) - squared(grow(r, alpha))) / f
}

// crossUpper does the same for the upper limit.
func crossUpper(q, r int, alpha float64) float64 {
	f := distuv.F{D1: float64(q), D2: float64(r)}.Quantile(alpha)
	return (squared(1-f) - squared(grow(q, alpha)*f) - squared(shrink(r, alpha))) / f
}

// sameSign is the correction for several terms on one side of a difference.
func sameSign(terms []term, alpha float64, difference bool) float64 {
	if !difference || len(terms) < 2 {
		return 0
	}
	sum := 0.0
	for i, a := range terms {
		for _, b := range terms[i+1:] {
			n, m := float64(a.of.df), float64(b.of.df)
			both := squared(shrink(a.of.df+b.of.df, alpha)*(n+m)) / (n * m)
			sum += (both - squared(shrink(a.of.df, alpha))*n/m - squared(shrink(b.of.df, alpha))*m/n) * a.value() * b.value()
		}
	}
	return sum / float64(len(terms)-1)
}
