package quantity

import (
	"cmp"
	"math"
)

// Length is a signed length, kept as the decimal number and the unit in which
// it was written: nm, µm, mm, cm, m, km or in (inch, exactly 25.4 mm). The
// zero value is not stated.
type Length struct {
	number number
	unit   lengthUnit
}

// lengthUnit is a unit of length; 0 is none.
type lengthUnit unit

const (
	nanometre lengthUnit = iota + 1
	micrometre
	millimetre
	centimetre
	metre
	kilometre
	inch
)

// ParseLength reads a length such as "29.9990 mm", "2.6m" or "5.7e-2 mm". The
// error is an [*Error].
func ParseLength(text string) (Length, error) {
	c := cursor{text: text}
	l, err := c.length()
	if err == nil {
		err = c.end("the length")
	}
	if err != nil {
		return Length{}, err
	}
	return l, nil
}

// Micrometres makes a length from a figure in µm. A figure that is not finite
// or not below 1e100 in size gives the Length that is not stated; sizes under
// 1e-100 count as zero.
func Micrometres(um float64) Length { return lengthOf(um, micrometre) }

// Millimetres makes a length from a figure in mm, as [Micrometres] does.
func Millimetres(mm float64) Length { return lengthOf(mm, millimetre) }

// Metres makes a length from a figure in m, as [Micrometres] does.
func Metres(m float64) Length { return lengthOf(m, metre) }

func lengthOf(x float64, u lengthUnit) Length {
	n, ok := numberFromFloat(x)
	if !ok {
		return Length{}
	}
	return Length{n, u}
}

// IsZero tells whether the length is not stated. A stated "0 mm" is not zero
// in this sense.
func (l Length) IsZero() bool { return l.unit == 0 }

// Micrometres gives the length in µm: the float64 nearest to the number as
// written; NaN when not stated.
func (l Length) Micrometres() float64 { return l.scaled(0) }

// Millimetres gives the length in mm: the float64 nearest to the number as
// written; NaN when not stated.
func (l Length) Millimetres() float64 { return l.scaled(-3) }

// Metres gives the length in m: the float64 nearest to the number as written;
// NaN when not stated.
func (l Length) Metres() float64 { return l.scaled(-6) }

// Compare gives -1, 0 or +1 as l is shorter than, as long as or longer than
// m, whatever their units, after rounding both to float64. A length that is
// not stated comes before all others.
func (l Length) Compare(m Length) int { return cmp.Compare(l.Micrometres(), m.Micrometres()) }

// String gives the canonical form, "29.999 mm"; empty when not stated.
func (l Length) String() string {
	if l.unit == 0 {
		return ""
	}
	return string(l.appendTo(make([]byte, 0, 32)))
}

func (l Length) appendTo(b []byte) []byte {
	return append(append(l.number.appendTo(b), ' '), l.unit.symbol()...)
}

// exact gives the length in µm; ok is false when inches make it too long a
// number.
func (l Length) exact() (um number, ok bool) {
	if l.unit == inch {
		return l.number.times(number{coef: 254, exp: 2})
	}
	return l.number.shift(l.unit.micrometreExponent()), true
}

// scaled gives the length in units of 10^-shift µm.
func (l Length) scaled(shift int) float64 {
	if l.unit == 0 {
		return math.NaN()
	}
	if um, ok := l.exact(); ok {
		return um.shift(shift).float()
	}
	f, _ := l.rat(shift).Float64()
	return f
}

func (l Length) base() float64  { return l.Micrometres() }
func (l Length) negative() bool { return l.number.neg }
