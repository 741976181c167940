package quantity

import "math"

// Uncertainty is a stated uncertainty of a length, a temperature difference
// or an expansion coefficient, in the form in which it was stated:
//
//	0.6 µm (k = 2)             expanded, with its coverage factor
//	0.6 µm (k = 2.1, ν = 12)   and its effective degrees of freedom
//	±0.5 µm (rectangular)      limits of a distribution; also triangular, u-shaped
//	u = 0.3 µm                 standard
//
// Degrees of freedom may be stated with each. The zero value is not stated.
type Uncertainty[Q uncertain] struct {
	amount  Q
	form    form
	factor  number // k of an expanded uncertainty
	freedom number // 0 when not stated
}

// uncertain lists the quantities that carry an uncertainty of their own.
type uncertain interface {
	Length | TemperatureDifference | Expansion
	base() float64 // in µm, K or 1/K
	negative() bool
	appendTo(b []byte) []byte
}

// The uncertainties that records state.
type (
	// LengthUncertainty has its figures in µm.
	LengthUncertainty = Uncertainty[Length]
	// TemperatureUncertainty has its figures in K.
	TemperatureUncertainty = Uncertainty[TemperatureDifference]
	// ExpansionUncertainty has its figures in 1/K.
	ExpansionUncertainty = Uncertainty[Expansion]
)

// form is the way an uncertainty is stated.
type form uint8

const (
	notStated form = iota
	standard
	expanded
	rectangular
	triangular
	uShaped
)

func (f form) String() string {
	switch f {
	case rectangular:
		return "rectangular"
	case triangular:
		return "triangular"
	case uShaped:
		return "u-shaped"
	case notStated, standard, expanded:
	}
	return ""
}

// IsZero tells whether the uncertainty is not stated. A stated "u = 0 µm" is
// not zero in this sense.
func (u Uncertainty[Q]) IsZero() bool { return u.form == notStated }

// Standard gives the standard uncertainty in the base unit (µm, K or 1/K):
// the expanded one over k, or the half-width over √3 (rectangular), √6
// (triangular) or √2 (u-shaped); JCGM 100:2008 4.3.3, 4.3.7, 4.3.9 and, for
// the arcsine distribution, JCGM 101:2008 6.4.6. NaN when not stated.
func (u Uncertainty[Q]) Standard() float64 {
	base := u.amount.base()
	switch u.form {
	case standard:
		return base
	case expanded:
		return base / u.factor.float()
	case rectangular:
		return base / math.Sqrt(3)
	case triangular:
		return base / math.Sqrt(6)
	case uShaped:
		return base / math.Sqrt2
	case notStated:
	}
	return math.NaN()
}

// Expanded gives the expanded uncertainty in the base unit and its coverage
// factor; ok is false when the uncertainty was not stated as an expanded one.
func (u Uncertainty[Q]) Expanded() (value, k float64, ok bool) {
	if u.form != expanded {
		return 0, 0, false
	}
	return u.amount.base(), u.factor.float(), true
}

// DegreesOfFreedom gives the effective degrees of freedom as stated, above
// zero; +Inf when none are, as JCGM 100:2008 G.4.3 takes limits and
// certificates that say nothing.
func (u Uncertainty[Q]) DegreesOfFreedom() float64 {
	if u.freedom.coef == 0 {
		return math.Inf(1)
	}
	return u.freedom.float()
}

// String gives the canonical form; empty when not stated.
func (u Uncertainty[Q]) String() string {
	b := make([]byte, 0, 48)
	switch u.form {
	case notStated:
		return ""
	case standard:
		b = u.amount.appendTo(append(b, "u = "...))
	case expanded:
		b = append(u.amount.appendTo(b), " (k = "...)
		b = u.factor.appendTo(b)
	case rectangular, triangular, uShaped:
		b = u.amount.appendTo(append(b, "±"...))
		b = append(append(b, " ("...), u.form.String()...)
	}
	separator := ", "
	if u.form == standard {
		separator = " ("
	}
	if u.freedom.coef != 0 {
		b = append(append(b, separator...), "ν = "...)
		b = u.freedom.appendTo(b)
	}
	if u.form != standard || u.freedom.coef != 0 {
		b = append(b, ')')
	}
	return string(b)
}
