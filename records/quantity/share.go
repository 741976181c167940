package quantity

import "math"

// Share is a part of a whole, from none of it to all of it, kept as the number
// and the unit in which it was written: "46 %" or "3 ‰". The zero value is not
// stated.
type Share struct {
	number number
	unit   shareUnit
}

// shareUnit is a unit of shares; 0 is none.
type shareUnit unit

const (
	percent shareUnit = iota + 1
	perMille
)

// ParseShare reads a share of one number and % or ‰, from zero to the whole:
// "46 %", "0.3 %", "3 ‰". The error is an [*Error].
func ParseShare(text string) (Share, error) {
	c := cursor{text: text}
	c.blank()
	start := c.pos
	n, u, err := c.amount(shareUnits())
	s := Share{n, shareUnit(u)}
	switch {
	case err != nil:
	case n.neg:
		err = c.negative(start, "a share")
	case s.Fraction() > 1:
		err = c.fault(start, c.pos, quoted(c.text[start:c.pos])+", which is more than the whole", "a share of at most 100 %", "look at the decimal point and the unit")
	default:
		err = c.end("the share")
	}
	if err != nil {
		return Share{}, err
	}
	return s, nil
}

// Fraction makes a share from a fraction from 0 to 1, written in percent. One
// outside, and one that is no number, gives the Share that is not stated.
func Fraction(fraction float64) Share {
	if !(fraction >= 0 && fraction <= 1) {
		return Share{}
	}
	n, _ := numberFromFloat(fraction)
	return Share{n.shift(2), percent}
}

// IsZero tells whether the share is not stated. A stated "0 %" is not zero in
// this sense.
func (s Share) IsZero() bool { return s.unit == 0 }

// Fraction gives the share as a fraction of 1: the float64 nearest to the
// number as written; NaN when not stated.
func (s Share) Fraction() float64 {
	switch s.unit {
	case percent:
		return s.number.shift(-2).float()
	case perMille:
		return s.number.shift(-3).float()
	}
	return math.NaN()
}

// String gives the canonical form, "46 %" with the blank of SI Brochure 5.4.7;
// empty when not stated.
func (s Share) String() string {
	switch s.unit {
	case percent:
		return s.number.String() + " %"
	case perMille:
		return s.number.String() + " ‰"
	}
	return ""
}

func shareUnits() unitSet {
	return unitSet{"a unit of shares", "% or ‰", "%", findShareUnit, shareHint}
}

func findShareUnit(spelling string) unit {
	switch spelling {
	case "%":
		return unit(percent)
	case "‰":
		return unit(perMille)
	}
	return 0
}

func shareHint(lower string) string {
	switch lower {
	case "percent", "pct":
		return "%"
	case "permille", "permil", "promille":
		return "‰"
	}
	return ""
}
