package scan

import (
	"math"
	"strconv"
	"strings"
)

// digits finds how fine printed coordinates are, for [Tally.Step]. The zero value has seen none.
//
// Writers either print a fixed number of digits behind the point or a fixed number of significant digits, dropping zeros
// at the end. In both cases the numeral with the most significant digits shows what the writer could print, and at the
// largest coordinate its last digit has the place value sought: single numerals that end early, as 100.28 among 100.2804,
// do not matter, and digits filled up with zeros all through a file do not count.
type digits struct {
	most   int     // significant digits; zeros at the end of a fraction are none
	more   uint64  // the smallest mantissa with more of them; 0: none was seen
	decade int     // power of ten of the largest magnitude's first digit
	above  float64 // 10^(decade + 1); 0: none but 0 was seen
}

// parse is [parseFloat] that takes the numeral into account.
func (d *digits) parse(token []byte) (v float64, ok bool) {
	n, length := readDecimal(token)
	if length < len(token) || length == 0 {
		return parseRare(token)
	}
	v = n.float(token)
	d.add(n, v)
	return v, true
}

func (d *digits) add(n decimal, v float64) {
	if d.news(n.mantissa, v) {
		d.widen(n, v)
	}
}

// news tells whether a number may have more digits than all before, or begins at a higher place.
func (d *digits) news(mantissa uint64, v float64) bool {
	return mantissa >= d.more || math.Abs(v) >= d.above
}

// widen notes a number that is news.
func (d *digits) widen(n decimal, v float64) {
	if size := math.Abs(v); size >= d.above && size > 0 && size <= math.MaxFloat64 {
		d.decade = decadeOf(size)
		d.above = math.Pow10(d.decade + 1)
	}
	m := n.mantissa
	if n.marks&cut == 0 {
		for range n.fraction {
			if m < d.more || m%10 != 0 {
				break
			}
			m /= 10
		}
	}
	for d.most < maxDigits && m >= tenTo(d.most) {
		d.most++
	}
	d.more = tenTo(d.most)
}

// merge adds what another has seen.
func (d *digits) merge(o digits) {
	d.most = max(d.most, o.most)
	d.more = max(d.more, o.more)
	if o.above > d.above {
		d.decade, d.above = o.decade, o.above
	}
}

// step returns the place value of the last digit at the largest magnitude, or 0 where it is finer than float64 numbers can
// be there, or nothing but zeros was seen.
func (d *digits) step() float64 {
	if d.above == 0 {
		return 0
	}
	step := math.Pow10(d.decade - d.most + 1)
	if first := math.Pow10(d.decade); step < math.Nextafter(first, math.Inf(1))-first {
		return 0
	}
	return step
}

// decadeOf returns the power of ten of a number's first digit.
func decadeOf(v float64) int {
	_, exponent, _ := strings.Cut(strconv.FormatFloat(v, 'e', -1, 64), "e")
	decade, err := strconv.Atoi(exponent)
	if err != nil {
		return 0 // it is a number always
	}
	return decade
}

// tenTo returns 10^power for powers up to [maxDigits].
func tenTo(power int) uint64 {
	return [maxDigits + 1]uint64{
		1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19,
	}[power]
}
