package main

import (
	"net/http"
	"strings"
	"testing"
)

// What the page gives as JSON is what the verbs print for the same instant.
func TestPageGivesWhatVerbsPrint(t *testing.T) {
	_, _, web := examplePage(t)
	untilShown(t, web)
	records := exampleRecords(t)
	for path, verb := range map[string][]string{
		"/fleet.json":                  {"status"},
		"/due.json":                    {"due", "--within", "13 months"},
		"/device/scan-03/explain.json": {"explain", "scan-03"},
		"/device/scan-03/charts.json":  {"chart", "scan-03"},
	} {
		status, want, stderr := command(t, ".", append([]string{"-C", records, "--format", "json", "--at", "2026-11-02T07:00:00Z"}, verb...)...)
		if status != statusFine {
			t.Fatalf("%v: %s", verb, stderr)
		}
		if got := body(t, web.URL+path); unescaped(got) != want {
			t.Errorf("%s is not what %v prints:\n%.600s\nwant:\n%.600s", path, verb, got, want)
		}
	}
	if got := body(t, web.URL+"/records.json"); !strings.Contains(got, `"diagnostics": []`) {
		t.Errorf("%s", got)
	}
}

// unescaped undoes what the page does to JSON beside what the verbs do: signs of markup are escaped.
func unescaped(text string) string {
	return strings.NewReplacer(`\u003c`, "<", `\u003e`, ">", `\u0026`, "&").Replace(text)
}

// Every chart that the assessment lists can be drawn.
func TestPageDrawsEveryChart(t *testing.T) {
	j, _, web := examplePage(t)
	untilShown(t, web)
	seen := 0
	for _, d := range j.assessment.Devices {
		page := body(t, web.URL+"/device/"+d.ID)
		for _, address := range strings.Split(page, `<img src="`)[1:] {
			address, _, _ = strings.Cut(address, `"`)
			answer, err := http.Get(web.URL + address)
			if err != nil {
				t.Fatal(err)
			}
			answer.Body.Close()
			if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "image/svg+xml" {
				t.Errorf("%s: %s", address, answer.Status)
			}
			seen++
		}
	}
	if seen < 10 {
		t.Errorf("only %d charts", seen)
	}
}
