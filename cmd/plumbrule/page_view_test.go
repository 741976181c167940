package main

import (
	"net/http/httptest"
	"os"
	"testing"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	statuspage "plumbrule/cmd/plumbrule/internal/page"
	"plumbrule/records"
	"plumbrule/rules"
)

// examplePage serves the status page of the example for an instant, with an alert for each device that is not fit.
func examplePage(tb testing.TB) (*judged, *statuspage.Server, *httptest.Server) {
	tb.Helper()
	j := exampleJudged(tb, time.Date(2026, 11, 2, 7, 0, 0, 0, time.UTC))
	s, err := statuspage.New(statuspage.Settings{Clock: fixedClock(j.at), Version: "test"})
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(s.Close)
	web := httptest.NewServer(s.Handler())
	tb.Cleanup(web.Close)
	s.Show(pageView(j, exampleAlerts(j), exampleHealth(j)))
	return j, s, web
}

func exampleJudged(tb testing.TB, at time.Time) *judged {
	tb.Helper()
	set, diagnostics := records.Load(os.DirFS(exampleRecords(tb)), records.Options{})
	return &judged{set: set, diagnostics: append(diagnostics, rules.Check(set)...), at: at, assessment: rules.Evaluate(set, at, rules.Options{})}
}

type fixedClock time.Time

func (c fixedClock) Now() time.Time { return time.Time(c) }

// exampleAlerts are alerts for the first reason of each device that is not fit: raised, acknowledged, cleared in turn.
func exampleAlerts(j *judged) []alert.Alert {
	var out []alert.Alert
	for i := range j.assessment.Devices {
		d := &j.assessment.Devices[i]
		if d.Fitness == rules.Fit || len(d.Reasons) == 0 {
			continue
		}
		r := d.Reasons[0]
		since := j.at.Add(-3 * time.Hour)
		a := alert.Alert{
			Finding: alert.Finding{Key: alert.Key{Subject: d.ID, Code: r.Code}, Severity: string(r.Effect), Sentence: r.Sentence, Kind: d.Record.Kind, Place: d.Service.Location},
			ID:      "0123456789ab", Raised: since, Since: since, Changed: since,
		}
		for _, s := range r.Sources {
			a.Sources = append(a.Sources, placeText(s))
		}
		switch len(out) % 3 {
		case 1:
			a.Acknowledged = &alert.Acknowledgement{By: "mk", Why: "sent to the laboratory", At: j.at.Add(-time.Hour), Severity: a.Severity}
		case 2:
			a.Cleared = j.at.Add(-time.Minute)
		}
		out = append(out, a)
	}
	return out
}

func exampleHealth(j *judged) statuspage.Health {
	return statuspage.Health{Started: j.at.Add(-26 * time.Hour), Evaluated: j.at, Evaluations: 41, Records: j.set.Count(), Taken: 3}
}
