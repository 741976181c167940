package channel_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/channel"
)

var update = flag.Bool("update", false, "write testdata anew")

// testdata/message.json is what the doc comment of Message.JSON describes, laid out for reading.
func TestMessageJSON(t *testing.T) {
	text := failedCheck().JSON()
	if strings.Count(string(text), "\n") != 1 || text[len(text)-1] != '\n' {
		t.Errorf("not one line: %q", text)
	}
	var indented bytes.Buffer
	if err := json.Indent(&indented, text, "", "  "); err != nil {
		t.Fatal(err)
	}
	const file = "testdata/message.json"
	if *update {
		if err := os.WriteFile(file, indented.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), indented.String()); diff != "" {
		t.Error(diff)
	}
}

// Programs rely on fields that are always there.
func TestMessageJSONOfNothing(t *testing.T) {
	m := channel.Message{ID: "1", At: time.Unix(0, 0).UTC(), Alerts: []channel.Alert{{}}}
	want := `{"id":"1","kind":"","site":"","at":"1970-01-01T00:00:00Z","until":null,"person":"","subject":"","text":"","alerts_omitted":0,"alerts":[` +
		`{"id":"","subject":"","code":"","about":"","device_kind":"","place":"","severity":"","sentence":"","mend":"","sources":[],"state":"",` +
		`"raised":"0001-01-01T00:00:00Z","cleared":null,"acknowledged":null}]}` + "\n"
	if diff := cmp.Diff(want, string(m.JSON())); diff != "" {
		t.Error(diff)
	}
	m.Alerts = nil
	if !strings.HasSuffix(string(m.JSON()), `"alerts":[]}`+"\n") {
		t.Errorf("no empty list: %s", m.JSON())
	}
}

func TestMessageJSONIsBounded(t *testing.T) {
	for name, c := range map[string]struct {
		change  func(*channel.Message)
		omitted bool
	}{
		"five thousand alerts":      {func(m *channel.Message) { m.Alerts = many(5_000, failedCheck().Alerts[0]) }, false},
		"a hundred thousand alerts": {func(m *channel.Message) { m.Alerts = many(100_000, failedCheck().Alerts[0]) }, true},
		"a long text":               {func(m *channel.Message) { m.Text = strings.Repeat("long ", 10<<20) }, false},
		"a long sentence":           {func(m *channel.Message) { m.Alerts[0].Sentence = strings.Repeat("long ", 10<<20) }, false},
		"a long reason":             {func(m *channel.Message) { m.Alerts[1].Acknowledged.Why = strings.Repeat("long ", 10<<20) }, false},
		"many sources":              {func(m *channel.Message) { m.Alerts[0].Sources = strings.Split(strings.Repeat("a:1 ", 1<<20), " ") }, false},
	} {
		t.Run(name, func(t *testing.T) {
			m := failedCheck()
			c.change(&m)
			text := m.JSON()
			if len(text) > 5<<20 {
				t.Errorf("%d bytes", len(text))
			}
			var got struct {
				Omitted int   `json:"alerts_omitted"`
				Alerts  []any `json:"alerts"`
			}
			if err := json.Unmarshal(text, &got); err != nil {
				t.Fatal(err)
			}
			if len(got.Alerts)+got.Omitted != len(m.Alerts) || (got.Omitted > 0) != c.omitted {
				t.Errorf("%d alerts and %d omitted of %d", len(got.Alerts), got.Omitted, len(m.Alerts))
			}
		})
	}
}

func many(n int, a channel.Alert) []channel.Alert {
	all := make([]channel.Alert, n)
	for i := range all {
		all[i] = a
		all[i].Subject = fmt.Sprintf("scan-%d", i)
	}
	return all
}

func TestMessagesThatCannotBeToldApartAreRefused(t *testing.T) {
	log, err := channel.NewLog("log", os.Stderr, channel.LogText)
	if err != nil {
		t.Fatal(err)
	}
	outcome{false, []string{"message has no ID"}}.check(t, send(t, log, channel.Message{At: instant()}))
	outcome{false, []string{"message 1 has no time"}}.check(t, send(t, log, channel.Message{ID: "1"}))
}

func TestTestMessage(t *testing.T) {
	m := channel.TestMessage("Propellerwerk Nord", instant())
	if m.ID != "test-20261102T063000.000000000Z" || m.Kind != channel.KindTest || m.Subject != "Propellerwerk Nord: test of the alerts" ||
		len(m.Alerts) != 1 || !m.At.Equal(instant()) || !strings.Contains(m.Text, "nothing is to be done") {
		t.Errorf("%+v", m)
	}
}

func TestHeartbeat(t *testing.T) {
	m := channel.Heartbeat("Propellerwerk Nord", instant(), instant().Add(15*time.Minute))
	want := `{"id":"heartbeat-20261102T063000.000000000Z","kind":"heartbeat","site":"Propellerwerk Nord","at":"2026-11-02T07:30:00+01:00",` +
		`"until":"2026-11-02T07:45:00+01:00","person":"","subject":"Propellerwerk Nord: the watcher is at work",` +
		`"text":"The watcher is at work. Silence after 2026-11-02T07:45:00+01:00 means that it is not.\n","alerts_omitted":0,"alerts":[]}` + "\n"
	if diff := cmp.Diff(want, string(m.JSON())); diff != "" {
		t.Error(diff)
	}
}

// Passwords do not get into logs by way of settings.
func TestSecretIsNotShown(t *testing.T) {
	settings := channel.WebhookSettings{Secret: "tell nobody"}
	settings.Password = "tell nobody"
	text, err := json.Marshal(settings)
	if err != nil {
		t.Fatal(err)
	}
	for _, shown := range []string{fmt.Sprint(settings), fmt.Sprintf("%+v %#v %q %s", settings, settings, settings.Secret, settings.Secret), string(text)} {
		if strings.Contains(shown, "tell nobody") {
			t.Error(shown)
		}
	}
}
