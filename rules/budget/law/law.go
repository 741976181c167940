package law

import (
	"fmt"
	"math"

	"plumbrule/rules/budget/random"
)

// Kind names a distribution.
type Kind string

// The distributions, by what files and tables call them.
const (
	Exact                  Kind = "exact"                   // a value taken as certain
	Normal                 Kind = "normal"                  // mean and standard deviation known
	Student                Kind = "t"                       // scaled and shifted t: a mean of readings, a certificate with ν
	Rectangular            Kind = "rectangular"             // anywhere within limits
	Triangular             Kind = "triangular"              // sum or difference of two equal rectangular ones
	Trapezoidal            Kind = "trapezoidal"             // sum of two rectangular ones; Shape is top over base, β
	CurvilinearTrapezoidal Kind = "curvilinear trapezoidal" // limits known to within ±Shape
	Arcsine                Kind = "arcsine"                 // a sine of that amplitude, at an unknown phase
	Exponential            Kind = "exponential"             // not negative, only the mean known
)

// Kinds lists the distributions in the order in which they are documented.
func Kinds() []Kind {
	return []Kind{Exact, Normal, Student, Rectangular, Triangular, Trapezoidal, CurvilinearTrapezoidal, Arcsine, Exponential}
}

// Law is a distribution. It is a value; the zero Law has no kind and is of no use.
type Law struct {
	Kind   Kind
	Centre float64 // mean, or what lies amid the limits; of an exponential one, its mean
	Width  float64 // standard deviation (normal), scale s (t) or half width a; unused by exact and exponential ones
	Shape  float64 // degrees of freedom ν of t, β of a trapezoid, d by which limits may be off
}

// Standard returns the standard deviation of the distribution as JCGM 101:2008 table 1 gives it: s·√(ν/(ν − 2)) for t, which
// has none, +Inf, with ν up to 2; that is not the standard uncertainty s/√n of the GUM.
func (l Law) Standard() float64 {
	switch l.Kind {
	case Exact:
		return 0
	case Normal:
		return l.Width
	case Student:
		if l.Shape <= 2 {
			return math.Inf(1)
		}
		return l.Width * math.Sqrt(l.Shape/(l.Shape-2))
	case Rectangular:
		return l.Width / math.Sqrt(3)
	case Triangular:
		return l.Width / math.Sqrt(6)
	case Trapezoidal:
		return l.Width * math.Sqrt((1+float64(l.Shape*l.Shape))/6)
	case CurvilinearTrapezoidal:
		return math.Sqrt(float64(l.Width*l.Width)/3 + float64(l.Shape*l.Shape)/9)
	case Arcsine:
		return l.Width / math.Sqrt2
	case Exponential:
		return l.Centre
	}
	return math.NaN()
}

// HasMean reports whether the distribution has a mean: t with one degree of freedom has none.
func (l Law) HasMean() bool { return l.Kind != Student || l.Shape > 1 }

// Draw fills a block with draws, by the recipes of JCGM 101:2008 6.4.2 to 6.4.10 or others of the same distribution.
func (l Law) Draw(s *random.Sampler, into []float64) {
	switch l.Kind {
	case Exact:
		for i := range into {
			into[i] = l.Centre
		}
	case Normal:
		s.Normal(into)
		scale(into, l.Centre, l.Width)
	case Student:
		s.Student(into, l.Shape)
		scale(into, l.Centre, l.Width)
	case Rectangular:
		s.Uniform(into)
		scale(into, l.Centre-l.Width, 2*l.Width)
	case Triangular:
		l.trapezoid(s, into, 0)
	case Trapezoidal:
		l.trapezoid(s, into, l.Shape)
	case CurvilinearTrapezoidal:
		l.curvilinear(s, into)
	case Arcsine:
		s.Arcsine(into)
		scale(into, l.Centre, l.Width)
	case Exponential:
		s.Uniform(into)
		for i, u := range into {
			into[i] = -l.Centre * math.Log(u)
		}
	}
}

func scale(v []float64, from, width float64) {
	for i, x := range v {
		v[i] = from + float64(width*x)
	}
}

// trapezoid adds two rectangular draws whose widths are as (1 + β) to (1 − β): JCGM 101:2008 6.4.4.4.
func (l Law) trapezoid(s *random.Sampler, into []float64, beta float64) {
	s.Uniform(into)
	var second [256]float64
	from, wide, narrow := l.Centre-l.Width, l.Width*(1+beta), l.Width*(1-beta)
	for len(into) > 0 {
		n := min(len(into), len(second))
		s.Uniform(second[:n])
		for i := range n {
			into[i] = from + float64(wide*into[i]) + float64(narrow*second[i])
		}
		into = into[n:]
	}
}

// curvilinear draws the half width first, then within it: JCGM 101:2008 6.4.3.4.
func (l Law) curvilinear(s *random.Sampler, into []float64) {
	s.Uniform(into)
	var second [256]float64
	for len(into) > 0 {
		n := min(len(into), len(second))
		s.Uniform(second[:n])
		for i := range n {
			half := l.Width + float64(l.Shape*(2*into[i]-1))
			into[i] = l.Centre + float64(half*(2*second[i]-1))
		}
		into = into[n:]
	}
}

// String names the distribution with its shape.
func (l Law) String() string {
	switch l.Kind {
	case Student:
		return fmt.Sprintf("t, ν = %.4g", l.Shape)
	case Trapezoidal:
		return fmt.Sprintf("trapezoidal, β = %.3g", l.Shape)
	default:
		return string(l.Kind)
	}
}
