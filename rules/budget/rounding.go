package budget

import (
	"math"
	"strconv"
	"strings"
)

// largestCut is what rounding down may take from an uncertainty, as a fraction of it.
const largestCut = 0.05

// Round returns an uncertainty with this many significant digits, 1 or more, and the power of ten of the last of them: −2 for
// 0.06, 1 for 120 with two digits. It is rounded up where rounding to the nearest would cut it by more than 5 %, which with
// two digits never happens. An uncertainty of 0 stays 0.
//
// Source: JCGM 100:2008 7.2.6 for at most two digits; EA-4/02 M:2022 6.3, from memory, for the 5 %.
func Round(u float64, digits int) (rounded float64, last int) {
	if !(u > 0) || math.IsInf(u, 0) {
		return 0, 0
	}
	text := strconv.FormatFloat(u, 'e', digits-1, 64)
	mantissa, exponent, _ := strings.Cut(text, "e")
	tens, _ := strconv.Atoi(exponent)
	last = tens - (digits - 1)
	rounded, _ = strconv.ParseFloat(text, 64)
	if rounded < u*(1-largestCut) {
		whole, _ := strconv.Atoi(strings.Replace(mantissa, ".", "", 1))
		rounded, _ = strconv.ParseFloat(strconv.Itoa(whole+1)+"e"+strconv.Itoa(last), 64)
	}
	return rounded, last
}
