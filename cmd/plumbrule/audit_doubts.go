package main

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/impact"
)

// doubtSection lists the times in which results were in doubt, what became of the jobs in them, and the cases.
func (a *audited) doubtSection() pack.Section {
	s := pack.Section{ID: "doubts", Title: "Results in doubt, and cases", Lead: []string{
		"Errors outside a limit, adjustments without as found and incidents: from the last good evidence to what ended it, with the jobs in between. ISO/IEC 17025:2017, 6.4.9 and 7.10.1.",
	}}
	windows := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "what"}, {Title: "from"}, {Title: "to"}, {Title: "found"}, {Title: "jobs", Align: table.Right}, {Title: "case"}}}
	jobs := table.Table{Columns: []table.Column{{Title: "job"}, {Title: "customer"}, {Title: "device"}, {Title: "measured"}, {Title: "tolerance used up", Unit: "%", Align: table.Right}, {Title: "decision"}}}
	for _, d := range a.devices {
		var inside []rules.Doubt
		for _, x := range a.doubts[d.ID] {
			if x.Until.IsZero() || !x.Until.Before(a.from.StartIn(a.zone)) {
				inside = append(inside, x)
			}
		}
		for i := range inside {
			a.window(&windows, d, &inside[i])
		}
		for _, e := range impact.Of(inside, "") {
			a.doubtfulJob(&jobs, d, &e)
		}
	}
	s.Parts = []pack.Section{
		{ID: "windows", Title: "Times in doubt", Table: &pack.Table{Name: "doubts", Table: windows, Widths: []int{10, 14, 15, 15, 25, 5, 16}, None: "Nothing was in doubt in the period."}},
		{ID: "jobs-in-doubt", Title: "Jobs in doubt", Notes: []string{
			"The error found, brought to the job by the form of the device's limit, with its uncertainty, as a part of half the job's tolerance; at 100 % a part in the middle of its zone may lie on the edge. A figure that does not exist cannot be bounded by the records.",
		}, Table: &pack.Table{Name: "jobs-in-doubt", Table: jobs, Widths: []int{12, 14, 12, 24, 14, 24}, None: "No job lies in a time of doubt."}},
	}
	s.Parts = append(s.Parts, a.caseSection())
	return s
}

func (a *audited) window(t *table.Table, d *rules.Device, x *rules.Doubt) {
	found := string(x.Kind)
	if len(x.Findings) > 0 {
		found = findingWords(&x.Findings[0])
	} else if x.Why != "" {
		found += ": " + x.Why
	}
	since, until := "the beginning", "lasts"
	if !x.Since.IsZero() {
		since = a.stampMinute(x)
	}
	if !x.Until.IsZero() {
		until = x.Until.In(a.zone).Format("2006-01-02 15:04")
	}
	var cases []string
	for i := range d.Cases {
		c := &d.Cases[i]
		if c.Opened.Finding != "" && x.Cause.File == strings.TrimSuffix(c.Opened.Finding, ".toml")+".toml" || !c.Found.IsZero() && c.Found.Equal(x.Found) {
			cases = append(cases, c.ID)
		}
	}
	in := table.Word("none", table.Doubtful)
	if len(cases) > 0 {
		in = table.Text(strings.Join(cases, ", "))
	}
	t.Add(table.Text(d.ID), table.Text(rangeOf(x.Limit)), table.Text(since), table.Text(until), table.Text(found), table.Count(len(x.Jobs)), in)
}

func (a *audited) stampMinute(x *rules.Doubt) string {
	return x.Since.In(a.zone).Format("2006-01-02 15:04")
}

func (a *audited) doubtfulJob(t *table.Table, d *rules.Device, e *impact.Effect) {
	var measured []string
	for i := range e.Lines {
		m := e.Lines[i].Measured
		words := fmt.Sprintf("%s, tolerance %s", m.Quantity, m.Tolerance)
		if len(measured) == 0 || measured[len(measured)-1] != words {
			measured = append(measured, words)
		}
	}
	var most table.Cell
	switch v := e.Most.Value; {
	case v == nil:
		most = table.Word("no bound", table.Bad)
	case e.Unbounded:
		most = table.Word(fmt.Sprintf("%.0f, and more without a bound", *v*100), table.Bad)
	default:
		most = table.Number(fmt.Sprintf("%.0f", *v*100), *v*100)
	}
	decision := table.Word("none recorded", table.Doubtful)
	for i := range d.Cases {
		if k := d.Cases[i].Decisions[e.Job.ID]; k != nil {
			decision = table.Text(fmt.Sprintf("%s, by %s on %s", k.Decision, k.By, a.day(k.Time)))
		}
	}
	t.Add(table.Text(e.Job.ID), table.Text(orElse(e.Job.Customer, "none stated")), table.Text(d.ID), table.Text(lines(measured, 3)), most, decision)
}

// caseSection tells the cases step by step.
func (a *audited) caseSection() pack.Section {
	s := pack.Section{ID: "cases", Title: "Cases"}
	told := map[string]bool{}
	tell := func(list []rules.Case) {
		for i := range list {
			c := &list[i]
			if told[c.ID] {
				continue
			}
			told[c.ID] = true
			state := "closed"
			if c.Open {
				state = "open"
				if len(c.Lacks) > 0 {
					state += "; left to do: " + strings.Join(c.Lacks, "; ")
				}
			}
			columns := []table.Column{{Title: "step"}, {Title: "when"}, {Title: "by"}, {Title: "what"}, {Title: "record"}}
			last := len(columns) - 1 // the record, whose name on the page would only say the first two again
			t, whole := table.Table{Columns: columns[:last]}, table.Table{Columns: columns}
			for _, k := range c.Steps {
				cells := []table.Cell{spaced(string(k.Step)), table.Text(k.Time.In(a.zone).Format("2006-01-02 15:04")), table.Text(k.By), table.Text(caseStepText(k)), table.Text(k.File)}
				t.Add(cells[:last]...)
				whole.Add(cells...)
			}
			s.Parts = append(s.Parts, pack.Section{
				ID: fmt.Sprintf("case-%d", len(told)), Title: fmt.Sprintf("%s, about %s", c.ID, c.Opened.Subject), Lead: []string{upperFirst(state) + ". Seen to by " + orElse(c.Owner, "nobody named") + "."},
				Table: &pack.Table{Name: fmt.Sprintf("case-%03d", len(told)), Table: t, Whole: &whole, Widths: []int{14, 17, 8, 61}, None: "It has no step."},
			})
		}
	}
	for _, d := range a.devices {
		tell(d.Cases)
	}
	for _, x := range a.assessment.Artifacts {
		if a.all || a.reliesOn(x.ID) {
			tell(x.Cases)
		}
	}
	if len(told) == 0 {
		s.Notes = []string{"No case was opened."}
	}
	return s
}

func caseStepText(k *records.CaseStep) string {
	var jobs string
	if len(k.Jobs) > 0 {
		jobs = plural(len(k.Jobs), "job") + " " + strings.Join(k.Jobs, ", ")
	}
	words := []string{notEmpty(": ", jobs, notEmpty(", ", string(k.Outcome), string(k.Decision))), k.Reason, k.Note}
	if k.Evidence != "" {
		words = append(words, "rests on "+k.Evidence)
	}
	if k.Customer != "" {
		words = append(words, "told to "+k.Customer)
	}
	switch {
	case !k.Since.IsZero() && !k.Until.IsZero():
		words = append(words, fmt.Sprintf("in doubt from %s to %s", k.Since, k.Until))
	case !k.Since.IsZero():
		words = append(words, "in doubt since "+k.Since.String())
	}
	return notEmpty("\n", words...)
}
