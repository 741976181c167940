package scan

import (
	"encoding/binary"
	"math"
	"math/bits"
	"strconv"
)

// parseFloat returns the number nearest to a decimal numeral, the even one of two equally near, as [strconv.ParseFloat]
// does: sign, digits with or without a point, exponent. It also knows how libraries spell what is not finite (nan, -inf,
// 1.#QNAN), and returns an infinity for numerals beyond the range of a float64; the caller has to look for these.
// Hexadecimal numerals and grouping are none. It allocates only for numerals of more than 32 bytes whose first 19 digits
// leave the last bit open.
func parseFloat(b []byte) (v float64, ok bool) {
	if d, n := readDecimal(b); n == len(b) && n > 0 {
		return d.float(b), true
	}
	return parseRare(b)
}

// maxDigits is the number of digits that always fit a uint64.
const maxDigits = 19

// decimal is a numeral taken apart: mantissa · 10^(exponent − fraction). It has few enough fields for the compiler to keep it
// in registers.
type decimal struct {
	mantissa uint64
	fraction int    // digits of the mantissa that stand behind the point
	exponent int    // as written
	marks    uint64 // minus, cut
}

const (
	minus = 1 << 63 // the sign of a float64
	cut   = 1       // digits that differ from 0 follow the mantissa's
)

// readDecimal takes the numeral apart that b begins with; n is its length, 0 if there is none.
//
// It looks at eight bytes at a time, and so perhaps at some behind b, though not beyond its capacity; they do not alter the
// result. Numerals are as long as they like, which a processor cannot foresee, so that loops over their digits, and a branch
// for the sign, would take longer than all the rest.
func readDecimal(b []byte) (d decimal, n int) {
	if len(b) > 0 && b[0] == '-' {
		n = 1
	}
	d.marks = uint64(n) << 63
	var run int
	d.mantissa, run = leadingDigits(eightBytes(b[n:]), len(b)-n)
	n += run
	digits := run
	if n < len(b) && b[n] == '.' {
		n++
		for run = 8; run == 8; d.fraction += run {
			var more uint64
			more, run = leadingDigits(eightBytes(b[n:]), len(b)-n)
			d.mantissa = d.mantissa*tenTo(run) + more
			n += run
		}
		digits += d.fraction
	}
	if run == 8 || digits == 0 || digits > maxDigits {
		return readAnyDecimal(b)
	}
	if n < len(b) && b[n]|0x20 == 'e' {
		exponent, length := readExponent(b[n:])
		d.exponent = exponent
		n += length
	}
	return d, n
}

// eightBytes returns the first eight bytes in b's memory, the first of them lowest, and 0 for those beyond its capacity.
func eightBytes(b []byte) uint64 {
	if cap(b) >= 8 {
		return binary.LittleEndian.Uint64(b[:8])
	}
	return fewBytes(b)
}

func fewBytes(b []byte) uint64 {
	eight := uint64(0)
	for i, c := range b {
		eight |= uint64(c) << (8 * i)
	}
	return eight
}

// leadingDigits returns the number that the first of eight bytes spell, those that are digits but at most a limit, and how
// many they are. The first byte is the lowest. The digits are moved up, so that zeros precede them; then neighbours are
// joined to pairs, pairs to fours and fours to the whole, each step in all lanes at a time.
func leadingDigits(eight uint64, limit int) (number uint64, count int) {
	eight ^= 0x3030303030303030 // digits are 0 to 9 now, all else is above
	above := (eight + 0x7676767676767676 | eight) & 0x8080808080808080
	count = min(bits.TrailingZeros64(above)/8, limit)
	eight <<= uint(64 - 8*count)
	eight = eight*10 + eight>>8
	const pairs = 0x000000ff000000ff
	upper := (eight & pairs) * (100 + 1_000_000<<32)
	lower := (eight >> 16 & pairs) * (1 + 10_000<<32)
	return (upper + lower) >> 32, count
}

// readAnyDecimal is readDecimal for all numerals, one digit at a time.
func readAnyDecimal(b []byte) (d decimal, n int) {
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		n = 1
		if b[0] == '-' {
			d.marks = minus
		}
	}
	start, point := n, -1
	for ; n < len(b); n++ {
		if b[n] == '.' && point < 0 {
			point = n
		} else if b[n]-'0' > 9 {
			break
		}
	}
	if n == start || n == start+1 && point >= 0 {
		return decimal{}, 0
	}
	d = d.readDigits(b[start:n])
	if n < len(b) && b[n]|0x20 == 'e' {
		exponent, length := readExponent(b[n:])
		d.exponent = exponent
		n += length
	}
	return d, n
}

// readExponent reads the exponent that b begins with; n is its length, 0 if no digit follows the letter.
func readExponent(b []byte) (exponent, n int) {
	first := 1
	if len(b) > 1 && (b[1] == '-' || b[1] == '+') {
		first = 2
	}
	for n = first; n < len(b) && b[n]-'0' <= 9; n++ {
		const beyond = 1 << 20 // no line is long enough for digits to make up for it
		if exponent < beyond {
			exponent = exponent*10 + int(b[n]-'0')
		}
	}
	if n == first {
		return 0, 0
	}
	if b[1] == '-' {
		exponent = -exponent
	}
	return exponent, n
}

// readDigits reads digits, with or without a point among them. Zeros in front do not count, and those behind the nineteenth
// only say whether the mantissa is cut.
func (d decimal) readDigits(b []byte) decimal {
	significant, point := 0, false
	for _, c := range b {
		if c == '.' {
			point = true
			continue
		}
		if significant < maxDigits {
			d.mantissa = d.mantissa*10 + uint64(c-'0')
			if d.mantissa > 0 {
				significant++
			}
			if point {
				d.fraction++
			}
			continue
		}
		if c != '0' {
			d.marks |= cut
		}
		if !point {
			d.fraction--
		}
	}
	return d
}

// float returns the number; b is the numeral it was read from.
func (d decimal) float(b []byte) float64 {
	if d.plain() {
		return d.quotient()
	}
	return d.farFloat(b)
}

// plain tells whether mantissa and 10^fraction are numbers that a float64 holds exactly, so that their quotient, with its
// one rounding, is the number sought (W. D. Clinger, "How to read floating point numbers accurately", 1990).
func (d decimal) plain() bool {
	return d.mantissa < 1<<53 && d.fraction <= maxExactTen && d.exponent == 0
}

// quotient returns that. A mantissa so small is not cut, so that the sign is the only mark.
func (d decimal) quotient() float64 {
	return math.Float64frombits(math.Float64bits(float64(d.mantissa)/exactTen(d.fraction)) | d.marks)
}

// farFloat is float for all numerals.
func (d decimal) farFloat(b []byte) float64 {
	v, ok := d.scaled()
	if !ok {
		v, _ = strconv.ParseFloat(string(b), 64) // only ErrRange is left, with an infinity
		return v
	}
	return math.Float64frombits(math.Float64bits(v) | d.marks&minus)
}

// scaled returns the number without its sign where exact arithmetic is enough.
func (d decimal) scaled() (v float64, ok bool) {
	power := d.exponent - d.fraction
	v, ok = scaled(d.mantissa, power)
	if ok && d.marks&cut != 0 {
		// The numeral lies between two neighbouring mantissas: if both give the same number, so does it.
		above, _ := scaled(d.mantissa+1, power)
		ok = v == above
	}
	return v, ok
}

// scaled returns mantissa · 10^power correctly rounded, if the power is small enough for exact arithmetic.
func scaled(mantissa uint64, power int) (v float64, ok bool) {
	switch {
	case mantissa == 0:
		return 0, true
	case power < -maxFive || power > maxFive:
		return 0, false
	case power < 0:
		return divided(mantissa, -power), true
	default:
		return multiplied(mantissa, power), true
	}
}

// divided returns mantissa / 10^power, correctly rounded, for a mantissa above 0 and powers from 0 to [maxFive].
//
// Both sides are shifted to the full 64 bits, so the quotient by 5^power has at least 63, ten more than the result; what the
// division leaves over goes into the lowest of them, which decides between rounding up, down and to even.
func divided(mantissa uint64, power int) float64 {
	divisor := five(power)
	up, divisorUp := bits.LeadingZeros64(mantissa), bits.LeadingZeros64(divisor)
	mantissa <<= up
	quotient, rest := bits.Div64(mantissa>>1, mantissa<<63, divisor<<divisorUp)
	if rest != 0 {
		quotient |= 1
	}
	return float64(quotient) * powerOfTwo(divisorUp-up-63-power)
}

// multiplied returns mantissa · 10^power likewise, from the upper half of the product of mantissa and 5^power.
func multiplied(mantissa uint64, power int) float64 {
	factor := five(power)
	up, factorUp := bits.LeadingZeros64(mantissa), bits.LeadingZeros64(factor)
	high, low := bits.Mul64(mantissa<<up, factor<<factorUp)
	if low != 0 {
		high |= 1
	}
	return float64(high) * powerOfTwo(64-up-factorUp+power)
}

// powerOfTwo returns 2^e for the exponents of normal numbers.
func powerOfTwo(e int) float64 { return math.Float64frombits(uint64(1023+e) << 52) }

// maxExactTen is the largest power of ten that a float64 holds exactly.
const maxExactTen = 22

func exactTen(power int) float64 {
	return [maxExactTen + 1]float64{
		1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
		1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
	}[power]
}

// maxFive is the largest power of five that a uint64 holds.
const maxFive = 27

func five(power int) uint64 {
	return [maxFive + 1]uint64{
		1, 5, 25, 125, 625, 3125, 15625, 78125, 390625, 1953125, 9765625, 48828125, 244140625, 1220703125, 6103515625,
		30517578125, 152587890625, 762939453125, 3814697265625, 19073486328125, 95367431640625, 476837158203125,
		2384185791015625, 11920928955078125, 59604644775390625, 298023223876953125, 1490116119384765625,
		7450580596923828125,
	}[power]
}
