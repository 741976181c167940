package page

import (
	"encoding/xml"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/records"
	"plumbrule/rules"
)

// clock is a time of day that tests set.
type clock struct {
	mu sync.Mutex
	at time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.at
}

func (c *clock) set(at time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = at
}

func noon() time.Time { return time.Date(2026, 11, 2, 11, 0, 0, 0, time.UTC) }

// example is a view of the example works.
func example(tb testing.TB) *View {
	tb.Helper()
	set, diagnostics := records.Load(os.DirFS("../../../../examples/propeller-works"), records.Options{})
	if records.HasErrors(diagnostics) {
		tb.Fatal(diagnostics)
	}
	a := rules.Evaluate(set, noon(), rules.Options{})
	return &View{
		At: noon(), Zone: set.Site.Zone, Set: set, Diagnostics: diagnostics, Assessment: a, Alerts: alertsFor(a),
		Charts: func(string) ([]Chart, error) {
			return []Chart{{Procedure: "bar-weekly", Artifact: "bar-800", Feature: "A", Quantity: "diameter", SVG: []byte("<svg xmlns='http://www.w3.org/2000/svg'/>")}}, nil
		},
		Data:   data{a},
		Health: Health{Started: noon().Add(-time.Hour), Evaluated: noon(), Evaluations: 7, Records: set.Count(), Taken: 2},
	}
}

// alertsFor raises an alert for the worst reason of each device that is not fit.
func alertsFor(a *rules.Assessment) []alert.Alert {
	var out []alert.Alert
	for i := range a.Devices {
		d := &a.Devices[i]
		if d.Fitness == rules.Fit {
			continue
		}
		r := d.Reasons[0]
		out = append(out, alert.Alert{
			Finding: alert.Finding{Key: alert.Key{Subject: d.ID, Code: r.Code}, Severity: string(r.Effect), Sentence: r.Sentence, Place: d.Service.Location, Sources: []string{"devices/x.toml:3"}},
			ID:      "0123456789ab", Raised: noon().Add(-time.Hour), Since: noon().Add(-time.Hour),
		})
	}
	return out
}

// data is JSON in place of what the verbs print.
type data struct{ a *rules.Assessment }

func (d data) Fleet() any {
	return map[string]any{"devices": len(d.a.Devices), "first": d.a.Devices[0].Reasons}
}
func (d data) Due() any     { return []int{1} }
func (d data) Records() any { return []int{2} }
func (d data) Device(id string) any {
	return map[string]string{"device": id}
}
func (d data) Charts(id string) (any, error) { return map[string]string{"charts": id}, nil }

// serve shows a view to real readers.
func serve(tb testing.TB, v *View, change ...func(*Settings)) (*Server, *httptest.Server, *clock) {
	tb.Helper()
	c := &clock{at: noon()}
	settings := Settings{Clock: c, Version: "1.2.3"}
	for _, f := range change {
		f(&settings)
	}
	s, err := New(settings)
	if err != nil {
		tb.Fatal(err)
	}
	web := httptest.NewServer(s.Handler())
	tb.Cleanup(func() {
		s.Close()
		web.Close()
	})
	if v != nil {
		display(tb, s, v)
	}
	return s, web, c
}

// display shows a view and waits until readers see it.
func display(tb testing.TB, s *Server, v *View) {
	tb.Helper()
	s.Show(v)
	s.work.Wait()
	if e, _ := s.now(); e == nil || e.View != v {
		tb.Fatal("the view is not shown")
	}
}

// reply is an answer without its body.
type reply struct {
	Status     string
	StatusCode int
	Header     http.Header
	Close      bool // the connection is not to be used again
}

// get asks for a page; headers are names followed by values.
func get(tb testing.TB, url string, headers ...string) (reply, string) {
	tb.Helper()
	request, err := http.NewRequest(http.MethodGet, url, nil)
	if err != nil {
		tb.Fatal(err)
	}
	request.Header.Set("Accept-Encoding", "identity")
	for i := 0; i+1 < len(headers); i += 2 {
		request.Header.Set(headers[i], headers[i+1])
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		tb.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		tb.Fatal(err)
	}
	return reply{answer.Status, answer.StatusCode, answer.Header, answer.Close}, string(body)
}

// element is a start tag with the text up to the next tag.
type element struct {
	name  string
	attrs map[string]string
	text  string
}

// elements reads HTML. The reader of XML is lenient enough for what this package writes, and refuses what is not nested.
func elements(tb testing.TB, page string) []element {
	tb.Helper()
	d := xml.NewDecoder(strings.NewReader(page))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var out []element
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			tb.Fatalf("%v in a page of %d bytes", err, len(page))
		}
		switch t := token.(type) {
		case xml.StartElement:
			e := element{name: t.Name.Local, attrs: map[string]string{}}
			for _, a := range t.Attr {
				e.attrs[a.Name.Local] = a.Value
			}
			out = append(out, e)
		case xml.CharData:
			if len(out) > 0 {
				out[len(out)-1].text += string(t)
			}
		}
	}
}
