package channel_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/channel"
)

func receiverAt(at string) channel.AlertmanagerSettings {
	s := channel.AlertmanagerSettings{Hold: time.Hour}
	s.URL, s.Timeout = at, 10*time.Second
	return s
}

func newAlertmanager(t *testing.T, settings channel.AlertmanagerSettings) *channel.Alertmanager {
	t.Helper()
	a, err := channel.NewAlertmanager("central", settings)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// told is an alert as the receiver gets it.
type told struct {
	Labels, Annotations map[string]string
	StartsAt, EndsAt    string
}

func toldIn(t *testing.T, r received) (all []told) {
	t.Helper()
	decoder := json.NewDecoder(strings.NewReader(r.Body))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&all); err != nil {
		t.Fatalf("%v in %s", err, r.Body)
	}
	return all
}

func TestAlertmanager(t *testing.T) {
	h := newHook(t, nil)
	outcome{}.check(t, send(t, newAlertmanager(t, receiverAt(h.URL+"/prefix/")), failedCheck()))
	got := h.all()
	if len(got) != 1 || got[0].Method != http.MethodPost || got[0].Path != "/prefix/api/v2/alerts" || !strings.HasPrefix(got[0].Header.Get("Content-Type"), "application/json") {
		t.Fatalf("got %v", got)
	}
	want := []told{
		{
			Labels: map[string]string{
				"alertname": "check-failed", "device": "scan-02", "severity": "unfit", "site": "Propellerwerk Nord", "about": "A-C", "kind": "handheld scanner", "place": "hall 3",
			},
			Annotations: map[string]string{
				"summary": "the check of 2 November failed: A-C, error +78 µm, limit 66 µm", "mend": "check again, then have it calibrated",
				"sources": "checks/scan-02/2026/2026-11-02T0712-bar-weekly.toml:14",
			},
			StartsAt: "2026-11-02T06:29:00Z", EndsAt: "2026-11-02T07:30:00Z",
		},
		{
			Labels:      map[string]string{"alertname": "calibration-overdue", "device": "gauge-11", "severity": "unfit", "site": "Propellerwerk Nord"},
			Annotations: map[string]string{"summary": "calibration was due on 31 October", "acknowledged": "mk: at the laboratory until Friday"},
			StartsAt:    "2026-10-31T06:30:00Z", EndsAt: "2026-11-02T07:30:00Z",
		},
		{
			Labels:      map[string]string{"alertname": "certificate-expired", "device": "bar-3s", "severity": "unknown", "site": "Propellerwerk Nord"},
			Annotations: map[string]string{"summary": "its certificate expired"},
			StartsAt:    "2026-10-30T06:30:00Z", EndsAt: "2026-11-02T05:30:00Z",
		},
	}
	if diff := cmp.Diff(want, toldIn(t, got[0])); diff != "" {
		t.Error(diff)
	}
}

// To the receiver an alert is its labels: an alert whose severity changes is a new one, and the former has to end.
func TestAlertmanagerEndsWhatHasChanged(t *testing.T) {
	h := newHook(t, nil)
	a := newAlertmanager(t, receiverAt(h.URL))
	m := failedCheck()
	m.Alerts = m.Alerts[:1]
	tell := func(after time.Duration, severity string, cleared bool) string {
		m.At = instant().Add(after)
		m.Alerts[0].Severity = severity
		m.Alerts[0].State, m.Alerts[0].Cleared = channel.StateRaised, time.Time{}
		if cleared {
			m.Alerts[0].State, m.Alerts[0].Cleared = channel.StateCleared, m.At
		}
		outcome{}.check(t, send(t, a, m))
		got := h.all()
		var out []string
		for _, alert := range toldIn(t, got[len(got)-1]) {
			out = append(out, alert.Labels["severity"]+" ends "+alert.EndsAt[11:16])
		}
		return strings.Join(out, ", ")
	}
	for _, c := range []struct {
		after    time.Duration
		severity string
		cleared  bool
		want     string
	}{
		{0, "limited", false, "limited ends 07:30"},
		{time.Minute, "limited", false, "limited ends 07:31"},
		{2 * time.Minute, "unfit", false, "limited ends 06:32, unfit ends 07:32"},
		{3 * time.Minute, "unfit", false, "unfit ends 07:33"},
		{4 * time.Minute, "unfit", true, "unfit ends 06:34"},
		{5 * time.Minute, "limited", false, "limited ends 07:35"},
		{6 * time.Minute, "unfit", true, "limited ends 06:36, unfit ends 06:36"},
	} {
		if got := tell(c.after, c.severity, c.cleared); got != c.want {
			t.Errorf("after %s: %s, want %s", c.after, got, c.want)
		}
	}
}

// After a restart the labels posted before are not known, but the severity the reader was told is.
func TestAlertmanagerEndsWhatHasChangedOverARestart(t *testing.T) {
	for was, want := range map[string][]string{
		"":        {"unfit ends 07:30"},
		"unfit":   {"unfit ends 07:30"},
		"limited": {"limited ends 06:30", "unfit ends 07:30"},
	} {
		h := newHook(t, nil)
		m := failedCheck()
		m.Alerts = m.Alerts[:1]
		m.Alerts[0].Was = was
		outcome{}.check(t, send(t, newAlertmanager(t, receiverAt(h.URL)), m))
		var got []string
		for _, alert := range toldIn(t, h.all()[0]) {
			got = append(got, alert.Labels["severity"]+" ends "+alert.EndsAt[11:16])
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("was %q: %s", was, diff)
		}
	}
}

func TestAlertmanagerOddMessages(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*channel.Message)
		check  func([]told) bool
	}{
		"clock was set back": {
			func(m *channel.Message) { m.Alerts[2].Raised = m.Alerts[2].Cleared.Add(time.Hour) },
			func(all []told) bool { return all[2].StartsAt == all[2].EndsAt },
		},
		"cleared without saying when": {
			func(m *channel.Message) { m.Alerts[0].State = channel.StateCleared },
			func(all []told) bool { return all[0].EndsAt == "2026-11-02T06:30:00Z" },
		},
		"a test stands for five minutes": {
			func(m *channel.Message) { *m = channel.TestMessage("Propellerwerk Nord", instant()) },
			func(all []told) bool {
				return len(all) == 1 && all[0].Labels["alertname"] == "test-message" && all[0].EndsAt == "2026-11-02T06:35:00Z"
			},
		},
		"a heartbeat stands until silence has lasted too long": {
			func(m *channel.Message) {
				*m = channel.Heartbeat("Propellerwerk Nord", instant(), instant().Add(15*time.Minute))
			},
			func(all []told) bool {
				return len(all) == 1 && all[0].Labels["alertname"] == "heartbeat" && all[0].Labels["device"] == "watcher" && all[0].EndsAt == "2026-11-02T06:45:00Z"
			},
		},
		"hostile text": {
			func(m *channel.Message) {
				m.Alerts[0].Place, m.Alerts[0].Sentence = "a\x00\xff", "\x1b[2J\u202e"+strings.Repeat("long ", 10_000)
			},
			func(all []told) bool {
				return all[0].Labels["place"] == `a\x00\xff` && strings.HasPrefix(all[0].Annotations["summary"], `\x1b[2J\u202e`) && len(all[0].Annotations["summary"]) < 5000
			},
		},
	} {
		t.Run(name, func(t *testing.T) {
			h := newHook(t, nil)
			m := failedCheck()
			c.change(&m)
			outcome{}.check(t, send(t, newAlertmanager(t, receiverAt(h.URL)), m))
			if all := toldIn(t, h.all()[0]); !c.check(all) {
				t.Errorf("got %v", all)
			}
		})
	}
}

func TestAlertmanagerManyAndNone(t *testing.T) {
	h := newHook(t, nil)
	a := newAlertmanager(t, receiverAt(h.URL))
	m := failedCheck()
	m.Alerts = many(5000, m.Alerts[0])
	outcome{}.check(t, send(t, a, m))
	seen := map[string]bool{}
	requests := h.all()
	for _, r := range requests {
		if len(r.Body) > 2<<20 {
			t.Errorf("a request of %d bytes", len(r.Body))
		}
		for _, alert := range toldIn(t, r) {
			seen[alert.Labels["device"]] = true
		}
	}
	if len(requests) < 2 || len(seen) != 5000 {
		t.Errorf("%d alerts in %d requests", len(seen), len(requests))
	}
	m.Alerts = nil
	outcome{}.check(t, send(t, a, m))
	if got := len(h.all()); got != len(requests) {
		t.Errorf("an empty message was sent")
	}
}

func TestAlertmanagerAnswers(t *testing.T) {
	for code, want := range map[int]outcome{
		400: {false, []string{"alert receiver http://127.0.0.1:", `refused the message: 400 Bad Request, "start time must be before end time"`}},
		500: {true, []string{"does not take the message now: 500"}},
	} {
		h := newHook(t, func(w http.ResponseWriter, _ *http.Request) {
			w.WriteHeader(code)
			fmt.Fprint(w, "start time must be before end time")
		})
		want.check(t, send(t, newAlertmanager(t, receiverAt(h.URL)), failedCheck()))
	}
}

func TestAlertmanagerSettings(t *testing.T) {
	a := newAlertmanager(t, channel.AlertmanagerSettings{HTTPSettings: channel.HTTPSettings{URL: "http://localhost:9093"}})
	if a.Name() != "central" {
		t.Error(a.Name())
	}
	for _, c := range []struct {
		settings channel.AlertmanagerSettings
		want     string
	}{
		{channel.AlertmanagerSettings{}, `channel "central": url is missing`},
		{channel.AlertmanagerSettings{HTTPSettings: channel.HTTPSettings{URL: "http://alerts.works.example:9093"}}, `url is one of http to "alerts.works.example:9093"`},
		{channel.AlertmanagerSettings{HTTPSettings: channel.HTTPSettings{URL: "http://localhost:9093"}, Hold: 59 * time.Minute}, "hold is 59m0s, expected at least 1h0m0s; leave it out for 24h0m0s"},
	} {
		_, err := channel.NewAlertmanager("central", c.settings)
		checkSetting(t, err, c.want)
	}
}
