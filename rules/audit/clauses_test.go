package audit_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules/audit"
)

// What auditors ask, by clause: ISO/IEC 17025:2017 6.4.4 to 6.4.13, 6.5, 7.6 to 7.8.6, 7.10 and 8.4; ISO 10012:2003;
// ISO 9001:2015, 7.1.5.2. The numbers are from memory of the standards but for ISO/IEC 17025 6.4.12, 6.4.13 a to f and 8.4.
func published() []string {
	lists := map[string]string{
		"ISO/IEC 17025:2017": `6.4.4, 6.4.5, 6.4.6, 6.4.7, 6.4.8, 6.4.9, 6.4.10, 6.4.11, 6.4.12, 6.4.13 a, 6.4.13 b, 6.4.13 c, 6.4.13 d, 6.4.13 e,
			6.4.13 f, 6.4.13 g, 6.4.13 h, 6.5.1, 6.5.2, 6.5.3, 7.6.1, 7.6.2, 7.6.3, 7.7.1, 7.7.2, 7.7.3, 7.8.2, 7.8.4, 7.8.6, 7.10.1, 7.10.2, 7.10.3, 8.4`,
		"ISO 10012:2003": "5.4, 6.2.2, 6.2.3, 6.2.4, 6.3.1, 6.4, 7.1.1, 7.1.2, 7.1.3, 7.1.4, 7.2, 7.3.1, 7.3.2, 8.2.4, 8.3.2, 8.3.3",
		"ISO 9001:2015":  "7.1.5.2",
	}
	var out []string
	for _, standard := range []string{"ISO/IEC 17025:2017", "ISO 10012:2003", "ISO 9001:2015"} {
		for number := range strings.SplitSeq(lists[standard], ",") {
			out = append(out, standard+", "+strings.TrimSpace(number))
		}
	}
	return out
}

func TestEveryClauseIsAnswered(t *testing.T) {
	var got []string
	for _, a := range clauses(opened(t).input(t)) {
		got = append(got, a.Clause.String())
		if !strings.HasSuffix(a.Clause.Question, "?") {
			t.Errorf("%s asks %q", a.Clause, a.Clause.Question)
		}
	}
	if diff := cmp.Diff(published(), got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// A code that names a clause nobody is told of would be found and lost. 7.5.2
// (amendments) is named beside 8.4.
func TestClausesOfCodes(t *testing.T) {
	known := map[string]bool{"ISO/IEC 17025:2017, 7.5.2": true}
	for _, c := range published() {
		known[c] = true
	}
	said := map[string]bool{}
	for _, c := range audit.Codes() {
		if said[c.ID] || c.Title == "" || c.Meaning == "" || c.Mend == "" || len(c.Clauses) == 0 {
			t.Errorf("%s stands twice or lacks something: %+v", c.ID, c)
		}
		said[c.ID] = true
		for _, clause := range c.Clauses {
			if !known[clause] {
				t.Errorf("%s names %s, which nobody asks", c.ID, clause)
			}
		}
		if got, found := audit.CodeOf(c.ID); !found || got.Title != c.Title {
			t.Errorf("CodeOf(%q) = %v, %v", c.ID, got, found)
		}
	}
	if _, found := audit.CodeOf("no-such-code"); found {
		t.Error("CodeOf finds what is not there")
	}
}

// states are the answers by clause, written "number state".
func states(answers []audit.Answer) map[string]audit.Answer {
	out := map[string]audit.Answer{}
	for _, a := range answers {
		out[strings.TrimPrefix(a.Clause.String(), "ISO/IEC 17025:2017, ")] = a
	}
	return out
}

func TestStates(t *testing.T) {
	good, bad, failed := opened(t), opened(t), opened(t)
	failed.line(t, "check 2026-11-19T08:12 A:+1,-1,+2 A-C:+170@2.6")
	bad.line(t, "rm certificates/scan-1/2026-09-22-S-9.toml")
	bad.line(t, "rm certificates/bar-1/2025-01-06-K-113.toml")
	for name, c := range map[string]struct {
		shop   *shop
		clause string
		state  audit.State
	}{
		"certificates with uncertainty and reference": {good, "6.5.1", audit.Answered},
		"with accreditation and scope":                {good, "6.5.2", audit.Answered},
		"intervals, of which none has ended yet":      {good, "6.4.7", audit.Answered},
		"checks by a procedure":                       {good, "6.4.10", audit.Answered},
		"nothing was out of limits":                   {good, "6.4.9", audit.NotApplicable},
		"no nonconforming work":                       {good, "7.10.1", audit.NotApplicable},
		"seals are nothing that records show":         {good, "6.4.12", audit.Gap},
		"comparisons between laboratories likewise":   {good, "7.7.2", audit.Gap},
		"labels likewise, status is shown":            {good, "6.4.8", audit.Partly},
		"no certificate at all":                       {bad, "6.5.2", audit.Gap},
		"never calibrated":                            {bad, "6.4.6", audit.Gap},
		"failed, and nothing recorded about it":       {failed, "6.4.9", audit.Gap},
		"failed, and the case is missing":             {failed, "7.10.1", audit.Gap},
	} {
		got := states(clauses(c.shop.input(t)))[c.clause]
		if got.State != c.state {
			t.Errorf("%s: %s is %s, expected %s: %+v", name, c.clause, got.State, c.state, got)
		}
	}
}

// An answer that is not whole says what is missing; one that is whole has
// evidence and nothing missing; every finding stands under each of its clauses.
func TestAnswersAreHonest(t *testing.T) {
	for name, lines := range map[string][]string{
		"in good order": nil,
		"a failure":     {"check 2026-11-19T08:12 A:+1,-1,+2 A-C:+170@2.6"},
		"unreadable":    {"rm procedures/bar-weekly.toml"},
		"nothing there": {"rm devices/scan-1.toml", "rm artifacts/bar-1.toml"},
	} {
		s := opened(t)
		for _, l := range lines {
			s.line(t, l)
		}
		in := s.input(t)
		under := map[string]bool{}
		for _, a := range clauses(in) {
			whole := len(a.Evidence) > 0 && len(a.Gaps) == 0 && a.Own == ""
			empty := len(a.Evidence) == 0 && len(a.Gaps) == 0
			switch a.State {
			case audit.Answered:
				if !whole {
					t.Errorf("%s: %s is answered by %+v", name, a.Clause, a)
				}
			case audit.NotApplicable:
				if !empty {
					t.Errorf("%s: %s does not apply, with %+v", name, a.Clause, a)
				}
			case audit.Partly:
				if whole || len(a.Evidence) == 0 {
					t.Errorf("%s: %s is answered partly by %+v", name, a.Clause, a)
				}
			case audit.Gap:
				if len(a.Evidence) > 0 || len(a.Gaps) == 0 && a.Own == "" {
					t.Errorf("%s: %s is a gap and says nothing of it: %+v", name, a.Clause, a)
				}
			}
			for _, g := range a.Gaps {
				under[a.Clause.String()+" "+g.Code+" "+g.Subject+" "+g.Sentence] = true
			}
		}
		for _, f := range audit.Findings(in) {
			for _, c := range f.Clauses {
				if !under[c+" "+f.Code+" "+f.Subject+" "+f.Sentence] && c != "ISO/IEC 17025:2017, 7.5.2" {
					t.Errorf("%s: %s of %s is not under %s", name, f.Code, f.Subject, c)
				}
			}
		}
	}
}

// What was done before the period answers nothing that is asked of it.
func TestEvidenceOfThePeriod(t *testing.T) {
	s := opened(t)
	s.line(t, "check 2026-10-16T08:12 A:+1,-1,+2 A-C:+20@2.6")
	s.line(t, `event scan-1 2026-10-16T11:00 adjustment as-found="checks/scan-1/2026/2026-10-16T0812-bar-weekly" reason="field calibration loaded"`)
	shown := func() []audit.Evidence { return states(clauses(s.input(t)))["6.4.12"].Evidence }
	if got := shown(); len(got) != 1 || got[0].Sentence != "1 event, telling of an adjustment" {
		t.Errorf("of the whole period it shows %v", got)
	}
	s.from = moment(t, "2026-11-01T00:00")
	if got := shown(); len(got) != 0 {
		t.Errorf("of what came later it shows %v", got)
	}
}

// clauses answers every clause from the findings.
func clauses(in audit.Input) []audit.Answer { return audit.Answers(in, audit.Findings(in)) }
