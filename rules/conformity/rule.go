package conformity

import "strconv"

// Rule names a decision rule. The zero value names none and is refused by [Decide].
type Rule string

// The rules this package knows; [Rules] explains each.
const (
	Simple     Rule = "simple"
	ISO14253   Rule = "iso-14253-1"
	GuardU     Rule = "guard-u"
	FourValued Rule = "four-valued"
)

// RuleDoc explains one rule to a reader: what it is called, what it does, and where it comes from.
type RuleDoc struct {
	Rule   Rule
	Title  string
	Text   string
	Source string
}

// Rules returns all rules with their explanations, the one that takes least account of the uncertainty first.
func Rules() []RuleDoc {
	return []RuleDoc{
		{
			Rule:  Simple,
			Title: "simple acceptance",
			Text: "Pass if the error is at most the MPE, else fail. The uncertainty moves no limit; its ratio to the MPE is stated, " +
				"because near the limit up to half of all decisions are wrong.",
			Source: "ISO/IEC Guide 98-4:2012, 8.2; ILAC-G8:09/2019, 4.2.1",
		},
		{
			Rule:  ISO14253,
			Title: "proof of conformity or of non-conformity at 95 %",
			Text: "Pass if the conformance probability is at least 0.95, fail if it is at most 0.05, else inconclusive. The probability " +
				"is computed for both limits together; the usual guard band of 1.65 u is what it comes to while u is small against the MPE. " +
				"An error inside the MPE never fails, however large the uncertainty: ignorance proves nothing.",
			Source: "ISO 14253-1:2017, default rule; probability by JCGM 106:2012, clause 7",
		},
		{
			Rule:  GuardU,
			Title: "guard band of the whole expanded uncertainty",
			Text: "Pass if the error is at most MPE - U, else fail. At k = 2 at most 2.3 % of the values at the acceptance limit belong " +
				"to a true error over the MPE. With U over the MPE nothing can pass.",
			Source: "ILAC-G8:09/2019, 4.2.2 with w = U",
		},
		{
			Rule:  FourValued,
			Title: "guard band of the whole expanded uncertainty on both sides",
			Text: "Pass up to MPE - U, conditional pass up to the MPE, conditional fail up to MPE + U, fail above. A limit " +
				"itself belongs to the better side.",
			Source: "ILAC-G8:09/2019, 4.2.3 with w = U",
		},
	}
}

// ParseRule returns the rule of that name, exactly as [Rules] spells it, or an [*InputError] that lists the names.
func ParseRule(name string) (Rule, error) {
	for _, r := range Rules() {
		if name == string(r.Rule) {
			return r.Rule, nil
		}
	}
	return "", &InputError{Field: "rule", Found: strconv.Quote(name), Expected: "one of " + ruleNames()}
}
