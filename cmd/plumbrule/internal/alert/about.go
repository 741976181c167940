package alert

import (
	"strings"
	"unicode"

	"plumbrule/rules"
)

// About says what of a device a reason is about, so that two checks that are due
// are two alerts: the quantities where reasons are given by quantity, the record
// where each gives a reason of its own, and otherwise how the sentence begins,
// without its figures, which move.
func About(r *rules.Reason) string {
	switch r.Code {
	case "quantity-failed", "quantity-inconclusive", "conditional", "ratio-low", "jobs-in-doubt", "as-found-failed", "case-missing":
		words := make([]string, len(r.Quantities))
		for i, q := range r.Quantities {
			words[i] = string(q)
		}
		return strings.Join(words, ", ")
	case "record-unreadable", "certificate-unreviewed", "certificate-sent-back", "certificate-limited", "limitation", "in-doubt",
		"extension", "extension-void", "extension-with-limits", "past-unproven", "case-open":
		if len(r.Sources) > 0 {
			return r.Sources[0].File
		}
	case "check-due", "check-overdue", "never-checked", "chart-signal", "failed-then-passed", "job-beyond-limits",
		"artifact-expired", "artifact-uncertified", "artifact-in-doubt", "feature-uncovered", "rule-refused", "not-evidence":
		return beginning(r.Sentence)
	}
	return ""
}

// beginning returns a sentence up to its colon, without words that hold no
// letter.
func beginning(sentence string) string {
	head, _, _ := strings.Cut(sentence, ": ")
	var words []string
	for word := range strings.FieldsSeq(head) {
		if strings.ContainsFunc(word, unicode.IsLetter) {
			words = append(words, word)
		}
	}
	return strings.Join(words, " ")
}
