package main

import (
	"errors"
	"fmt"
	"strings"
	"sync"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/rules"
	"plumbrule/rules/audit"
)

// auditCaution stands on every title sheet.
const auditCaution = "This pack shows what the records say, and no more than they say. It supports the judgement of a competent person and does not replace " +
	"it: the laboratory's own procedures, the standards themselves, local codes and licensed practice come first, above all where people's safety hangs on a measurement."

// reckoned is what takes long to find out.
type reckoned struct {
	charts       []deviceCharts
	over         *overTime
	doubts, gaps pack.Section
	findings     []audit.Finding
	answers      []audit.Answer
}

// reckon finds it out, what needs the past at the end. The charts are drawn into the folder.
func (a *audited) reckon(folder *pack.Folder) (*reckoned, error) {
	var r reckoned
	var err error
	if r.charts, err = a.drawCharts(folder); err != nil {
		return nil, errors.Join(err, a.settle())
	}
	a.findDoubts()
	var wait sync.WaitGroup // each of these looks at every check
	var chainErr error
	wait.Go(func() {
		r.over, r.doubts = a.overTime(), a.doubtSection()
		r.gaps, chainErr = a.traceSection(folder)
	})
	if err = a.settle(); err == nil {
		in := a.input()
		r.findings = audit.Findings(in)
		r.answers = audit.Answers(in, r.findings)
	}
	wait.Wait()
	return &r, errors.Join(err, chainErr)
}

// page puts the pack's page together.
func (a *audited) page(facts pack.Facts, r *reckoned) *pack.Page {
	p := &pack.Page{Facts: facts, Title: "Measuring equipment: records for audit", Caution: auditCaution}
	if len(a.devices) == 1 {
		p.Title = "Measuring equipment: records of " + a.devices[0].ID
	}
	p.Period = fmt.Sprintf("%s to %s, as judged for %s", a.from, a.assessment.Today, a.at.In(a.zone).Format("2006-01-02 15:04:05 MST"))
	p.Sections = []pack.Section{
		a.summary(r.answers, r.findings, r.over), clauseSection(r.answers), findingSection(r.findings), a.register(), a.timeSection(r.over), a.chartSection(r.charts),
		episodeSection(r.charts), r.doubts, a.corrections(), a.rewritings(), a.ruleSection(), a.uncertainties(), a.intervals(r.over.judged), r.gaps,
	}
	if len(a.devices) == 1 {
		for i := range p.Sections { // which are short then
			p.Sections[i].Apart = p.Sections[i].ID == "register" || p.Sections[i].ID == "charts" || p.Sections[i].ID == "clauses" || p.Sections[i].ID == "traceability"
		}
		p.Sections = append(p.Sections, a.checkSection(a.devices[0]))
	}
	p.Sections = append(p.Sections, a.recordSection(facts))
	p.Files = []pack.Table{findingTable(r.findings)}
	p.Standing = a.standingSections(facts)
	return p
}

// standingSections are the title sheet's: what the pack was made from, and what is not as sure as it could be.
func (a *audited) standingSections(facts pack.Facts) []pack.Section {
	commit := "none: the records are not committed as they are"
	if a.commit != "" {
		commit = a.commit
		if a.past != nil {
			commit += fmt.Sprintf("\nof %s, by %s: %s", a.past.minute(a.past.log.Tip.CommitTime), a.past.log.Tip.Committer, a.past.log.Tip.Subject)
		}
	}
	about := "all devices of the records, " + counted(len(a.devices), "device")
	if !a.all {
		about = strings.Join(facts.Devices, ", ")
	}
	made := pack.Section{ID: "made-from", Title: "What this was made from", Facts: []pack.Fact{
		{Name: "About", Value: about},
		{Name: "Judged for", Value: facts.At + ", " + a.set.Site.TimeZone},
		{Name: "Commit", Value: commit},
		{Name: "Program", Value: facts.Version + "; what validates it: plumbrule selftest"},
		{Name: "Makes it again", Value: commandLine(facts.Command)},
		{Name: "Proves it unchanged", Value: "sha256sum --check --quiet " + pack.Manifest},
	}}
	sure := pack.Section{ID: "standing", Title: "What it cannot show"}
	if len(a.cautions) == 0 {
		sure.Lead = []string{"The records are committed as they are, their past is whole, and every record could be read."}
	}
	sure.Lead = append(sure.Lead, a.cautions...)
	return []pack.Section{made, sure}
}

// commandLine writes a command for a shell.
func commandLine(words []string) string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = w
		if w == "" || strings.ContainsFunc(w, func(r rune) bool {
			return !strings.ContainsRune("+-./:=@_", r) && (r < '0' || r > '9') && (r < 'A' || r > 'Z') && (r < 'a' || r > 'z')
		}) {
			out[i] = "'" + strings.ReplaceAll(w, "'", `'\''`) + "'"
		}
	}
	return strings.Join(out, " ")
}

// summary counts what the sections list.
func (a *audited) summary(answers []audit.Answer, findings []audit.Finding, over *overTime) pack.Section {
	s := pack.Section{ID: "summary", Title: "Summary"}
	byFitness := map[rules.Fitness][]string{}
	for _, d := range a.devices {
		byFitness[d.Fitness] = append(byFitness[d.Fitness], d.ID)
	}
	for _, f := range fitnesses() {
		if list := byFitness[f]; len(list) > 0 {
			s.Facts = append(s.Facts, pack.Fact{Name: "Devices " + string(f), Value: few(list)})
		}
	}
	states := map[audit.State]int{}
	for _, x := range answers {
		states[x.State]++
	}
	if len(answers) > 0 {
		s.Facts = append(s.Facts, pack.Fact{Name: "Clauses asked", Value: fmt.Sprintf("%d: %d answered, %d partly, %d gaps, %d not applicable",
			len(answers), states[audit.Answered], states[audit.Partly], states[audit.Gap], states[audit.NotApplicable])})
	}
	s.Facts = append(s.Facts,
		pack.Fact{Name: "Findings", Value: counted(len(findings), "thing") + " an auditor would find"},
		pack.Fact{Name: "Overdue in the period", Value: counted(len(over.late), "time")},
	)
	open, closed := 0, 0
	for _, d := range a.devices {
		for i := range d.Cases {
			if d.Cases[i].Open {
				open++
			} else {
				closed++
			}
		}
	}
	s.Facts = append(s.Facts, pack.Fact{Name: "Cases", Value: fmt.Sprintf("%d open, %d closed", open, closed)})
	if a.past != nil {
		n := 0
		for i := range a.past.files {
			if f := &a.past.files[i]; f.evidence() && f.rewritten() && a.concerns(f) {
				n++
			}
		}
		s.Facts = append(s.Facts, pack.Fact{Name: "Evidence rewritten", Value: strings.Replace(counted(n, "file"), "0 files", "none, as far as git knows the past", 1)})
	}
	return s
}

// few lists names, and counts those beyond what a reader takes in.
func few(list []string) string {
	const most = 24
	if len(list) > most {
		return fmt.Sprintf("%d: %s and %d more", len(list), strings.Join(list[:most], ", "), len(list)-most)
	}
	return fmt.Sprintf("%d: %s", len(list), strings.Join(list, ", "))
}
