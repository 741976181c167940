package channel

import (
	"bytes"
	"context"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"
)

// AlertmanagerSettings say where alerts are posted to, and for how long they hold there.
type AlertmanagerSettings struct {
	// HTTPSettings.URL is the receiver's base, without /api/v2/alerts.
	HTTPSettings
	// Hold is how long an alert stands at the receiver after it was sent last; 0: a day. It is long, because an alert that
	// is not heard of any more is not over: if the watcher falls silent, the silence is the alert (see the heartbeat), and
	// "resolved" would be a lie. It has to be at least an hour.
	Hold time.Duration
}

const (
	holdUsual = 24 * time.Hour
	holdLeast = time.Hour
)

// Alertmanager posts alerts to the open alert API of the Prometheus family (POST /api/v2/alerts, OpenAPI description
// version 0.0.1 of that API), which groups, routes and silences them itself.
//
//	labels       alertname = code, device = subject, severity, site; about, kind and place of the device where there are any
//	annotations  summary = sentence; mend, sources, acknowledged where there are any
//	startsAt     when it was raised
//	endsAt       when it was cleared; while it stands, Hold after the message's At
//
// The labels are the alert's name there. When one of them changes, the alert under the former labels is ended with the same
// request; a kind or place that was another before the program's start is not known.
//
// The receiver forgets what it is not told again, also when it starts anew. So, besides sending each change, whoever
// uses the channel sends every few minutes a message with all alerts that stand, its At being the present. Messages without alerts are not sent, except a heartbeat: it stands until its Until as an alert of its own,
// alertname="heartbeat", device="watcher", that is to be routed the other way round: while it stands all is well.
type Alertmanager struct {
	name     string
	settings AlertmanagerSettings
	poster   *poster

	mu    sync.Mutex
	known map[standing]map[string]string // labels of what stands at the receiver
}

// standing names an alert as we do.
type standing struct{ subject, code, about string }

// mostKnown bounds the memory; labels of further alerts are not known.
const mostKnown = 50_000

// NewAlertmanager checks the settings and reads the file of authorities. It talks to nobody. The error is a [*SettingError].
func NewAlertmanager(name string, settings AlertmanagerSettings) (*Alertmanager, error) {
	if settings.Hold == 0 {
		settings.Hold = holdUsual
	}
	if settings.Hold < holdLeast {
		return nil, &SettingError{
			Channel: name, Key: "hold", Found: settings.Hold.String(), Expected: "at least " + holdLeast.String(),
			Mend: "leave it out for " + holdUsual.String(),
		}
	}
	settings.URL = strings.TrimRight(settings.URL, "/") + "/api/v2/alerts"
	poster, err := newPoster(name, "alert receiver", settings.HTTPSettings)
	if err != nil {
		return nil, err
	}
	return &Alertmanager{name: name, settings: settings, poster: poster, known: map[standing]map[string]string{}}, nil
}

// Name returns the channel's name.
func (a *Alertmanager) Name() string { return a.name }

// mostPosted bounds one request. Receivers read a few MiB.
const mostPosted = 1 << 20

// Send posts the message's alerts, in several requests if there are many. To repeat all of them after an error does no harm.
func (a *Alertmanager) Send(ctx context.Context, m Message) error {
	if err := m.sendable(); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, a.poster.settings.Timeout)
	defer cancel()
	if m.Kind == KindHeartbeat {
		m.Alerts = []Alert{{Subject: "watcher", Code: KindHeartbeat, Severity: "fit", Sentence: m.Subject, State: StateRaised, Raised: m.At}}
	}
	var body bytes.Buffer
	for i, alert := range m.Alerts {
		for _, posted := range a.changed(m, alert) {
			if body.Len() > 0 {
				body.WriteByte(',')
			}
			body.Write(marshal(posted))
		}
		if i < len(m.Alerts)-1 && body.Len() < mostPosted {
			continue
		}
		if err := a.poster.post(ctx, slices.Concat([]byte("["), body.Bytes(), []byte("]")), nil); err != nil {
			return err
		}
		body.Reset()
	}
	if m.Kind != KindTest && m.Kind != KindHeartbeat {
		a.remember(m)
	}
	return nil
}

// changed returns the alert as it is posted, and before it, under the labels it had the last time, its end.
func (a *Alertmanager) changed(m Message, alert Alert) []postedAlert {
	now := a.posted(m, alert)
	a.mu.Lock()
	before := a.known[standing{alert.Subject, alert.Code, alert.About}]
	a.mu.Unlock()
	if before == nil && alert.Was != "" {
		before = maps.Clone(now.Labels)
		before["severity"] = field(alert.Was)
	}
	if before == nil || maps.Equal(before, now.Labels) {
		return []postedAlert{now}
	}
	ended := now
	ended.Labels, ended.EndsAt = before, stamp(m.At)
	if m.At.Before(alert.Raised) {
		ended.StartsAt = ended.EndsAt
	}
	return []postedAlert{ended, now}
}

func (a *Alertmanager) remember(m Message) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for _, alert := range m.Alerts {
		name := standing{alert.Subject, alert.Code, alert.About}
		switch {
		case over(alert):
			delete(a.known, name)
		case a.known[name] != nil || len(a.known) < mostKnown:
			a.known[name] = a.posted(m, alert).Labels
		}
	}
}

func over(alert Alert) bool { return alert.State == StateCleared || !alert.Cleared.IsZero() }

// stamp writes an instant as RFC 3339 asks.
func stamp(at time.Time) string { return at.UTC().Format(time.RFC3339Nano) }

type postedAlert struct {
	Labels      map[string]string `json:"labels"`
	Annotations map[string]string `json:"annotations"`
	StartsAt    string            `json:"startsAt"`
	EndsAt      string            `json:"endsAt"`
}

// testHold is how long a test stands: long enough to be routed, and gone by itself.
const testHold = 5 * time.Minute

func (a *Alertmanager) posted(m Message, alert Alert) postedAlert {
	ends := m.At.Add(a.settings.Hold)
	switch {
	case over(alert):
		ends = alert.Cleared
		if ends.IsZero() {
			ends = m.At
		}
	case m.Kind == KindHeartbeat:
		ends = m.Until
	case m.Kind == KindTest:
		ends = m.At.Add(testHold)
	}
	// The receiver refuses an end before the start, which a clock that was set back can bring about.
	starts := alert.Raised
	if ends.Before(starts) {
		starts = ends
	}
	acknowledged := ""
	if alert.Acknowledged != nil {
		acknowledged = alert.Acknowledged.By + ": " + alert.Acknowledged.Why
	}
	return postedAlert{
		Labels: stated(map[string]string{
			"alertname": alert.Code, "device": alert.Subject, "severity": alert.Severity, "site": m.Site,
			"about": alert.About, "kind": alert.DeviceKind, "place": alert.Place,
		}),
		Annotations: stated(map[string]string{
			"summary": alert.Sentence, "mend": alert.Mend, "sources": strings.Join(sourcesOf(alert, mostSources), " "), "acknowledged": acknowledged,
		}),
		StartsAt: stamp(starts), EndsAt: stamp(ends),
	}
}

// stated makes texts harmless and drops those that are empty: to the receiver an empty label is none.
func stated(texts map[string]string) map[string]string {
	for key, text := range texts {
		if texts[key] = field(text); texts[key] == "" {
			delete(texts, key)
		}
	}
	return texts
}
