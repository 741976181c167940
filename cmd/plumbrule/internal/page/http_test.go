package page

import (
	"compress/gzip"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
)

func TestBeforeTheFirstView(t *testing.T) {
	_, web, _ := serve(t, nil)
	answer, body := get(t, web.URL+"/")
	if answer.StatusCode != http.StatusServiceUnavailable || answer.Header.Get("Retry-After") == "" || !strings.Contains(body, "first time") {
		t.Errorf("%s %q", answer.Status, body)
	}
	if answer, body := get(t, web.URL+"/metrics"); answer.StatusCode != http.StatusOK || !strings.HasSuffix(body, "# EOF\n") {
		t.Errorf("metrics: %s %q", answer.Status, body)
	}
}

// What has not changed is not sent again (RFC 9110, 13.1.2), packed or not.
func TestUnchangedIsNotSentAgain(t *testing.T) {
	s, web, _ := serve(t, example(t))
	answer, _ := get(t, web.URL+"/")
	tag := answer.Header.Get("ETag")
	for name, known := range map[string]string{"the tag": tag, "in a list": `"x", ` + tag, "the strong form": strings.TrimPrefix(tag, "W/"), "any": "*"} {
		if again, body := get(t, web.URL+"/", "If-None-Match", known); again.StatusCode != http.StatusNotModified || body != "" || again.Header.Get("ETag") != tag {
			t.Errorf("%s: %s, %d bytes", name, again.Status, len(body))
		}
	}
	v := example(t)
	v.Health.Trouble = []string{"mail is not delivered"}
	display(t, s, v)
	again, body := get(t, web.URL+"/", "If-None-Match", tag)
	if again.StatusCode != http.StatusOK || !strings.Contains(body, "mail is not delivered") {
		t.Errorf("after another view: %s", again.Status)
	}
}

func TestPacked(t *testing.T) {
	_, web, _ := serve(t, example(t))
	_, plain := get(t, web.URL+"/")
	answer, packed := get(t, web.URL+"/", "Accept-Encoding", "br, gzip;q=0.5")
	if answer.Header.Get("Content-Encoding") != "gzip" || !strings.Contains(answer.Header.Get("Vary"), "Accept-Encoding") || len(packed)*3 > len(plain) {
		t.Fatalf("%v, %d bytes of %d", answer.Header, len(packed), len(plain))
	}
	r, err := gzip.NewReader(strings.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	if text, err := io.ReadAll(r); err != nil || string(text) != plain {
		t.Errorf("unpacked it is another page, %v", err)
	}
	for _, refused := range []string{"gzip;q=0", "br", ""} {
		if answer, _ := get(t, web.URL+"/", "Accept-Encoding", refused+",identity"); answer.Header.Get("Content-Encoding") != "" {
			t.Errorf("%q got %s", refused, answer.Header.Get("Content-Encoding"))
		}
	}
}

// Nothing can be done but to read.
func TestOnlyReading(t *testing.T) {
	_, web, _ := serve(t, example(t))
	for _, method := range []string{http.MethodPost, http.MethodPut, http.MethodDelete, http.MethodPatch, http.MethodOptions, http.MethodTrace, "BREW"} {
		for _, path := range []string{"/", "/device/scan-02", "/events", "/nothing"} {
			request, err := http.NewRequest(method, web.URL+path, nil)
			if err != nil {
				t.Fatal(err)
			}
			answer, err := http.DefaultClient.Do(request)
			if err != nil {
				t.Fatal(err)
			}
			text, err := io.ReadAll(answer.Body)
			answer.Body.Close()
			if err != nil || answer.StatusCode != http.StatusMethodNotAllowed || answer.Header.Get("Allow") != "GET, HEAD" || !strings.Contains(string(text), "can only be read") {
				t.Errorf("%s %s: %s", method, path, answer.Status)
			}
		}
	}
	answer, err := http.Head(web.URL + "/")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if body, _ := io.ReadAll(answer.Body); answer.StatusCode != http.StatusOK || len(body) != 0 || answer.ContentLength <= 0 {
		t.Errorf("HEAD: %s, %d bytes", answer.Status, len(body))
	}
}

// Every answer, also a refusal, tells browsers what they may not do.
func TestWhatBrowsersMayNotDo(t *testing.T) {
	_, web, _ := serve(t, example(t))
	for _, path := range append(pagePaths(), "/nothing", "/fleet.json", "/metrics", "/style.css", "/device/nobody") {
		answer, _ := get(t, web.URL+path)
		policy := answer.Header.Get("Content-Security-Policy")
		for _, part := range []string{"default-src 'none'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'none'"} {
			if !strings.Contains(policy, part) {
				t.Errorf("%s: policy %q", path, policy)
			}
		}
		if strings.Contains(policy, "unsafe") || answer.Header.Get("X-Content-Type-Options") != "nosniff" || answer.Header.Get("Referrer-Policy") != "no-referrer" {
			t.Errorf("%s: %v", path, answer.Header)
		}
	}
}

func TestWhatIsNotThere(t *testing.T) {
	_, web, _ := serve(t, example(t))
	for _, path := range []string{
		"/nothing", "/device/nobody", "/device/", "/device/scan-02/", "/device/scan-02/chart/0.svg", "/device/scan-02/chart/01.svg", "/device/scan-02/chart/99.svg",
		"/device/scan-02/chart/1.png", "/device/scan-02/chart/-1.svg", "/device/..%2f..%2fetc%2fpasswd", "/assets/frame.html", "/frame.html",
	} {
		if answer, _ := get(t, web.URL+path); answer.StatusCode != http.StatusNotFound {
			t.Errorf("%s: %s", path, answer.Status)
		}
	}
}

// Everything is there as JSON as well, and as the verbs print it.
func TestAsJSON(t *testing.T) {
	_, web, _ := serve(t, example(t))
	for path, wanted := range map[string]string{
		"/fleet.json": `"devices": 11`, "/due.json": "1", "/records.json": "2", "/alerts.json": `"state": "raised"`,
		"/device/scan-02/explain.json": `"device": "scan-02"`, "/device/scan-02/charts.json": `"charts": "scan-02"`, "/health.json": `"evaluations": 7`,
	} {
		answer, body := get(t, web.URL+path)
		if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "application/json" || !strings.Contains(body, wanted) {
			t.Errorf("%s: %s %q", path, answer.Status, body)
		}
	}
	without := example(t)
	without.Data = nil
	_, web, _ = serve(t, without)
	if answer, _ := get(t, web.URL+"/fleet.json"); answer.StatusCode != http.StatusNotFound {
		t.Errorf("%s", answer.Status)
	}
	if _, page := get(t, web.URL+"/"); strings.Contains(page, ".json") {
		t.Error("the page leads to JSON that is not there")
	}
}

// A chart is a picture of its own that may have a style inside it and nothing else, also when somebody opens it by itself.
func TestChart(t *testing.T) {
	v := example(t)
	calls := 0
	v.Charts = func(id string) ([]Chart, error) {
		calls++
		d := newEdition(v, "").device(id)
		var out []Chart
		for _, c := range d.Charts {
			out = append(out, Chart{c.Procedure, c.Artifact, c.Feature, c.Quantity, []byte("<svg>" + c.Feature + "</svg>")})
		}
		last := d.Charts[len(d.Charts)-1]
		decoy := Chart{last.Procedure, last.Artifact, "another feature", last.Quantity, []byte("<svg>decoy</svg>")}
		return append(out[1:], decoy), nil // the first cannot be computed
	}
	_, web, _ := serve(t, v)
	d := newEdition(v, "").device("scan-03")
	answer, body := get(t, web.URL+"/device/scan-03/chart/2.svg")
	if body != "<svg>"+d.Charts[1].Feature+"</svg>" || answer.Header.Get("Content-Type") != "image/svg+xml" || answer.Header.Get("Content-Security-Policy") != chartPolicy {
		t.Errorf("%q %v", body, answer.Header)
	}
	if answer, _ := get(t, web.URL+"/device/scan-03/chart/1.svg"); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a chart that cannot be computed: %s", answer.Status)
	}
	if _, body := get(t, fmt.Sprintf("%s/device/scan-03/chart/%d.svg", web.URL, len(d.Charts))); strings.Contains(body, "decoy") {
		t.Error("the chart of another feature")
	}
	if calls != 1 {
		t.Errorf("drawn %d times", calls)
	}
}
