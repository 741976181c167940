package channel_test

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/channel"
)

func logged(t *testing.T, form channel.LogFormat, m channel.Message) string {
	t.Helper()
	var out strings.Builder
	log, err := channel.NewLog("log", &out, form)
	if err != nil {
		t.Fatal(err)
	}
	outcome{}.check(t, send(t, log, m))
	return out.String()
}

func TestLogText(t *testing.T) {
	want := `time=2026-11-02T06:30:00.000Z level=ERROR msg="scan-02: the check of 2 November failed: A-C, error +78 µm, limit 66 µm" ` +
		`event=raised site="Propellerwerk Nord" message=01-7f3a subject=scan-02 code=check-failed alert=3f0c9a11b2e4 severity=unfit state=raised ` +
		`raised=2026-11-02T07:29:00.000+01:00 mend="check again, then have it calibrated" sources=[checks/scan-02/2026/2026-11-02T0712-bar-weekly.toml:14]
time=2026-11-02T06:30:00.000Z level=INFO msg="gauge-11: calibration was due on 31 October" ` +
		`event=raised site="Propellerwerk Nord" message=01-7f3a subject=gauge-11 code=calibration-overdue alert=8b21d07790ac severity=unfit state=acknowledged ` +
		`raised=2026-10-31T07:30:00.000+01:00 acknowledged_by=mk acknowledged_why="at the laboratory until Friday"
time=2026-11-02T06:30:00.000Z level=INFO msg="bar-3s: its certificate expired" ` +
		`event=raised site="Propellerwerk Nord" message=01-7f3a subject=bar-3s code=certificate-expired alert=c4e88f5d0a63 severity=unknown state=cleared ` +
		`raised=2026-10-30T07:30:00.000+01:00 cleared=2026-11-02T06:30:00.000+01:00
`
	if diff := cmp.Diff(want, logged(t, channel.LogText, failedCheck())); diff != "" {
		t.Error(diff)
	}
}

func TestLogJSON(t *testing.T) {
	rows := strings.Split(strings.TrimSpace(logged(t, channel.LogJSON, failedCheck())), "\n")
	if len(rows) != 3 {
		t.Fatalf("%d lines, want 3", len(rows))
	}
	var got map[string]any
	if err := json.Unmarshal([]byte(rows[0]), &got); err != nil {
		t.Fatal(err)
	}
	want := map[string]any{
		"time": "2026-11-02T06:30:00Z", "level": "ERROR", "msg": "scan-02: the check of 2 November failed: A-C, error +78 µm, limit 66 µm",
		"event": "raised", "site": "Propellerwerk Nord", "message": "01-7f3a", "subject": "scan-02", "code": "check-failed", "alert": "3f0c9a11b2e4", "severity": "unfit",
		"state": "raised", "raised": "2026-11-02T07:29:00+01:00", "mend": "check again, then have it calibrated",
		"sources": []any{"checks/scan-02/2026/2026-11-02T0712-bar-weekly.toml:14"},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestLogLevels(t *testing.T) {
	for _, c := range []struct{ kind, severity, state, want string }{
		{channel.KindRaised, "unfit", channel.StateRaised, "ERROR"},
		{channel.KindReminder, "unknown", channel.StateRaised, "ERROR"},
		{channel.KindEscalation, "fault", channel.StateRaised, "ERROR"},
		{channel.KindRaised, "limited", channel.StateRaised, "WARN"},
		{channel.KindRaised, "fit", channel.StateRaised, "INFO"},
		{channel.KindRaised, "unfit", channel.StateAcknowledged, "INFO"},
		{channel.KindCleared, "unfit", channel.StateCleared, "INFO"},
		{channel.KindTest, "unfit", channel.StateRaised, "INFO"},
	} {
		m := failedCheck()
		m.Kind = c.kind
		m.Alerts = []channel.Alert{{Subject: "a", Severity: c.severity, State: c.state}}
		if got := logged(t, channel.LogText, m); !strings.Contains(got, " level="+c.want+" ") {
			t.Errorf("%v: %s", c, got)
		}
	}
}

func TestLogOfMessageWithoutAlerts(t *testing.T) {
	m := failedCheck()
	m.Alerts = nil
	want := `time=2026-11-02T06:30:00.000Z level=INFO msg="scan-02 unfit: Ø 12 µm over its limit" event=raised site="Propellerwerk Nord" message=01-7f3a ` +
		`text="scan-02 is unfit. .A line that begins with a full stop."` + "\n"
	if diff := cmp.Diff(want, logged(t, channel.LogText, m)); diff != "" {
		t.Error(diff)
	}
}

// Whatever stands in a record, a log's reader sees one line of it and his terminal nothing to obey.
func FuzzLogIsHarmless(f *testing.F) {
	for _, text := range []string{"a\nlevel=ERROR msg=forged", "\x1b]0;title\x07", "\u009b31m", "un\u202efit", "a\x00b", "\xff\xfe", "\u2028", strings.Repeat("long", 5000)} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		m := failedCheck()
		m.ID, m.Kind, m.Site, m.Subject = "1"+text, text, text, text
		m.Alerts = []channel.Alert{{
			Subject: text, Code: text, Severity: text, Sentence: text, Mend: text, Sources: []string{text, text}, State: text,
			Acknowledged: &channel.Acknowledgement{By: text, Why: text},
		}}
		for _, form := range []channel.LogFormat{channel.LogText, channel.LogJSON} {
			got := logged(t, form, m)
			// A dozen fields of 4 kB, of which a byte that is none of UTF-8 is spelled with five.
			if strings.Count(got, "\n") != 1 || !harmless(strings.TrimSuffix(got, "\n")) || len(got) > 300_000 {
				t.Errorf("%q", got)
			}
		}
	})
}

func TestLogSettings(t *testing.T) {
	_, err := channel.NewLog("log", nil, "xml")
	checkSetting(t, err, `channel "log": format is "xml", expected "text" or "json"`)
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

func TestLogThatCannotBeWritten(t *testing.T) {
	log, err := channel.NewLog("log", brokenWriter{}, channel.LogText)
	if err != nil {
		t.Fatal(err)
	}
	outcome{true, []string{"log could not be written: no space left on device; look whether its disk is full"}}.check(t, send(t, log, failedCheck()))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	outcome{true, []string{"log was not written to its end because the time was up"}}.check(t, log.Send(ctx, failedCheck()))
}
