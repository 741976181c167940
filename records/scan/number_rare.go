package scan

import (
	"bytes"
	"math"
)

// parseRare reads the words for what is not a finite number: those of C and C++ (nan, -nan(ind), inf, infinity in any case)
// and of an older run-time library (1.#QNAN, -1.#IND00).
func parseRare(b []byte) (v float64, ok bool) {
	sign := 1
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		if b[0] == '-' {
			sign = -1
		}
		b = b[1:]
	}
	if rest, found := bytes.CutPrefix(b, []byte("1.#")); found {
		b = bytes.TrimRight(rest, "0") // digits asked for are filled up with zeros
	}
	if isWord(b, "inf") || isWord(b, "infinity") {
		return math.Inf(sign), true
	}
	if isWord(b, "nan") || isWord(b, "qnan") || isWord(b, "snan") || isWord(b, "ind") {
		return math.NaN(), true
	}
	if len(b) > 4 && isWord(b[:4], "nan(") && b[len(b)-1] == ')' {
		return math.NaN(), true
	}
	return 0, false
}

// isWord compares with a word in lower case, whatever the case of b.
func isWord(b []byte, word string) bool {
	if len(b) != len(word) {
		return false
	}
	for i, c := range b {
		if c|0x20 != word[i] {
			return false
		}
	}
	return true
}
