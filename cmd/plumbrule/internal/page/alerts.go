package page

import (
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/rules"
)

// mostCleared is how many alerts that are cleared are listed.
const mostCleared = 50

// alertList is what has been raised, what of it somebody has taken note of, and what is over.
type alertList struct {
	Raised, Acknowledged, Cleared []alertRow
	More                          int // cleared ones that are not listed
}

type alertRow struct {
	ID, Subject, Address  string
	Severity              mark
	Title, Code, Sentence string
	Mend, Kind, Place     string
	Raised, Since         time.Time
	Cleared               time.Time
	By, Why               string
	At                    time.Time // of the acknowledgement
	Sources               []string
}

func (a alertList) title() string { return "Alerts" }
func (a alertList) here() string  { return "/alerts" }
func (a alertList) same() string  { return "/alerts.json" }

func alertsOf(e *edition) alertList {
	var out alertList
	for i := range e.Alerts {
		a := &e.Alerts[i]
		row := alertRowOf(a, e.zone())
		if e.device(a.Subject) != nil {
			row.Address = deviceAddress(a.Subject)
		}
		switch a.State() {
		case alert.Raised:
			out.Raised = append(out.Raised, row)
		case alert.Acknowledged:
			out.Acknowledged = append(out.Acknowledged, row)
		case alert.Cleared:
			if len(out.Cleared) == mostCleared {
				out.More++
				continue
			}
			out.Cleared = append(out.Cleared, row)
		}
	}
	return out
}

func alertRowOf(a *alert.Alert, zone *time.Location) alertRow {
	row := alertRow{
		ID: a.ID, Subject: a.Subject, Severity: severity(a.Severity), Title: rules.TitleOf(a.Code), Code: a.Code, Sentence: a.Sentence,
		Mend: a.Mend, Kind: a.Kind, Place: a.Place, Raised: a.Raised.In(zone), Since: a.Since.In(zone), Sources: a.Sources,
	}
	if !a.Cleared.IsZero() {
		row.Cleared = a.Cleared.In(zone)
	}
	if k := a.Acknowledged; k != nil && a.State() == alert.Acknowledged {
		row.By, row.Why, row.At = k.By, k.Why, k.At.In(zone)
	}
	return row
}

// severity classes how grave an alert is; a remark about a device that is fit is called so.
func severity(text string) mark {
	switch text {
	case alert.Fit:
		return mark{"fit", "remark"}
	case alert.Limited, alert.Unknown, alert.Unfit:
		return mark{text, text}
	}
	return mark{"fault", orElse(text, "unknown")}
}

// raised counts the alerts of which nobody has taken note.
func raised(list []alert.Alert) int {
	n := 0
	for i := range list {
		if list[i].State() == alert.Raised {
			n++
		}
	}
	return n
}
