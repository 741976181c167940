package audit

import (
	"fmt"

	"plumbrule/records"
	"plumbrule/rules"
)

func chains(f *finder) []Evidence {
	return f.accepted("stating its uncertainty and what it is traceable to", func(_ string, c *records.Certificate) bool {
		return c.Traceability != "" || len(c.Standards) > 0
	})
}

func laboratories(f *finder) []Evidence {
	return f.accepted("naming an accreditation with its scope", func(_ string, c *records.Certificate) bool {
		return c.Accreditation != "" && len(c.Scope)+len(c.Ranges) > 0
	})
}

func traceability(f *finder) []Evidence {
	return f.accepted("carrying the laboratory's statement of traceability", func(_ string, c *records.Certificate) bool { return c.Traceability != "" })
}

// budgets counts the judgements whose uncertainty was computed by contributions.
func budgets(f *finder) []Evidence {
	var t tally
	for i := range f.Assessment.Devices {
		d := &f.Assessment.Devices[i]
		for j := range d.Evidence {
			if e := &d.Evidence[j]; f.looksAt(d.ID) && e.Judgement != nil && len(e.Judgement.Components) > 0 {
				t.count(d.ID, e.Source.File)
			}
		}
	}
	return t.says("budget", "with its contributions, standing behind a verdict")
}

func charts(f *finder) []Evidence {
	var t tally
	for i := range f.Assessment.Devices {
		d := &f.Assessment.Devices[i]
		for j := range d.Charts {
			if f.looksAt(d.ID) {
				t.count(d.ID, d.Charts[j].Latest.File)
			}
		}
	}
	return t.says("control chart", "kept")
}

func signalsSeen(f *finder) []Evidence {
	var t tally
	for i := range f.Assessment.Devices {
		d := &f.Assessment.Devices[i]
		for j := range d.Charts {
			if c := &d.Charts[j]; f.looksAt(d.ID) && !c.Provisional {
				t.count(d.ID, c.Latest.File)
			}
		}
	}
	return t.says("control chart", "judged by limits of its own")
}

func asFounds(f *finder) []Evidence {
	return f.accepted("stating the errors of devices as found", func(id string, c *records.Certificate) bool { return !f.ofArtifact(id) && len(c.AsFound) > 0 })
}

func decisions(f *finder) []Evidence {
	used := map[string]bool{}
	var out []Evidence
	for i := range f.Assessment.Devices {
		d := &f.Assessment.Devices[i]
		for j := range d.Evidence {
			e := &d.Evidence[j]
			rule := string(e.Decision.Rule)
			if !f.looksAt(d.ID) || used[rule] || rule == "" {
				continue
			}
			used[rule] = true
			out = append(out, Evidence{fmt.Sprintf("verdicts are reached by the rule %s, with limit, uncertainty and probability", rule), []rules.Source{e.Source}})
		}
	}
	return out
}

func caseRecords(f *finder) []Evidence {
	return f.steps("taken in cases about what was found wrong", func(*records.CaseStep) bool { return true })
}

func jobDecisions(f *finder) []Evidence {
	return f.steps("deciding on jobs", func(s *records.CaseStep) bool { return s.Step == records.CaseDecision })
}

func notices(f *finder) []Evidence {
	return f.steps("telling a customer", func(s *records.CaseStep) bool { return s.Step == records.CaseNotice })
}

func corrections(f *finder) []Evidence {
	return f.steps("naming the cause, what was done, or whether it helped", func(s *records.CaseStep) bool {
		return s.Step == records.CaseCause || s.Step == records.CaseCorrected || s.Step == records.CaseChecked
	})
}

func temperatures(f *finder) []Evidence {
	return f.checksWhere("stating the artifact's temperature", func(k *records.Check) bool { return k.Conditions.Stated })
}

func reviews(f *finder) []Evidence {
	return f.accepted("reviewed as it came in, by a named person", anyCertificate)
}

// kept says how many records stand, and of how many the history is known.
func kept(f *finder) []Evidence {
	n := f.Set.Count()
	if n == 0 {
		return nil
	}
	text := counted(n, "record") + " can be read; their history was not looked at"
	if f.Log != nil {
		text = fmt.Sprintf("%s can be read; their history was looked at in %s", counted(n, "record"), counted(len(f.Log.Commits), "commit"))
	}
	return []Evidence{{Sentence: text}}
}

// amendments are corrections that name what they correct.
func amendments(f *finder) []Evidence {
	return append(f.checksWhere("correcting another and naming it", func(k *records.Check) bool { return k.Amends != "" }),
		f.events("correcting another and naming it", func(e *records.Event) bool { return e.Amends != "" })...)
}
