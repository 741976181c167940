package main

import (
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// The JSON of status is an interface: fields are added, never renamed.
type statusJSON struct {
	Site      string         `json:"site"`
	At        string         `json:"at"`
	Commit    *string        `json:"commit"` // whose records these are
	Date      string         `json:"date"`
	Hindsight bool           `json:"hindsight"`
	Later     int            `json:"later_records"`
	Devices   []deviceJSON   `json:"devices"`
	Artifacts []artifactJSON `json:"artifacts"`
}

// artifactJSON is an artifact; usable is whether a check made with it now would be evidence, and objection why not.
type artifactJSON struct {
	ID          string  `json:"id"`
	Kind        string  `json:"kind"`
	Serial      string  `json:"serial"`
	Service     string  `json:"service"`
	Usable      bool    `json:"usable"`
	Objection   string  `json:"objection"`
	Calibration dueJSON `json:"calibration"`

	Cases []caseJSON `json:"cases"`
}

type deviceJSON struct {
	ID          string       `json:"id"`
	Kind        string       `json:"kind"`
	Serial      string       `json:"serial"`
	Fitness     string       `json:"fitness"`
	May         []scopeJSON  `json:"may"`
	MayNot      []scopeJSON  `json:"may_not"`
	Service     serviceJSON  `json:"service"`
	Calibration dueJSON      `json:"calibration"`
	Checks      []dueJSON    `json:"checks"`
	Reasons     []reasonJSON `json:"reasons"`
	Cases       []caseJSON   `json:"cases"`
}

type scopeJSON struct {
	Quantity string `json:"quantity"`
	Text     string `json:"text"`
}

type serviceJSON struct {
	State    string `json:"state"`
	Since    string `json:"since"`
	Location string `json:"location"`
	Owner    string `json:"owner"`
	Firmware string `json:"firmware"`
}

type dueJSON struct {
	What     string  `json:"what"`
	State    string  `json:"state"`
	Last     *string `json:"last"`
	Due      *string `json:"due"`
	Planned  *string `json:"planned"`
	Interval string  `json:"interval"`
	Extended bool    `json:"extended"`
	Extra    bool    `json:"extra"`
}

type reasonJSON struct {
	Code       string       `json:"code"`
	Effect     string       `json:"effect"`
	Sentence   string       `json:"sentence"`
	Quantities []string     `json:"quantities"`
	Sources    []sourceJSON `json:"sources"`
}

type sourceJSON struct {
	File string `json:"file"`
	Line *int   `json:"line"`
}

func (j *judged) statusJSON(devices []*rules.Device) statusJSON {
	out := statusJSON{At: j.at.Format(time.RFC3339), Commit: commitOrNull(j.commit), Date: dateText(j.assessment.Today), Hindsight: j.options.Hindsight, Later: j.assessment.Later, Devices: []deviceJSON{}, Artifacts: []artifactJSON{}}
	if j.set.Site != nil {
		out.Site = j.set.Site.Name
		out.At = j.at.In(j.set.Site.Zone).Format(time.RFC3339)
	}
	for _, d := range devices {
		out.Devices = append(out.Devices, deviceJSONOf(d))
	}
	for _, a := range j.assessment.Artifacts {
		row := artifactJSON{ID: a.ID, Service: string(a.Service), Usable: a.Code == "", Objection: a.Objection, Calibration: dueJSONOf(a.Calibration), Cases: casesJSON(a.Cases)}
		if a.Record != nil {
			row.Kind, row.Serial = a.Record.Kind, a.Record.Serial
		}
		out.Artifacts = append(out.Artifacts, row)
	}
	return out
}

func deviceJSONOf(d *rules.Device) deviceJSON {
	out := deviceJSON{
		ID: d.ID, Fitness: string(d.Fitness), May: scopesJSON(d.May), MayNot: scopesJSON(d.MayNot),
		Calibration: dueJSONOf(d.Calibration), Checks: []dueJSON{}, Reasons: reasonsJSON(d.Reasons), Cases: casesJSON(d.Cases),
		Service: serviceJSON{string(d.Service.State), dateText(d.Service.Since), d.Service.Location, d.Service.Owner, d.Service.Firmware},
	}
	if d.Record != nil {
		out.Kind, out.Serial = d.Record.Kind, d.Record.Serial
		out.wholly(d)
	}
	for _, c := range d.Checks {
		out.Checks = append(out.Checks, dueJSONOf(c))
	}
	return out
}

func reasonsJSON(list []rules.Reason) []reasonJSON {
	out := []reasonJSON{}
	for _, r := range list {
		out = append(out, reasonJSON{r.Code, string(r.Effect), r.Sentence, quantityTexts(r.Quantities), sourcesJSON(r.Sources)})
	}
	return out
}

// wholly fills in what a device that is not limited may or may not measure: all its limits.
func (out *deviceJSON) wholly(d *rules.Device) {
	if d.Fitness == rules.Limited {
		return
	}
	all := []scopeJSON{}
	for i := range d.Record.Limits {
		l := &d.Record.Limits[i]
		s := rules.Scope{Quantity: l.Quantity, Limit: l}
		all = append(all, scopeJSON{string(l.Quantity), s.String()})
	}
	if d.Fitness == rules.Fit {
		out.May = all
		return
	}
	out.MayNot = all
}

func dueJSONOf(d rules.Due) dueJSON {
	return dueJSON{
		What: d.What, State: string(d.State), Last: dateOrNull(d.Last), Due: dateOrNull(d.Date), Planned: dateOrNull(d.Planned),
		Interval: d.Interval.String(), Extended: d.Extension != nil, Extra: d.Extra,
	}
}

func dateOrNull(d calendar.Date) *string {
	if d.IsZero() {
		return nil
	}
	text := d.String()
	return &text
}

func scopesJSON(list []rules.Scope) []scopeJSON {
	out := []scopeJSON{}
	for _, s := range list {
		out = append(out, scopeJSON{string(s.Quantity), s.String()})
	}
	return out
}

func sourcesJSON(list []rules.Source) []sourceJSON {
	out := []sourceJSON{}
	for _, s := range list {
		j := sourceJSON{File: s.File}
		if s.Line > 0 {
			j.Line = &s.Line
		}
		out = append(out, j)
	}
	return out
}

func quantityTexts(list []records.Quantity) []string {
	out := []string{}
	for _, q := range list {
		out = append(out, string(q))
	}
	return out
}
