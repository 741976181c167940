package main

import (
	"fmt"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules"
)

// alertsJSON is what alerts prints as JSON: an interface, to which fields are only added.
type alertsJSON struct {
	At     string      `json:"at"`
	Alerts []alertJSON `json:"alerts"`
}

type alertJSON struct {
	ID             string   `json:"id"`
	Subject        string   `json:"subject"`
	Code           string   `json:"code"`
	About          string   `json:"about"` // what of the subject, where one code can stand several times
	Severity       string   `json:"severity"`
	State          string   `json:"state"` // "raised", "acknowledged" or "cleared"
	Sentence       string   `json:"sentence"`
	Mend           string   `json:"mend"`
	Kind           string   `json:"kind"` // of the device
	Location       string   `json:"location"`
	Sources        []string `json:"sources"` // file:line
	Raised         string   `json:"raised"`
	Cleared        string   `json:"cleared"`         // empty while it stands
	AcknowledgedBy string   `json:"acknowledged_by"` // empty: nobody has
	Acknowledged   string   `json:"acknowledged"`    // when
	Reason         string   `json:"reason"`          // why no more need be said
}

// alertList is what stands, as the watcher has noted it.
type alertList struct {
	at   time.Time
	zone *time.Location
	list []alert.Alert
}

func (b *notebook) chosen(list []alert.Alert, cleared bool) *alertList {
	a := &alertList{at: b.at, zone: time.UTC}
	if b.site != nil && b.site.Zone != nil {
		a.zone = b.site.Zone
	}
	for i := range list {
		if cleared || list[i].State() != alert.Cleared {
			a.list = append(a.list, list[i])
		}
	}
	return a
}

// raised counts what nobody has acknowledged.
func (a *alertList) raised() int {
	n := 0
	for i := range a.list {
		if a.list[i].State() == alert.Raised {
			n++
		}
	}
	return n
}

func (a *alertList) answer() answer {
	t := table.Table{Columns: []table.Column{{Title: "alert"}, {Title: "subject"}, {Title: "is"}, {Title: "since"}, {Title: "what", Wrap: true}}}
	raw := table.Table{Columns: []table.Column{
		{Title: "id"},
		{Title: "subject"},
		{Title: "code"},
		{Title: "about"},
		{Title: "severity"},
		{Title: "state"},
		{Title: "raised"},
		{Title: "cleared"},
		{Title: "acknowledged by"},
		{Title: "sentence"},
	}}
	p := &page{}
	out := alertsJSON{At: a.stamp(a.at), Alerts: []alertJSON{}}
	for i := range a.list {
		x := &a.list[i]
		by := ""
		if x.Acknowledged != nil {
			by = x.Acknowledged.By
		}
		t.Add(table.Text(x.ID), table.Text(x.Subject), a.word(x), table.Text(a.short(x.Raised)), table.Text(titleOfAlert(x)))
		raw.Add(table.Text(x.ID), table.Text(x.Subject), table.Text(x.Code), table.Text(x.About), table.Text(x.Severity),
			table.Text(string(x.State())), table.Text(a.stamp(x.Raised)), table.Text(a.stamp(x.Cleared)), table.Text(by), table.Text(x.Sentence))
		out.Alerts = append(out.Alerts, a.json(x))
		p.item("%s %s: %s", x.ID, x.Subject, x.Sentence)
		if x.Acknowledged != nil {
			p.sub("%s, %s: %s", x.Acknowledged.By, a.short(x.Acknowledged.At), x.Acknowledged.Why)
		}
	}
	answered := answer{JSON: out, CSV: raw, Above: []string{a.headline()}, Table: t, Page: p}
	if len(a.list) == 0 {
		answered.Table = table.Table{}
	}
	return answered
}

func (a *alertList) headline() string {
	if len(a.list) == 0 {
		return "No alert stands. What the watcher has noted counts; \"plumbrule status\" judges anew."
	}
	counts := map[alert.State]int{}
	for i := range a.list {
		counts[a.list[i].State()]++
	}
	var parts []string
	for _, s := range []alert.State{alert.Raised, alert.Acknowledged, alert.Cleared} {
		if counts[s] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", counts[s], s))
		}
	}
	return a.short(a.at) + ": " + strings.Join(parts, ", ")
}

// word says how grave an alert is, and how far it has come.
func (a *alertList) word(x *alert.Alert) table.Cell {
	switch x.State() {
	case alert.Cleared:
		return table.Text("cleared")
	case alert.Acknowledged:
		return table.Word(x.Severity+", acknowledged", table.Doubtful)
	case alert.Raised:
	}
	if alert.Rank(x.Severity) >= alert.Rank(alert.Unfit) {
		return table.Word(x.Severity, table.Bad)
	}
	return table.Word(x.Severity, table.Doubtful)
}

// titleOfAlert says in a few words what an alert is.
func titleOfAlert(x *alert.Alert) string {
	title := rules.TitleOf(x.Code)
	if title == x.Code {
		title = strings.ReplaceAll(x.Code, "-", " ") // of the watcher's own
	}
	return title
}

func (a *alertList) json(x *alert.Alert) alertJSON {
	out := alertJSON{
		ID: x.ID, Subject: x.Subject, Code: x.Code, About: x.About, Severity: x.Severity, State: string(x.State()), Sentence: x.Sentence, Mend: x.Mend,
		Kind: x.Kind, Location: x.Place, Sources: append([]string{}, x.Sources...), Raised: a.stamp(x.Raised), Cleared: a.stamp(x.Cleared),
	}
	if k := x.Acknowledged; k != nil {
		out.AcknowledgedBy, out.Acknowledged, out.Reason = k.By, a.stamp(k.At), k.Why
	}
	return out
}

func (a *alertList) stamp(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.In(a.zone).Format(time.RFC3339)
}

func (a *alertList) short(t time.Time) string { return t.In(a.zone).Format("2006-01-02 15:04") }
