package card

import (
	"strings"
	"unicode"

	"plumbrule/cmd/plumbrule/internal/show"
)

// extent estimates the width of text in em of a sans-serif type, rather too wide than too narrow: nobody knows which type
// the reader's machine has.
func extent(text string, bold bool) float64 {
	em := 0.0
	for _, r := range text {
		switch {
		case strings.ContainsRune("ijl.,:;'|!", r):
			em += 0.29
		case strings.ContainsRune("frt()[]/-· ", r):
			em += 0.36
		case strings.ContainsRune("mwMW@%", r):
			em += 0.95
		case r < 0x250 && unicode.IsUpper(r):
			em += 0.75
		case r < 0x2000:
			em += 0.58
		case unicode.IsMark(r):
		default:
			em += 0.6 * float64(max(1, show.Width(string(r))))
		}
	}
	if bold {
		em *= 1.06
	}
	return em
}

// wrap breaks text into lines no wider than so many em, at blanks where there are any.
func wrap(text string, em float64, bold bool) (lines []string) {
	line := ""
	for word := range strings.FieldsSeq(text) {
		if joined := strings.TrimSpace(line + " " + word); extent(joined, bold) <= em {
			line = joined
			continue
		}
		if line != "" {
			lines = append(lines, line)
			line = ""
		}
		for _, r := range word {
			if line != "" && !unicode.IsMark(r) && extent(line+string(r), bold) > em {
				lines = append(lines, line)
				line = ""
			}
			line += string(r)
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
