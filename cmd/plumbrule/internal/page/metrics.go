package page

import (
	"net/http"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/records"
	"plumbrule/rules"
)

// Media types of the two forms of metrics.
const (
	openMetricsKind = "application/openmetrics-text; version=1.0.0; charset=utf-8"
	plainKind       = "text/plain; version=0.0.4; charset=utf-8"
)

// mostSeries is how many time series one name has at most; how many are left out is a series itself.
const mostSeries = 10_000

// metrics answers in OpenMetrics 1.0, or in the older text form for readers that ask for text and not for OpenMetrics. What
// follows from a view is written once; what is said about the watcher itself is of this moment.
func (s *Server) metrics(w http.ResponseWriter, r *http.Request) {
	accepted := r.Header.Get("Accept")
	kind, form := openMetricsKind, openMetrics
	if !strings.Contains(accepted, "application/openmetrics-text") && strings.Contains(accepted, "text/") {
		kind, form = plainKind, plainText
	}
	e, h := s.now()
	m := &exposition{form: form}
	if e != nil {
		part, err := e.page("metrics/"+string(form), func() (*answer, error) {
			m := &exposition{form: form}
			e.families(m)
			return newAnswer(kind, []byte(m.String())), nil
		})
		if err == nil {
			m.WriteString(string(part.body))
		}
	}
	s.own(m, h)
	if form == openMetrics {
		m.WriteString("# EOF\n")
	}
	a := newAnswer(kind, []byte(m.String()))
	w.Header().Add("Vary", "Accept")
	a.ServeHTTP(w, r)
}

// families writes what follows from a view.
func (e *edition) families(m *exposition) {
	f := m.family("plumbrule_devices", gauge, "", "Devices by fitness.")
	for _, c := range countFitness(pointers(e.Assessment.Devices), "") {
		f.add(float64(c.Count), "fitness", c.Word)
	}
	f = m.family("plumbrule_device_fitness", gauge, "", "1 for the fitness that each device has now.")
	for i := range e.Assessment.Devices {
		d := &e.Assessment.Devices[i]
		f.add(1, "device", d.ID, "fitness", string(d.Fitness))
	}
	left := f.left
	f = m.family("plumbrule_due_timestamp_seconds", gauge, "seconds", "When a calibration or check is overdue: the end of its last day at the site.")
	done := map[[3]string]bool{}
	for _, d := range duties(e.View) {
		key := [3]string{d.Subject, d.Kind, d.Due.What}
		if done[key] {
			continue // a check that is asked for now comes before the same of the plan
		}
		done[key] = true
		f.add(seconds(d.Due.Date.EndIn(e.zone())), "subject", d.Subject, "kind", d.Kind, "what", d.Due.What)
	}
	left += f.left
	f = m.family("plumbrule_alerts", gauge, "", "Alerts that stand, by state and severity.")
	standing := map[[2]string]int{}
	for i := range e.Alerts {
		a := &e.Alerts[i]
		standing[[2]string{string(a.State()), severityWord(a.Severity)}]++
	}
	for _, state := range []alert.State{alert.Raised, alert.Acknowledged} {
		for _, word := range records.Severities() {
			f.add(float64(standing[[2]string{string(state), word}]), "state", string(state), "severity", word)
		}
	}
	f = m.family("plumbrule_diagnostics", gauge, "", "What is wrong with record files, by severity.")
	counts := map[records.Severity]int{}
	for _, d := range e.Diagnostics {
		counts[d.Severity]++
	}
	f.add(float64(counts[records.Error]), "severity", "error")
	f.add(float64(counts[records.Warning]), "severity", "warning")
	m.family("plumbrule_series_left_out", gauge, "", "Series that are not exposed because there are too many of a name.").add(float64(left))
}

// severityWord keeps labels to the words there are.
func severityWord(text string) string {
	for _, word := range records.Severities() {
		if word == text {
			return word
		}
	}
	return alert.Fault
}

// own writes how the watcher itself is.
func (s *Server) own(m *exposition, h Health) {
	s.mu.Lock()
	listeners := s.listeners
	s.mu.Unlock()
	m.family("plumbrule_build", info, "", "The program.").add(1, "version", s.settings.Version)
	m.family("plumbrule_records", gauge, "", "Records read.").add(float64(h.Records))
	m.family("plumbrule_evaluations", counter, "", "How often the records were judged since the start.").add(float64(h.Evaluations))
	m.family("plumbrule_started_timestamp_seconds", gauge, "seconds", "When the watcher was started.").at(h.Started)
	m.family("plumbrule_evaluated_timestamp_seconds", gauge, "seconds", "When the records were judged last.").at(h.Evaluated)
	m.family("plumbrule_heartbeat_timestamp_seconds", gauge, "seconds", "The watcher's clock as it answers.").at(s.settings.Clock.Now())
	m.family("plumbrule_inbox_waiting", gauge, "", "Files in the inbox that are not taken in yet.").add(float64(h.Waiting))
	m.family("plumbrule_inbox_taken", counter, "", "Files taken in since the start.").add(float64(h.Taken))
	m.family("plumbrule_inbox_refused", counter, "", "Files refused since the start.").add(float64(h.Refused))
	m.family("plumbrule_troubles", gauge, "", "Things of the watcher's own that do not work.").add(float64(len(h.Trouble)))
	m.family("plumbrule_page_listeners", gauge, "", "Readers who follow the events of the page.").add(float64(listeners))
}

func pointers(list []rules.Device) []*rules.Device {
	out := make([]*rules.Device, len(list))
	for i := range list {
		out[i] = &list[i]
	}
	return out
}

// seconds is a time as metrics write it.
func seconds(t time.Time) float64 { return float64(t.UnixMilli()) / 1000 }
