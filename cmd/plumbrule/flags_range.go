package main

import (
	"strconv"

	"plumbrule/cmd/plumbrule/internal/show"
)

// numberWithin reads a bare number between two bounds, both allowed; form says in words what is expected.
func numberWithin(least, most float64, form string) func(string) (float64, error) {
	return func(text string) (float64, error) {
		value, what, mend := number(text)
		switch {
		case what != "":
			return 0, &failure{what: what, mend: mend}
		case value < least || value > most:
			return 0, misused(strconv.Quote(text)+", expected "+form, "")
		}
		return value, nil
	}
}

// percent writes a share for people, as finely as it was typed.
func percent(share float64) string {
	return strconv.FormatFloat(share*100, 'g', 6, 64) + " %"
}

// fourDigits prints a number of any size with four significant digits.
func fourDigits(value float64) string {
	size := value
	if size < 0 {
		size = -size
	}
	if size != 0 && (size < 1e-5 || size >= 1e9) {
		return strconv.FormatFloat(value, 'g', 4, 64)
	}
	if size == 0 {
		return "0"
	}
	decimals := 3
	for ; size < 1; size *= 10 {
		decimals++
	}
	for ; decimals > 0 && size >= 10; size /= 10 {
		decimals--
	}
	return show.Fixed(value, decimals)
}
