package records

import "strings"

// ShellQuote writes a path or another word so that a POSIX shell takes it as
// one: as it stands where it holds nothing but letters, digits and . _ / -, in
// single quotes otherwise (IEEE Std 1003.1, Shell Command Language, 2.2.2).
func ShellQuote(word string) string {
	if word != "" && !strings.ContainsFunc(word, needsQuotes) {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

func needsQuotes(r rune) bool {
	plain := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("._/-", r)
	return !plain
}
