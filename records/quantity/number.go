package quantity

import (
	"math"
	"math/big"
	"math/bits"
	"strconv"
)

// maxMagnitude bounds the decimal exponent of every number: sizes from
// 1e-100 up to, not including, 1e100. No quantity of a record needs more, and
// no conversion can then leave the range of float64.
const maxMagnitude = 100

// number is a decimal number as it was written: coef·10^exp, negative if neg.
// The coefficient has no trailing zeros, and zero is the zero value, so that
// equal numbers are equal by ==.
type number struct {
	coef uint64
	exp  int16
	neg  bool
}

// newNumber moves trailing zeros of the coefficient into the exponent.
func newNumber(coef uint64, exp int, neg bool) number {
	if coef == 0 {
		return number{}
	}
	for coef%10 == 0 {
		coef /= 10
		exp++
	}
	return number{coef: coef, exp: int16(exp), neg: neg}
}

// numberFromFloat gives the shortest decimal number that reads back as x.
// Sizes under 1e-100 become zero; ok is false for NaN and for sizes of 1e100
// and more.
func numberFromFloat(x float64) (n number, ok bool) {
	if math.IsNaN(x) || math.Abs(x) >= 1e100 {
		return number{}, false
	}
	if math.Abs(x) < 1e-100 {
		return number{}, true
	}
	var buffer [32]byte
	c := cursor{text: string(strconv.AppendFloat(buffer[:0], x, 'e', -1, 64))}
	n, err := c.number()
	return n, err == nil
}

func digitsOf(coef uint64) int {
	n := 1
	for coef >= 10 {
		coef /= 10
		n++
	}
	return n
}

// shift multiplies by a power of ten.
func (n number) shift(exp int) number {
	if n.coef == 0 {
		return n
	}
	n.exp += int16(exp)
	return n
}

// float gives the nearest float64.
func (n number) float() float64 {
	var f float64
	exp := int(n.exp)
	switch {
	case n.coef < 1<<53 && -22 <= exp && exp < 0:
		// Both operands are exact, so the quotient is rounded once.
		f = float64(n.coef) / math.Pow10(-exp)
	case n.coef < 1<<53 && 0 <= exp && exp <= 22:
		f = float64(n.coef) * math.Pow10(exp)
	default:
		var buffer [32]byte
		b := strconv.AppendUint(buffer[:0], n.coef, 10)
		b = strconv.AppendInt(append(b, 'e'), int64(exp), 10)
		f, _ = strconv.ParseFloat(string(b), 64) // in range by maxMagnitude
	}
	if n.neg {
		return -f
	}
	return f
}

// rat gives the exact value.
func (n number) rat() *big.Rat {
	value := new(big.Int).SetUint64(n.coef)
	if n.neg {
		value.Neg(value)
	}
	power := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(n.exp, -n.exp))), nil)
	if n.exp < 0 {
		return new(big.Rat).SetFrac(value, power)
	}
	return new(big.Rat).SetInt(value.Mul(value, power))
}

// scaleUp gives coef·10^by; ok is false when it does not fit.
func scaleUp(coef uint64, by int) (scaled uint64, ok bool) {
	if by > 19 {
		return 0, coef == 0
	}
	for range by {
		hi, lo := bits.Mul64(coef, 10)
		if hi != 0 {
			return 0, false
		}
		coef = lo
	}
	return coef, true
}

// times gives the exact product; ok is false when it does not fit.
func (n number) times(m number) (product number, ok bool) {
	hi, lo := bits.Mul64(n.coef, m.coef)
	if hi != 0 {
		return number{}, false
	}
	return newNumber(lo, int(n.exp)+int(m.exp), n.neg != m.neg), true
}

// plus gives the exact sum; ok is false when it does not fit.
func (n number) plus(m number) (sum number, ok bool) {
	switch {
	case n.coef == 0:
		return m, true
	case m.coef == 0:
		return n, true
	case n.exp < m.exp:
		n, m = m, n
	}
	a, ok := scaleUp(n.coef, int(n.exp)-int(m.exp))
	if !ok {
		return number{}, false
	}
	b, exp := m.coef, int(m.exp)
	switch {
	case n.neg == m.neg:
		total, carry := bits.Add64(a, b, 0)
		return newNumber(total, exp, n.neg), carry == 0
	case a >= b:
		return newNumber(a-b, exp, n.neg), true
	default:
		return newNumber(b-a, exp, m.neg), true
	}
}

// over gives the float64 nearest to n/m; m must not be zero.
func (n number) over(m number) float64 {
	up, down := max(0, int(n.exp)-int(m.exp)), max(0, int(m.exp)-int(n.exp))
	a, okA := scaleUp(n.coef, up)
	b, okB := scaleUp(m.coef, down)
	if okA && okB && a < 1<<53 && b < 1<<53 {
		f := float64(a) / float64(b) // exact operands, rounded once
		if n.neg != m.neg {
			return -f
		}
		return f
	}
	f, _ := new(big.Rat).Quo(n.rat(), m.rat()).Float64()
	return f
}

// appendTo writes the number in its shortest exact form: plain from 1e-6 up
// to 1e15, in scientific notation outside.
func (n number) appendTo(b []byte) []byte {
	if n.neg {
		b = append(b, '-')
	}
	var buffer [20]byte
	digits := strconv.AppendUint(buffer[:0], n.coef, 10)
	exp := int(n.exp)
	magnitude := exp + len(digits) - 1
	switch {
	case n.coef == 0:
		return append(b, '0')
	case magnitude < -6 || magnitude > 15:
		b = append(b, digits[0])
		if len(digits) > 1 {
			b = append(append(b, '.'), digits[1:]...)
		}
		return strconv.AppendInt(append(b, 'e'), int64(magnitude), 10)
	case exp >= 0:
		b = append(b, digits...)
		for range exp {
			b = append(b, '0')
		}
		return b
	case magnitude >= 0:
		b = append(b, digits[:magnitude+1]...)
		return append(append(b, '.'), digits[magnitude+1:]...)
	default:
		b = append(b, '0', '.')
		for range -magnitude - 1 {
			b = append(b, '0')
		}
		return append(b, digits...)
	}
}

func (n number) String() string { return string(n.appendTo(nil)) }
