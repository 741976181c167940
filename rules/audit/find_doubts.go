package audit

import (
	"fmt"
	"strings"

	"plumbrule/records"
	"plumbrule/rules"
)

// doubted reports the times in which results of a device are in doubt and
// nothing was done about it.
func (f *finder) doubted(id string) {
	cases := f.casesOf(id)
	for _, d := range f.doubtsOf(id) {
		past := !f.within(d.Found) && !d.Until.IsZero() && d.Until.Before(f.From)
		if !past && answering(cases, &d) == nil {
			f.unanswered(id, &d)
		}
	}
}

// doubtsOf are the times in which results of a device are in doubt.
func (f *finder) doubtsOf(id string) []rules.Doubt {
	if f.Doubts != nil {
		return f.Doubts[id]
	}
	return f.knowledge.Doubts(id)
}

func (f *finder) unanswered(id string, d *rules.Doubt) {
	sources := []rules.Source{d.Cause}
	jobs := ""
	if n := len(d.Jobs); n > 0 {
		jobs = fmt.Sprintf("; %s measured meanwhile, and nothing was decided", counted(n, "job"))
		for _, j := range d.Jobs {
			sources = append(sources, rules.Source{File: j.Job.File})
		}
	}
	day := f.day(d.Found)
	switch d.Kind {
	case rules.OutsideLimit:
		if strings.HasPrefix(d.Ended.File, "checks/") {
			sources = append(sources, d.Ended)
			f.add("repeated-until-passed", id, fmt.Sprintf("%s was found outside the limit on %s and passed on %s, with nothing done in between%s", d.Limit.Quantity, day, f.day(d.Until), jobs), sources...)
			return
		}
		f.add("failure-without-case", id, fmt.Sprintf("%s was found outside the limit on %s, and no case was opened%s", d.Limit.Quantity, day, jobs), sources...)
	case rules.NoAsFound:
		f.add("as-found-missing", id, fmt.Sprintf("nothing shows how it measured before what was done on %s%s", day, jobs), sources...)
	case rules.AfterAnEvent:
		f.add("doubt-unresolved", id, fmt.Sprintf("%s is in doubt since the incident of %s, and no case was opened%s", d.Limit.Quantity, day, jobs), sources...)
	case rules.NoReference, rules.Supposed:
	}
}

// undecided reports the jobs of a case on which nothing was decided, unless
// the finding was not confirmed. A closed case that lacks more is reported as such.
func (f *finder) undecided(id string, k *rules.Case) {
	left := k.Undecided()
	if len(left) == 0 || refuted(k) {
		return
	}
	f.add("impact-undecided", id, fmt.Sprintf("case %s does not decide on %s", k.ID, strings.Join(left, ", ")), rules.Source{File: k.Opened.File})
}

// refuted reports whether the finding was looked at again and not confirmed.
func refuted(k *rules.Case) bool {
	out := false
	for _, s := range k.Steps {
		if s.Step == records.CaseVerified {
			out = s.Outcome == records.NotConfirmed
		}
	}
	return out
}

// answering returns the case that is about a doubt: of its quantity, and open
// or closed after it was found; nil: none.
func answering(cases []rules.Case, d *rules.Doubt) *rules.Case {
	for i := range cases {
		k := &cases[i]
		covers := len(k.Quantities) == 0
		for _, q := range k.Quantities {
			covers = covers || q == d.Limit.Quantity
		}
		if covers && (k.Open || !closedAt(k).Time.Before(d.Found)) {
			return k
		}
	}
	return nil
}

// closedAt is the step that last closed a case that is closed.
func closedAt(k *rules.Case) *records.CaseStep {
	out := k.Opened
	for _, s := range k.Steps {
		if s.Step == records.CaseClosed {
			out = s
		}
	}
	return out
}

// casesOf are the cases about a device or an artifact.
func (f *finder) casesOf(id string) []rules.Case {
	for i := range f.Assessment.Devices {
		if d := &f.Assessment.Devices[i]; d.ID == id {
			return d.Cases
		}
	}
	for i := range f.Assessment.Artifacts {
		if a := &f.Assessment.Artifacts[i]; a.ID == id {
			return a.Cases
		}
	}
	return nil
}
