package page

import (
	"fmt"
	"slices"
	"time"

	"plumbrule/records"
)

// mostFaults is how many diagnostics are listed.
const mostFaults = 500

// recordList is what is wrong with the records, and how the watcher itself is.
type recordList struct {
	Counts           []recordCount
	Errors, Warnings int
	Faults           []fault
	More             int

	Started, Evaluated      time.Time
	Evaluations             int
	Waiting, Taken, Refused int
	Notes                   []string
}

type recordCount struct {
	Kind  string
	Count int
}

type fault struct {
	Where, Code, Message, Mend, Excerpt string
	Severity                            mark
	Related                             []string
}

func (r recordList) title() string { return "Records" }
func (r recordList) here() string  { return "/records" }
func (r recordList) same() string  { return "/records.json" }

func recordsOf(e *edition) recordList {
	h, zone := e.Health, e.zone()
	out := recordList{
		Started: h.Started.In(zone), Evaluated: h.Evaluated.In(zone), Evaluations: h.Evaluations,
		Waiting: h.Waiting, Taken: h.Taken, Refused: h.Refused, Notes: h.Notes, Counts: recordCounts(e.Set),
	}
	list := slices.Clone(e.Diagnostics)
	slices.SortStableFunc(list, func(a, b records.Diagnostic) int { return int(b.Severity) - int(a.Severity) })
	for _, d := range list {
		if d.Severity == records.Error {
			out.Errors++
		} else {
			out.Warnings++
		}
		if len(out.Faults) == mostFaults {
			out.More++
			continue
		}
		out.Faults = append(out.Faults, faultOf(d))
	}
	return out
}

func faultOf(d records.Diagnostic) fault {
	f := fault{Where: at(d.File, d.Position), Code: d.Code, Message: d.Message, Mend: d.Mend, Severity: mark{"limited", "warning"}}
	if d.Severity == records.Error {
		f.Severity = mark{"unfit", "error"}
	}
	f.Excerpt = excerpt(d.Excerpt)
	for _, p := range d.Related {
		f.Related = append(f.Related, at(p.File, p.Position)+": "+p.Text)
	}
	return f
}

func at(file string, p records.Position) string {
	if p.Line == 0 {
		return file
	}
	return fmt.Sprintf("%s:%d:%d", file, p.Line, p.Column)
}

func recordCounts(s *records.Set) []recordCount {
	if s == nil {
		return nil
	}
	out := []recordCount{{"devices", len(s.Devices)}, {"artifacts", len(s.Artifacts)}, {"procedures", len(s.Procedures)}}
	sum := func(kind string, n int) { out = append(out, recordCount{kind, n}) }
	certificates, checks, events := 0, 0, 0
	for _, l := range s.Certificates {
		certificates += len(l)
	}
	for _, l := range s.Checks {
		checks += len(l)
	}
	for _, l := range s.Events {
		events += len(l)
	}
	sum("certificates", certificates)
	sum("checks", checks)
	sum("events", events)
	sum("jobs", len(s.Jobs))
	steps := 0
	for _, l := range s.Cases {
		steps += len(l)
	}
	sum("steps of cases", steps)
	unreadable := map[string]bool{}
	for _, u := range s.Unreadable {
		unreadable[u.File] = true
	}
	sum("unreadable files", len(unreadable))
	return out
}
