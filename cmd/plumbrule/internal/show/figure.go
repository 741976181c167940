package show

import (
	"math"
	"strconv"
	"strings"

	"plumbrule/records/calendar"
)

// mostDecimals is a femtometre in micrometres, below anything a length can mean.
const mostDecimals = 9

// Decimals returns how many decimals figures in micrometres deserve beside the expanded uncertainty expandedUM: those
// that show its two significant digits (JCGM 100:2008, 7.2.6). It is 1 where there is no uncertainty: 0, negative or NaN.
func Decimals(expandedUM float64) int {
	if !(expandedUM > 0) || math.IsInf(expandedUM, 0) {
		return 1
	}
	// The exponent is taken after rounding: 0.0996 becomes 0.10, which has its first digit one place higher.
	text := strconv.FormatFloat(expandedUM, 'e', 1, 64)
	exponent, _ := strconv.Atoi(text[strings.IndexByte(text, 'e')+1:])
	return min(max(1-exponent, 0), mostDecimals)
}

// Apart returns at least the given number of decimals, and as many more as it takes to see that value differs from each
// of the others by more than tie. A failed 65.04 must not stand beside a limit of 65.0 as 65.0.
func Apart(decimals int, value, tie float64, others ...float64) int {
	for _, other := range others {
		if !(math.Abs(value-other) > tie) {
			continue
		}
		for decimals < mostDecimals && Fixed(value, decimals) == Fixed(other, decimals) {
			decimals++
		}
	}
	return decimals
}

// Fixed prints a figure with that many decimals, without its unit. A value that rounds to zero has no sign.
func Fixed(value float64, decimals int) string {
	text := strconv.FormatFloat(value, 'f', decimals, 64)
	if zero(text) && text[0] == '-' {
		return text[1:]
	}
	return text
}

// Signed prints a figure as [Fixed] does, with a plus sign where it is above zero: an error is read by its sign.
func Signed(value float64, decimals int) string {
	text := Fixed(value, decimals)
	if value > 0 && !zero(text) {
		return "+" + text
	}
	return text
}

func zero(text string) bool {
	for _, r := range text {
		if r >= '1' && r <= '9' {
			return false
		}
	}
	return true
}

// Shortest prints a number with as many digits as it takes to read the same number again, without an exponent where
// that is readable: for values that somebody typed.
func Shortest(value float64) string {
	if size := math.Abs(value); size != 0 && (size < 1e-6 || size >= 1e15) {
		return strconv.FormatFloat(value, 'g', -1, 64)
	}
	return strconv.FormatFloat(value, 'f', -1, 64)
}

// Ratio prints a pure number with three significant digits.
func Ratio(value float64) string {
	switch size := math.Abs(value); {
	case size >= 1e6 || size != 0 && size < 0.01:
		return strconv.FormatFloat(value, 'g', 3, 64)
	case size >= 99.95:
		return Fixed(value, 0)
	case size >= 9.995:
		return Fixed(value, 1)
	}
	return Fixed(value, 2)
}

// Probability prints a probability with four decimals, or as many as show what is missing to 1: 0.9999997 never becomes
// 1; beyond nine nines it is told by a bound. Small ones keep two significant digits, exactly 1 and exactly 0 stay.
func Probability(p float64) string {
	switch {
	case p == 0 || p == 1:
		return Fixed(p, 0)
	case p > 1-1e-9:
		return ">0.999999999"
	case p < 1e-4:
		return strconv.FormatFloat(p, 'g', 2, 64)
	}
	decimals := 4
	for Fixed(p, decimals) == Fixed(1, decimals) {
		decimals++
	}
	return Fixed(p, decimals)
}

// LengthMM prints a length in millimetres, without its unit, to the tenth of a micrometre.
func LengthMM(mm float64) string { return Fixed(mm, 4) }

// Date prints a day as ISO 8601 writes it, and "none" for one that is not stated.
func Date(d calendar.Date) string {
	if d.IsZero() {
		return "none"
	}
	return d.String()
}
