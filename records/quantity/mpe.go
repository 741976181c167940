package quantity

import (
	"errors"
	"math"
)

// MPE is a maximum permissible error in one of the forms of ISO 10360-1:2000
// and ISO 10360-2:2009:
//
//	30 µm                            a constant
//	25 µm + 50 µm/m                  a constant and a part that grows with the length L
//	50 µm/m                          the growing part alone
//	(25 + L/20) µm                   the same as A + L/K, L in mm, result in µm
//	min(25 µm + 50 µm/m, 120 µm)     either of those with an upper bound
//
// A leading ± and a trailing ·L after the growing part are read and not
// written. The zero value is not stated.
type MPE struct {
	constant Length // not stated when there is none
	slope    number // per length, in units of over/per
	over     lengthUnit
	per      lengthUnit
	divisor  number // K of A + L/K
	bound    Length // not stated when there is none
}

// ErrLengthNeeded is returned by [MPE.At] for an error limit that grows with
// the length when no length of zero or more is given.
var ErrLengthNeeded = errors.New("no length of zero or more, expected one because the maximum permissible error grows with it")

// ErrNoMPE is returned by [MPE.At] for an MPE that is not stated.
var ErrNoMPE = errors.New("no maximum permissible error is stated")

// IsZero tells whether the MPE is not stated.
func (m MPE) IsZero() bool { return m == MPE{} }

// GrowsWithLength tells whether the MPE depends on a length.
func (m MPE) GrowsWithLength() bool { return m.slope.coef != 0 || m.divisor.coef != 0 }

// Constant gives the part that does not depend on the length; 0 µm when there
// is none.
func (m MPE) Constant() Length {
	if m.constant.IsZero() && !m.IsZero() {
		return Length{unit: micrometre}
	}
	return m.constant
}

// Bound gives the upper bound; ok is false when there is none.
func (m MPE) Bound() (bound Length, ok bool) { return m.bound, !m.bound.IsZero() }

// SlopePerMetre gives the growth in µm per metre of length, 0 for a constant.
func (m MPE) SlopePerMetre() float64 {
	if m.divisor.coef != 0 {
		return number{coef: 1, exp: 3}.over(m.divisor)
	}
	return m.factor().shift(6).float()
}

// At gives the MPE in µm for a length, the straight one or the path,
// whichever the limit counts. It is above zero, or zero where a growing part
// stands alone and the length is zero. The sum is formed in decimal from the
// numbers as written and rounded once, so that an error equal to the limit
// on paper equals it here. The length of an MPE that does not grow is not
// looked at. The errors are [ErrLengthNeeded] and [ErrNoMPE].
func (m MPE) At(length Length) (um float64, err error) {
	switch {
	case m.IsZero():
		return 0, ErrNoMPE
	case !m.GrowsWithLength():
		return m.constant.Micrometres(), nil
	case length.IsZero() || length.number.neg:
		return 0, ErrLengthNeeded
	}
	um, ok := m.quick(length)
	if !ok {
		um = m.slow(length)
	}
	if !m.bound.IsZero() {
		um = math.Min(um, m.bound.Micrometres())
	}
	return um, nil
}

// factor gives the slope as µm per µm.
func (m MPE) factor() number {
	return m.slope.shift(m.over.micrometreExponent() - m.per.micrometreExponent())
}

// quick works in 64 bits; ok is false when they do not suffice.
func (m MPE) quick(length Length) (um float64, ok bool) {
	lengthUM, okLength := length.exact()
	constant, okConstant := m.constant.exact()
	if !okLength || !okConstant {
		return 0, false
	}
	if m.divisor.coef == 0 {
		growth, okGrowth := m.factor().times(lengthUM)
		sum, okSum := growth.plus(constant)
		return sum.float(), okGrowth && okSum
	}
	// A + L/K as (A·K + L)/K: one division, so one rounding.
	scaled, okScaled := constant.times(m.divisor)
	sum, okSum := scaled.plus(lengthUM.shift(-3))
	return sum.over(m.divisor), okScaled && okSum
}

func (m MPE) slow(length Length) float64 {
	growth := length.rat(0)
	if m.divisor.coef == 0 {
		growth.Mul(growth, m.factor().rat())
	} else {
		growth.Quo(growth, m.divisor.shift(3).rat())
	}
	if !m.constant.IsZero() {
		growth.Add(growth, m.constant.rat(0))
	}
	um, _ := growth.Float64()
	return um
}

// String gives the canonical form; empty when not stated.
func (m MPE) String() string {
	b := make([]byte, 0, 48)
	if !m.bound.IsZero() {
		b = append(b, "min("...)
	}
	switch {
	case m.divisor.coef != 0:
		b = append(b, '(')
		if !m.constant.IsZero() {
			b = append(m.constant.number.appendTo(b), " + "...)
		}
		b = append(m.divisor.appendTo(append(b, "L/"...)), ") µm"...)
	case m.slope.coef != 0:
		if !m.constant.IsZero() {
			b = append(m.constant.appendTo(b), " + "...)
		}
		b = append(append(m.slope.appendTo(b), ' '), m.over.symbol()...)
		b = append(append(b, '/'), m.per.symbol()...)
	case !m.constant.IsZero():
		b = m.constant.appendTo(b)
	}
	if !m.bound.IsZero() {
		b = append(m.bound.appendTo(append(b, ", "...)), ')')
	}
	return string(b)
}
