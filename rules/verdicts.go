package rules

import (
	"fmt"
	"strings"
	"time"

	"plumbrule/records"
	"plumbrule/rules/conformity"
)

// verdicts turns failed and undecided evidence into reasons.
func (d *deviceContext) verdicts() {
	standings := d.standings()
	passed := 0
	for _, s := range standings {
		if s.worst != nil && !failed(s.worst.Verdict()) {
			passed++
		}
	}
	for _, s := range standings {
		if s.worst == nil {
			continue
		}
		sentence, q := d.verdictSentence(s.worst), []records.Quantity{s.limit.Quantity}
		switch s.worst.Verdict() {
		case conformity.Fail, conformity.ConditionalFail:
			code := "quantity-failed"
			if passed == 0 {
				code = "all-failed"
			}
			d.add(code, sentence, q, s.worst.Source, Source{d.record.File, s.limit.Line})
			d.doubtfulJobs(failureOf(s.worst), time.Time{}, s.worst.Source)
		case conformity.Inconclusive:
			d.add("quantity-inconclusive", sentence, q, s.worst.Source, Source{d.record.File, s.limit.Line})
		case conformity.ConditionalPass:
			d.add("conditional", sentence, q, s.worst.Source)
		case conformity.Pass:
			d.ratio(s)
		}
	}
}

// ratio remarks on a simple acceptance with a large uncertainty.
func (d *deviceContext) ratio(s standing) {
	lowest, ratio := d.set.Site.Decision.MinimumRatio, s.worst.Decision.Ratio.Value
	if s.worst.Decision.Rule == conformity.Simple && lowest > 0 && ratio != nil && *ratio < lowest {
		d.add("ratio-low", fmt.Sprintf("%s: MPE/U is %.1f, the site asks %.3g", s.worst.label(), *ratio, lowest),
			[]records.Quantity{s.limit.Quantity}, s.worst.Source)
	}
}

// label names the evidence: quantity, feature and where it comes from.
func (e *Evidence) label() string {
	if e.Certified != nil {
		return fmt.Sprintf("%s at %s", e.Quantity, e.Feature)
	}
	return fmt.Sprintf("%s %s", e.Quantity, e.Feature)
}

// verdictSentence says what was found, against which limit, when and by which
// rule.
func (d *deviceContext) verdictSentence(e *Evidence) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: error %s, limit %s", e.label(), um(e.Decision.ErrorUM), um(e.Decision.MPEUM))
	if j := e.Judgement; j != nil && e.Limit.MPE.GrowsWithLength() {
		over := "over"
		if j.LengthIsPath {
			over = "over a path of"
		}
		fmt.Fprintf(&b, " %s %s", over, j.Length)
	}
	if u := e.Decision.ExpandedUM.Value; u != nil {
		fmt.Fprintf(&b, ", U %s", um(*u))
	}
	fmt.Fprintf(&b, ": %s (%s, %s, rule %s)", verdictWords(e.Verdict()), e.From, d.day(e.Time), e.Decision.Rule)
	return b.String()
}

func verdictWords(v conformity.Verdict) string {
	return strings.ReplaceAll(string(v), "-", " ")
}

// um writes a length in micrometres for people, to a tenth.
func um(v float64) string {
	return strings.Replace(fmt.Sprintf("%.1f µm", v), "-0.0 µm", "0.0 µm", 1)
}

// quantityWords lists quantities, each once.
func quantityWords(list []records.Quantity) string {
	var out []string
	seen := map[records.Quantity]bool{}
	for _, q := range list {
		if !seen[q] {
			seen[q] = true
			out = append(out, string(q))
		}
	}
	return strings.Join(out, ", ")
}
