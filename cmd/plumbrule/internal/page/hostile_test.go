package page

import (
	"encoding/json"
	"net/http"
	"reflect"
	"strings"
	"testing"
	"unicode"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/records"
	"plumbrule/rules"
)

// evils are texts that a record may hold and that a reader must not be harmed by.
func evils() []string {
	return []string{
		`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `javascript:alert(1)`, "</title></bdi></td>", "{{.}}", "&lt;b&gt;",
		"a\x1b[31mred\x07", "two\r\nlines\tand\x00nothing", "\u202egnp.exe", "\u2066isolated", "no\u200bwidth\ufeff", "\u0633\u0644\u0627\u0645", "bad \xff bytes",
		strings.Repeat("W", 10_000), strings.Repeat("e\u0301", 3000), "\"quoted\\\" and \\n", "a,b;c:d\\e", "# EOF\nplumbrule_devices 9",
		`bad \xff bytes`, // which the one above is shown as
	}
}

// hostile is a view in which every foreign text is one of evils.
func hostile(tb testing.TB) *View {
	tb.Helper()
	v := example(tb)
	set, site := *v.Set, *v.Set.Site
	all := strings.Join(evils(), " ")
	site.Name = evils()[1] + evils()[8]
	set.Site = &site
	v.Set = &set
	a := *v.Assessment
	some := a.Devices[0]
	a.Devices = nil
	for i, evil := range evils() {
		d := some
		record := *some.Record
		record.ID, record.File, record.Kind, record.Serial, record.Maker = evil, evil, evil, evil, evil
		d.ID, d.Record, d.Fitness = evil, &record, fitnesses()[i%4]
		d.Service.Location, d.Service.Owner, d.Service.Firmware = evil, evil, evil
		d.Service.History = []*records.Event{{Kind: records.EventKind(evil), Time: v.At, By: evil, Reason: evil, File: evil}}
		d.Reasons = []rules.Reason{{Code: evil, Effect: d.Fitness, Sentence: evil, Sources: []rules.Source{{File: evil, Line: 3}}}, {Code: "x", Effect: rules.Fit, Sentence: all}}
		d.Calibration = due(some.Calibration, evil)
		d.Checks = []rules.Due{due(some.Calibration, evil)}
		a.Devices = append(a.Devices, d)
		v.Alerts = append(v.Alerts, alert.Alert{
			Finding: alert.Finding{Key: alert.Key{Subject: evil, Code: evil}, Severity: evil, Sentence: evil, Mend: evil, Kind: evil, Place: evil, Sources: []string{evil}},
			ID:      evil, Raised: v.At, Acknowledged: &alert.Acknowledgement{By: evil, Why: evil, At: v.At, Severity: evil},
		})
		v.Diagnostics = append(v.Diagnostics, records.Diagnostic{
			Code: evil, Severity: records.Error, File: evil, Message: evil, Mend: evil, Excerpt: evil, Related: []records.Place{{File: evil, Text: evil}},
		})
		v.Health.Notes, v.Health.Trouble = append(v.Health.Notes, evil), append(v.Health.Trouble, evil)
	}
	v.Assessment, v.Data = &a, data{&a}
	return v
}

func due(d rules.Due, evil string) rules.Due {
	d.What, d.State = evil, rules.Overdue
	d.Extension = &records.Event{Reason: evil}
	d.Sources = []rules.Source{{File: evil}}
	return d
}

// hostilePaths are pages with hostile text, among them one of a device whose id is a script.
func hostilePaths() []string {
	return []string{"/", "/places", "/kinds", "/due", "/alerts", "/records", deviceAddress(evils()[0]), deviceAddress(evils()[1]), deviceAddress(evils()[7])}
}

// Hostile text adds no tag and no attribute, hides nothing and is not endless, and stands apart from the text around it.
func TestHostileTextInPages(t *testing.T) {
	_, web, _ := serve(t, hostile(t))
	for _, path := range hostilePaths() {
		answer, page := get(t, web.URL+path)
		if answer.StatusCode != http.StatusOK {
			t.Errorf("%s: %s", path, answer.Status)
			continue
		}
		for _, r := range page {
			if r != '\n' && !unicode.IsGraphic(r) {
				t.Errorf("%s: holds %U", path, r)
				break
			}
		}
		scripts := 0
		for _, e := range elements(t, page) {
			switch e.name {
			case "script":
				scripts++
			case "img":
				if !strings.HasPrefix(e.attrs["src"], "/device/") {
					t.Errorf("%s: <img %v>", path, e.attrs)
				}
			}
			for name, value := range e.attrs {
				if strings.HasPrefix(name, "on") || strings.HasPrefix(value, "javascript:") {
					t.Errorf("%s: <%s %s=%q>", path, e.name, name, value)
				}
			}
			if strings.Contains(e.text, strings.Repeat("W", longest+1)) {
				t.Errorf("%s: <%s> holds an endless word", path, e.name)
			}
		}
		if scripts != 1 {
			t.Errorf("%s: %d scripts", path, scripts)
		}
		if !strings.Contains(page, `<bdi>`) || !strings.Contains(page, "(10000 characters)") && path == "/alerts" {
			t.Errorf("%s: foreign text is not told apart, or is cut without a word", path)
		}
	}
}

// In JSON the text is as it was recorded, but what cannot be seen is written as escapes.
func TestHostileTextInJSON(t *testing.T) {
	v := hostile(t)
	_, web, _ := serve(t, v)
	for _, path := range []string{"/alerts.json", "/fleet.json", "/health.json"} {
		answer, text := get(t, web.URL+path)
		for _, r := range text {
			if r != '\n' && !unicode.IsGraphic(r) {
				t.Errorf("%s: holds %U", path, r)
			}
		}
		if strings.Contains(text, "<script") || answer.Header.Get("Content-Type") != "application/json" {
			t.Errorf("%s: holds markup", path)
		}
	}
	_, text := get(t, web.URL+"/alerts.json")
	var back struct{ Alerts []alert.Alert }
	if err := json.Unmarshal([]byte(text), &back); err != nil {
		t.Fatal(err)
	}
	want := strings.ToValidUTF8(evils()[8], "\ufffd")
	if got := back.Alerts[len(back.Alerts)-len(evils())+8].Sentence; got != want {
		t.Errorf("read back %q, written %q", got, want)
	}
}

// What is escaped is the same value.
func TestEscapedJSONIsTheSame(t *testing.T) {
	want := []string{"\U000e0001 tag", "\u202e", "a\x7f", "plain µ", "\x01"}
	text, err := encode(want)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	if err := json.Unmarshal(text, &got); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%q from %s, %v", got, text, err)
	}
}

func TestHostileTextInMetrics(t *testing.T) {
	_, web, _ := serve(t, hostile(t))
	_, text := get(t, web.URL+"/metrics")
	values := checkOpenMetrics(t, text)
	if values[`plumbrule_devices{fitness="unfit"}`] != "5" { // 19 texts in turn
		t.Errorf("%s unfit", values[`plumbrule_devices{fitness="unfit"}`])
	}
	if values["plumbrule_series_left_out"] == "0" {
		t.Error("two names that are shown alike are two series")
	}
	if values[`plumbrule_alerts{state="acknowledged",severity="fault"}`] != "19" {
		t.Error("a severity that is none is not counted as a fault")
	}
}

func TestHostileTextInTheCalendar(t *testing.T) {
	v := hostile(t)
	_, web, _ := serve(t, v)
	_, text := get(t, web.URL+"/calendar.ics")
	events := readCalendar(t, text)
	if want := len(duties(v)); len(events) != want || want < 2*len(evils()) {
		t.Errorf("%d events, want %d", len(events), want)
	}
	for _, r := range text {
		if r != '\r' && r != '\n' && !unicode.IsGraphic(r) {
			t.Errorf("holds %U", r)
		}
	}
}

func TestLongTextIsCutWithAWord(t *testing.T) {
	for text, want := range map[string]string{"": "", "abc": "abc", "abcd": "abc… (4 characters)", "\x1b[31m": `\x1b[3… (5 characters)`, "äöü": "äöü", "äöüß": "äöü… (4 characters)"} {
		if got := cut(text, 3); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
