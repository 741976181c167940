package dispatch

import (
	"fmt"
	"slices"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/alert/message"
	"plumbrule/cmd/plumbrule/internal/channel"
	"plumbrule/records"
)

// Message makes what a channel sends of a delivery. The error is a refusal: the
// person cannot be told by this channel.
func Message(d *alert.Delivery, site *records.Site) (channel.Message, error) {
	m := channel.Message{ID: d.ID, At: d.At, Kind: string(d.Kind), Site: site.Name, Person: d.Target.Person}
	if site.Zone != nil {
		m.At = m.At.In(site.Zone)
	}
	kind := ""
	if c := site.Channel(d.Target.Channel); c != nil {
		kind = c.Kind
	}
	if kind == records.MailChannel && m.Person != "" {
		to, err := address(site, m.Person)
		if err != nil {
			return m, err
		}
		m.To = []string{to}
	}
	// These two give the alerts alone.
	if kind != records.LogChannel && kind != records.AlertmanagerChannel {
		text := message.Compose(*d, site.Name, site.Zone)
		m.Subject, m.Text, m.HTML = text.Subject, text.Text, text.HTML
	}
	for i := range d.Alerts {
		m.Alerts = append(m.Alerts, alertOf(&d.Alerts[i]))
	}
	return m, nil
}

// address is where a person is written to.
func address(site *records.Site, initials string) (string, error) {
	if p := site.Person(initials); p != nil && p.Mail != "" {
		return p.Mail, nil
	}
	return "", &channel.Error{
		Place: "plumbrule.toml", What: fmt.Sprintf("has no mail address of %s", initials), Mend: "add mail to the person", Refused: true,
	}
}

func alertOf(a *alert.Alert) channel.Alert {
	out := channel.Alert{
		ID: a.ID, Subject: a.Subject, Code: a.Code, About: a.About, DeviceKind: a.Kind, Place: a.Place, Severity: a.Severity,
		Sentence: a.Sentence, Mend: a.Mend, Sources: slices.Clone(a.Sources), State: string(a.State()), Raised: a.Raised, Cleared: a.Cleared,
	}
	if a.Told != nil {
		out.Was = a.Told.Severity
	}
	if k := a.Acknowledged; k != nil {
		out.Acknowledged = &channel.Acknowledgement{By: k.By, Why: k.Why, At: k.At}
	}
	return out
}
