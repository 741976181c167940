package page

import (
	"fmt"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/records"
	"plumbrule/rules"
)

// devicePage is all that is known of one device.
type devicePage struct {
	ID, Kind, Serial, Maker string
	Place, Owner, Firmware  string
	Service                 string
	File                    string
	Fitness                 mark
	May, MayNot             string // of a limited device
	Reasons                 []reason
	Alerts                  []alertRow
	Due                     []dueLine
	Limits                  []limitRow
	Evidence                []evidenceRow
	Charts                  []chartPicture
	History                 []happening
}

type reason struct {
	Effect                mark
	Title, Code, Sentence string
	Mend                  string
	Sources               []string
}

type dueLine struct {
	What     string
	Due      dueDate
	Last     string
	Interval string
	Why      string // of an extension
	Sources  []string
}

type limitRow struct {
	Quantity, MPE, Length, Range string
}

type evidenceRow struct {
	Quantity, Feature, From, Time string
	Error, Limit, Expanded        string // µm
	Verdict                       mark
	Source                        string
}

type chartPicture struct {
	Address, Title, State string
	Signals               bool
}

type happening struct {
	Day, Kind, By, Reason, File string
}

func (d devicePage) title() string { return cut(d.ID, 80) }
func (d devicePage) here() string  { return "" }
func (d devicePage) same() string  { return deviceAddress(d.ID) + "/explain.json" }

func deviceOf(e *edition, d *rules.Device) devicePage {
	out := devicePage{ID: d.ID, Kind: kindOf(d), Fitness: fitness(d.Fitness)}
	if d.Fitness == rules.Limited {
		out.May, out.MayNot = orElse(scopes(d.May), "nothing"), orElse(scopes(d.MayNot), "nothing")
	}
	mends := map[string]string{}
	for _, c := range rules.ReasonCodes() {
		mends[c.ID] = c.Mend
	}
	for _, r := range d.Reasons {
		one := reason{Effect: fitness(r.Effect), Title: rules.TitleOf(r.Code), Code: r.Code, Sentence: r.Sentence, Mend: mends[r.Code]}
		for _, s := range r.Sources {
			one.Sources = append(one.Sources, place(s))
		}
		out.Reasons = append(out.Reasons, one)
	}
	for i := range e.Alerts {
		if a := &e.Alerts[i]; a.Subject == d.ID && a.State() != alert.Cleared {
			out.Alerts = append(out.Alerts, alertRowOf(a, e.zone()))
		}
	}
	for i := range d.Evidence {
		out.Evidence = append(out.Evidence, evidenceRowOf(&d.Evidence[i], e.zone()))
	}
	out.Charts = chartsOf(d)
	if d.Record == nil {
		return out
	}
	r := d.Record
	out.Serial, out.Maker, out.File = r.Serial, strings.TrimSpace(r.Maker+" "+r.Model), r.File
	out.Place, out.Owner, out.Firmware = d.Service.Location, d.Service.Owner, d.Service.Firmware
	out.Service = fmt.Sprintf("%s since %s", d.Service.State, show.Date(d.Service.Since))
	for _, due := range append([]rules.Due{d.Calibration}, d.Checks...) {
		if due.What != "" {
			out.Due = append(out.Due, dueLineOf(due))
		}
	}
	for i := range r.Limits {
		out.Limits = append(out.Limits, limitRowOf(&r.Limits[i]))
	}
	for _, h := range d.Service.History {
		out.History = append(out.History, happening{h.Time.In(e.zone()).Format("2006-01-02"), string(h.Kind), h.By, h.Reason, h.File})
	}
	return out
}

func dueLineOf(d rules.Due) dueLine {
	out := dueLine{What: d.What, Due: dueDateOf(d)}
	if !d.Last.IsZero() {
		out.Last = d.Last.String()
	}
	if !d.Interval.IsZero() {
		out.Interval = d.Interval.String()
	}
	if d.Extension != nil {
		out.Why = fmt.Sprintf("planned for %s, put off: %s", d.Planned, d.Extension.Reason)
	}
	for _, s := range d.Sources {
		out.Sources = append(out.Sources, place(s))
	}
	return out
}

func limitRowOf(l *records.Limit) limitRow {
	out := limitRow{Quantity: string(l.Quantity), MPE: l.MPE.String(), Range: "any length"}
	if l.MPE.GrowsWithLength() {
		out.Length = "L is the straight distance"
		if l.CountsPath() {
			out.Length = "L is the path travelled"
		}
	}
	var ends []string
	if !l.Over.IsZero() {
		ends = append(ends, "over "+l.Over.String())
	}
	if !l.UpTo.IsZero() {
		ends = append(ends, "up to "+l.UpTo.String())
	}
	if len(ends) > 0 {
		out.Range = strings.Join(ends, ", ")
	}
	return out
}

func evidenceRowOf(e *rules.Evidence, zone *time.Location) evidenceRow {
	d := &e.Decision
	places := 1
	expanded := ""
	if u := d.ExpandedUM.Value; u != nil {
		places = max(places, show.Decimals(*u))
		expanded = show.Fixed(*u, places)
	}
	layout := "2006-01-02 15:04"
	if e.Judgement == nil {
		layout = "2006-01-02"
	}
	return evidenceRow{
		Quantity: string(e.Quantity), Feature: e.Feature, From: e.From, Time: e.Time.In(zone).Format(layout),
		Error: show.Signed(d.ErrorUM, places), Limit: show.Fixed(d.MPEUM, places), Expanded: expanded,
		Verdict: verdict(string(d.Verdict)), Source: place(e.Source),
	}
}

// verdict classes a verdict: passed, failed, or neither.
func verdict(text string) mark {
	class := "unknown"
	switch {
	case strings.HasSuffix(text, "pass"):
		class = "fit"
	case strings.HasSuffix(text, "fail"):
		class = "unfit"
	}
	return mark{class, strings.ReplaceAll(text, "-", " ")}
}
