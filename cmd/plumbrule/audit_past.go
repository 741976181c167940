package main

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/records/calendar"
)

// corrections lists the records entered in the period that correct others.
func (a *audited) corrections() pack.Section {
	t := table.Table{Columns: []table.Column{{Title: "record"}, {Title: "corrects"}, {Title: "entered"}, {Title: "by"}, {Title: "reason"}}}
	type line struct{ file, amends, day, by, reason string }
	var list []line
	for id, checks := range a.set.Checks {
		for _, k := range checks {
			if day := calendar.Of(k.Entered, a.zone); k.Amends != "" && a.uses(k.File) && a.about[id] && a.inPeriod(day) {
				list = append(list, line{k.File, k.Amends, day.String(), k.By, k.Reason})
			}
		}
	}
	for _, certificates := range a.set.Certificates {
		for _, c := range certificates {
			if day := calendar.Of(c.Entered, a.zone); c.Amends != "" && a.uses(c.File) && a.inPeriod(day) {
				list = append(list, line{c.File, c.Amends, day.String(), c.By, c.Reason})
			}
		}
	}
	for _, events := range a.set.Events {
		for _, v := range events {
			if day := calendar.Of(v.Entered, a.zone); v.Amends != "" && a.uses(v.File) && a.inPeriod(day) {
				list = append(list, line{v.File, v.Amends, day.String(), v.By, v.Reason})
			}
		}
	}
	for _, j := range a.set.Jobs {
		if day := calendar.Of(j.Entered, a.zone); j.Amends != "" && a.measuredBy(j) && a.inPeriod(day) {
			list = append(list, line{j.File, j.Amends, day.String(), j.By, j.Reason})
		}
	}
	for _, steps := range a.set.Cases {
		for _, k := range steps {
			if day := calendar.Of(k.Entered, a.zone); k.Amends != "" && a.inPeriod(day) {
				list = append(list, line{k.File, k.Amends, day.String(), k.By, k.Reason})
			}
		}
	}
	slices.SortFunc(list, func(x, y line) int { return strings.Compare(x.day+x.file, y.day+y.file) })
	for _, l := range list {
		t.Add(table.Text(l.file), table.Text(l.amends), table.Text(l.day), table.Text(l.by), table.Text(l.reason))
	}
	return pack.Section{
		ID: "corrections", Title: "Corrections",
		Lead:  []string{"A record is corrected by another one that names it, with reason and author; the first stays as it is. ISO/IEC 17025:2017, 7.5.2."},
		Table: &pack.Table{Name: "corrections", Table: t, Widths: []int{28, 28, 10, 6, 28}, None: "No record was corrected in the period."},
	}
}

// measuredBy tells whether a device that the pack is about measured a job.
func (a *audited) measuredBy(j *records.Job) bool {
	return a.all || slices.ContainsFunc(j.Devices, func(id string) bool { return a.about[id] })
}

// concerns tells whether a file of the past belongs to what the pack is about.
func (a *audited) concerns(f *historyFile) bool {
	return a.all || f.kind == "attached" || a.uses(f.Path)
}

// rewritings lists what was changed, renamed or removed after it was added, as git knows it.
func (a *audited) rewritings() pack.Section {
	s := pack.Section{ID: "rewritten", Title: "Changed, renamed or removed after it was added", Lead: []string{
		"Checks, certificates, events, jobs and steps of cases are evidence, which is corrected and never rewritten. What devices, artifacts and procedures are said to be may change. ISO/IEC 17025:2017, 7.5.2, 7.11.3 and 8.4.",
	}}
	if a.past == nil {
		s.Notes = []string{"Not known: there is no past to look at."}
		return s
	}
	t := table.Table{Columns: []table.Column{{Title: "record"}, {Title: "evidence"}, {Title: "what"}, {Title: "committed"}, {Title: "by"}, {Title: "commit"}}}
	files := 0
	for i := range a.past.files {
		f := &a.past.files[i]
		if !a.concerns(f) {
			continue
		}
		files++
		list := f.afterwards()
		for k := range list {
			c := &list[k]
			commit := a.past.log.Commit(c)
			word, tone := changeWord(c), table.Neutral
			if f.evidence() && c.Rewrites() {
				tone = table.Bad
			}
			if how := mannerText(c); how != "" {
				word += " " + how
			}
			if c.From != "" {
				word += ", was " + c.From
			}
			t.Add(table.Text(c.Path), table.Text(yesNo(f.evidence())), table.Word(word, tone), table.Text(a.past.minute(commit.CommitTime)), table.Text(commit.Author), table.Text(commit.Short()))
		}
	}
	s.Table = &pack.Table{Name: "changed", Table: t, Widths: []int{32, 9, 20, 16, 12, 11}, None: fmt.Sprintf("Of %s in %s, every one is as it was added.", counted(files, "file"), counted(len(a.past.log.Commits), "commit"))}
	s.Notes = append(s.Notes, a.pastDoubts()...)
	return s
}

// pastDoubts are the times in the past that cannot be right.
func (a *audited) pastDoubts() []string {
	var out []string
	for _, d := range a.past.log.Doubts(a.past.set) {
		if out = append(out, upperFirst(a.past.doubtText(d))+"."); len(out) == 20 {
			return append(out, `There are more; "plumbrule history" lists them.`)
		}
	}
	return out
}

func upperFirst(text string) string {
	if text == "" || text[0] < 'a' || text[0] > 'z' {
		return text
	}
	return string(text[0]-'a'+'A') + text[1:]
}
