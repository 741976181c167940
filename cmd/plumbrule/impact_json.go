package main

import (
	"time"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/impact"
)

// impactJSON is what impact prints as JSON: an interface, to which fields are only added.
type impactJSON struct {
	Subject   string             `json:"subject"`
	Kind      string             `json:"kind"` // "device", "artifact" or "certificate"
	At        string             `json:"at"`
	Hindsight bool               `json:"hindsight"`
	Reference *impactFallenJSON  `json:"reference"` // null for a device
	Windows   []impactWindowJSON `json:"windows"`
	Jobs      []impactJobJSON    `json:"jobs"`
	Unread    []sourceJSON       `json:"unreadable_records"`
	Cases     []caseJSON         `json:"cases"`
	Drafts    []string           `json:"drafts"`
}

type impactFallenJSON struct {
	Since   *string  `json:"since"`
	Until   *string  `json:"until"`
	Instead *string  `json:"judged_by"` // file of the later certificate; null: none, the checks are no evidence
	Checks  []string `json:"checks"`
}

// impactWindowJSON is a time in which what a device measured in the range of one limit is in doubt.
type impactWindowJSON struct {
	Device   string              `json:"device"`
	Quantity string              `json:"quantity"`
	Scope    string              `json:"scope"`
	Kind     string              `json:"kind"`
	Found    string              `json:"found"`
	Since    *string             `json:"since"` // null: from the beginning
	Good     *sourceJSON         `json:"begins_with"`
	Until    *string             `json:"until"` // null: it lasts
	Ended    *sourceJSON         `json:"ends_with"`
	Why      string              `json:"error_unknown"` // why no error is known; empty: findings tell
	Findings []impactFindingJSON `json:"findings"`
	Checks   []string            `json:"checks"`
	Jobs     []string            `json:"jobs"`
	Cause    sourceJSON          `json:"cause"`
}

type impactFindingJSON struct {
	Time       string     `json:"time"`
	From       string     `json:"from"` // procedure, or "calibration"
	Feature    string     `json:"feature"`
	ErrorUM    float64    `json:"error_um"`
	ExpandedUM *float64   `json:"expanded_um"`
	MPEUM      float64    `json:"mpe_um"`
	Verdict    string     `json:"verdict"`
	Source     sourceJSON `json:"source"`
}

type impactJobJSON struct {
	Job       string           `json:"job"`
	Title     string           `json:"title"`
	Customer  string           `json:"customer"`
	Begin     string           `json:"begin"`
	End       string           `json:"end"`
	File      string           `json:"file"`
	Most      *float64         `json:"share_most"`
	Unbounded bool             `json:"unbounded"` // some line has no figure
	Decision  *jobDecisionJSON `json:"decision"`
	Lines     []impactLineJSON `json:"lines"`
}

type impactLineJSON struct {
	Window      int      `json:"window"` // index in windows
	Device      string   `json:"device"`
	Quantity    string   `json:"quantity"`
	ToleranceUM float64  `json:"tolerance_um"`
	LengthM     float64  `json:"length_m"`
	PathM       *float64 `json:"path_m"`
	Beyond      bool     `json:"longer_than_checked"`
	ErrorUM     *float64 `json:"error_um"`
	ExpandedUM  *float64 `json:"expanded_um"`
	Share       *float64 `json:"share"`
	Most        *float64 `json:"share_most"`
	Reasons     absences `json:"reasons"`
}

type jobDecisionJSON struct {
	Case     string `json:"case"`
	Decision string `json:"decision"`
	By       string `json:"by"`
	Time     string `json:"time"`
	Reason   string `json:"reason"`
	File     string `json:"file"`
}

// caseJSON is a case; lacks is what is left to do before it can be closed.
type caseJSON struct {
	ID        string            `json:"id"`
	Subject   string            `json:"subject"`
	Open      bool              `json:"open"`
	Opened    string            `json:"opened"`
	Owner     string            `json:"owner"`
	Jobs      []string          `json:"jobs"`
	Decisions []jobDecisionJSON `json:"decisions"`
	Lacks     []string          `json:"lacks"`
	Steps     []string          `json:"steps"` // files
}

func casesJSON(list []rules.Case) []caseJSON {
	out := []caseJSON{}
	for i := range list {
		out = append(out, caseJSONOf(&list[i]))
	}
	return out
}

func caseJSONOf(k *rules.Case) caseJSON {
	out := caseJSON{
		ID: k.ID, Subject: k.Opened.Subject, Open: k.Open, Opened: k.Opened.Time.Format(time.RFC3339), Owner: k.Owner,
		Jobs: append([]string{}, k.Jobs...), Decisions: []jobDecisionJSON{}, Lacks: append([]string{}, k.Lacks...), Steps: []string{},
	}
	for _, id := range k.Jobs {
		if d := jobDecisionJSONOf(k.Decisions[id]); d != nil {
			out.Decisions = append(out.Decisions, *d)
		}
	}
	for _, s := range k.Steps {
		out.Steps = append(out.Steps, s.File)
	}
	return out
}

func jobDecisionJSONOf(s *records.CaseStep) *jobDecisionJSON {
	if s == nil {
		return nil
	}
	return &jobDecisionJSON{s.Case, string(s.Decision), s.By, s.Time.Format(time.RFC3339), s.Reason, s.File}
}

func (x *impacted) json() impactJSON {
	out := impactJSON{
		Subject: x.subject, Kind: x.kind, At: x.at.In(zoneOf(x.set)).Format(time.RFC3339), Hindsight: x.options.Hindsight,
		Windows: []impactWindowJSON{}, Jobs: []impactJobJSON{}, Unread: []sourceJSON{}, Cases: casesJSON(x.cases), Drafts: append([]string{}, x.drafts...),
	}
	if f := x.fallen; f != nil {
		out.Reference = &impactFallenJSON{Since: x.stamp(f.Since), Until: x.stamp(f.Until), Checks: checkFiles(f.Checks)}
		if f.Instead != nil {
			out.Reference.Instead = &f.Instead.File
		}
	}
	at := map[*rules.Doubt]int{}
	for i := range x.doubts {
		at[&x.doubts[i]] = i
		out.Windows = append(out.Windows, x.windowJSON(&x.doubts[i]))
	}
	for i := range x.effects {
		e := &x.effects[i]
		j := impactJobJSON{
			Job: e.Job.ID, Title: e.Job.Title, Customer: e.Job.Customer, Begin: e.Job.Begin.String(), End: e.Job.End.String(), File: e.Job.File,
			Most: e.Most.Value, Unbounded: e.Unbounded, Decision: jobDecisionJSONOf(x.decision(e)), Lines: []impactLineJSON{},
		}
		for n := range e.Lines {
			j.Lines = append(j.Lines, effectLineJSON(&e.Lines[n], at))
		}
		out.Jobs = append(out.Jobs, j)
	}
	for _, u := range x.unread {
		out.Unread = append(out.Unread, sourcesJSON([]rules.Source{{File: u.File, Line: int(u.Position.Line)}})...)
	}
	return out
}

func effectLineJSON(l *impact.Line, at map[*rules.Doubt]int) impactLineJSON {
	why := absences{}
	return impactLineJSON{
		Window: at[l.Doubt], Device: l.Doubt.Device, Quantity: string(l.Measured.Quantity), ToleranceUM: l.Measured.Tolerance.Micrometres(),
		LengthM: l.Measured.Length.Metres(), PathM: metresOrNull(l.Measured.Path), Beyond: l.Beyond, Reasons: why,
		ErrorUM: why.value("error_um", l.ErrorUM), ExpandedUM: why.value("expanded_um", l.ExpandedUM), Share: why.value("share", l.Share), Most: why.value("share_most", l.Most),
	}
}

func (x *impacted) windowJSON(d *rules.Doubt) impactWindowJSON {
	out := impactWindowJSON{
		Device: d.Device, Quantity: string(d.Limit.Quantity), Scope: rangeOf(d.Limit), Kind: string(d.Kind), Found: *x.stamp(d.Found), Since: x.stamp(d.Since),
		Good: sourceOrNull(d.Good), Until: x.stamp(d.Until), Ended: sourceOrNull(d.Ended), Why: d.Why, Findings: []impactFindingJSON{},
		Checks: checkFiles(d.Checks), Jobs: []string{}, Cause: sourcesJSON([]rules.Source{d.Cause})[0],
	}
	for i := range d.Findings {
		e := &d.Findings[i]
		out.Findings = append(out.Findings, impactFindingJSON{
			*x.stamp(e.Time), e.From, e.Feature, e.Decision.ErrorUM, e.Decision.ExpandedUM.Value, e.Decision.MPEUM, string(e.Verdict()), sourcesJSON([]rules.Source{e.Source})[0],
		})
	}
	for _, j := range d.Jobs {
		out.Jobs = append(out.Jobs, j.Job.ID)
	}
	return out
}

// stamp writes an instant at the site; nil for none.
func (x *impacted) stamp(t time.Time) *string {
	if t.IsZero() {
		return nil
	}
	text := t.In(zoneOf(x.set)).Format(time.RFC3339)
	return &text
}

func sourceOrNull(s rules.Source) *sourceJSON {
	if s.File == "" {
		return nil
	}
	return &sourcesJSON([]rules.Source{s})[0]
}

func checkFiles(list []*records.Check) []string {
	out := []string{}
	for _, k := range list {
		out = append(out, k.File)
	}
	return out
}

// csv has one row for each job and line, in the order of the answer.
func (x *impacted) csv() table.Table {
	um := func(title string) table.Column { return table.Column{Title: title, Unit: "µm"} }
	t := table.Table{Columns: []table.Column{
		{Title: "job"},
		{Title: "customer"},
		{Title: "begin"},
		{Title: "end"},
		{Title: "device"},
		{Title: "quantity"},
		um("tolerance"),
		um("error"),
		um("expanded uncertainty"),
		{Title: "share"},
		{Title: "share most"},
		{Title: "unbounded because"},
		{Title: "window since"},
		{Title: "window until"},
		{Title: "decision"},
		{Title: "decided by"},
	}}
	for i := range x.effects {
		e := &x.effects[i]
		decision, by := "", ""
		if s := x.decision(e); s != nil {
			decision, by = string(s.Decision), s.By
		}
		for n := range e.Lines {
			l := &e.Lines[n]
			since, until := x.stamp(l.Doubt.Since), x.stamp(l.Doubt.Until)
			t.Add(table.Text(e.Job.ID), table.Text(e.Job.Customer), table.Text(e.Job.Begin.String()), table.Text(e.Job.End.String()),
				table.Text(l.Doubt.Device), table.Text(string(l.Measured.Quantity)), table.Number("", l.Measured.Tolerance.Micrometres()),
				rawCell(l.ErrorUM), rawCell(l.ExpandedUM), rawCell(l.Share), rawCell(l.Most), table.Text(l.Most.Reason),
				table.Text(textOr(since)), table.Text(textOr(until)), table.Text(decision), table.Text(by))
		}
	}
	return t
}

func textOr(text *string) string {
	if text == nil {
		return ""
	}
	return *text
}
