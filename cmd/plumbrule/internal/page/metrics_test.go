package page

import (
	"fmt"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"plumbrule/rules"
)

// The samples and the form of the example, checked by the rules of OpenMetrics 1.0.0 that a reader can check: families are not
// interleaved, each has its type before its samples, names end as their type and unit ask, and the text ends with # EOF.
func TestOpenMetrics(t *testing.T) {
	_, web, _ := serve(t, example(t))
	answer, text := get(t, web.URL+"/metrics", "Accept", "application/openmetrics-text;version=1.0.0,application/openmetrics-text;version=0.0.1;q=0.75,text/plain;version=0.0.4;q=0.5,*/*;q=0.1")
	if answer.Header.Get("Content-Type") != openMetricsKind {
		t.Errorf("%s", answer.Header.Get("Content-Type"))
	}
	values := checkOpenMetrics(t, text)
	for sample, want := range map[string]string{
		`plumbrule_devices{fitness="unfit"}`:                                                    "3",
		`plumbrule_devices{fitness="fit"}`:                                                      "6",
		`plumbrule_device_fitness{device="scan-03",fitness="limited"}`:                          "1",
		`plumbrule_alerts{state="raised",severity="unfit"}`:                                     "3",
		`plumbrule_alerts{state="acknowledged",severity="fault"}`:                               "0",
		`plumbrule_build_info{version="1.2.3"}`:                                                 "1",
		`plumbrule_evaluations_total`:                                                           "7",
		`plumbrule_evaluated_timestamp_seconds`:                                                 "1793617200", // date -u -d 2026-11-02T11:00Z +%s
		`plumbrule_heartbeat_timestamp_seconds`:                                                 "1793617200",
		`plumbrule_series_left_out`:                                                             "0",
		`plumbrule_inbox_taken_total`:                                                           "2",
		`plumbrule_due_timestamp_seconds{subject="height-01",kind="device",what="calibration"}`: "1791410400", // TZ=Europe/Berlin date -d 2026-10-08 +%s
	} {
		if values[sample] != want {
			t.Errorf("%s is %q, want %s", sample, values[sample], want)
		}
	}
}

// checkOpenMetrics checks the form and returns the samples.
func checkOpenMetrics(t *testing.T, text string) map[string]string {
	t.Helper()
	if !strings.HasSuffix(text, "\n# EOF\n") || strings.Count(text, "\n# EOF") != 1 {
		t.Errorf("the end is %q", text[max(0, len(text)-40):])
	}
	sample := regexp.MustCompile(`^([a-z_]+)(\{[a-z]+="(?:[^"\\\n]|\\[\\"n])*"(?:,[a-z]+="(?:[^"\\\n]|\\[\\"n])*")*\})? (-?[0-9.]+)$`)
	values, seen := map[string]string{}, map[string]bool{}
	name, kind := "", ""
	for line := range strings.SplitSeq(strings.TrimSuffix(text, "# EOF\n"), "\n") {
		words := strings.SplitN(line, " ", 4)
		switch {
		case line == "":
		case strings.HasPrefix(line, "# HELP "):
			name, kind = words[2], ""
			if seen[name] {
				t.Errorf("%s comes twice", name)
			}
			seen[name] = true
		case strings.HasPrefix(line, "# TYPE "):
			kind = words[3]
			if words[2] != name {
				t.Errorf("type of %s within %s", words[2], name)
			}
		case strings.HasPrefix(line, "# UNIT "):
			if words[2] != name || !strings.HasSuffix(name, "_"+words[3]) {
				t.Errorf("%s: unit %s", name, words[3])
			}
		default:
			m := sample.FindStringSubmatch(line)
			want := name + map[string]string{"counter": "_total", "info": "_info", "gauge": ""}[kind]
			if m == nil || kind == "" || m[1] != want || values[m[1]+m[2]] != "" {
				t.Errorf("sample of %s, a %s: %q", name, kind, line)
				continue
			}
			values[m[1]+m[2]] = m[3]
		}
	}
	return values
}

// Readers that know only the older form get it, and Prometheus' own tool finds nothing to complain of.
func TestOlderForm(t *testing.T) {
	_, web, _ := serve(t, hostile(t))
	answer, text := get(t, web.URL+"/metrics", "Accept", "text/plain")
	if answer.Header.Get("Content-Type") != plainKind || strings.HasSuffix(text, "# EOF\n") || !strings.Contains(text, "# TYPE plumbrule_evaluations_total counter\n") {
		t.Errorf("%s %q", answer.Header.Get("Content-Type"), text)
	}
	program, err := exec.LookPath("promtool")
	if err != nil {
		t.Skip("promtool is not installed")
	}
	check := exec.CommandContext(t.Context(), program, "check", "metrics")
	check.Stdin = strings.NewReader(text)
	if out, err := check.CombinedOutput(); err != nil || len(out) > 0 {
		t.Errorf("promtool: %v\n%s", err, out)
	}
}

// However large the fleet, a name has a bounded number of series, and how many are left out is told.
func TestSeriesAreBounded(t *testing.T) {
	v := example(t)
	a := *v.Assessment
	a.Devices = nil
	for i := range mostSeries + 5 {
		a.Devices = append(a.Devices, rules.Device{ID: fmt.Sprintf("d-%d", i), Fitness: rules.Unknown})
	}
	v.Assessment = &a
	_, web, _ := serve(t, v)
	_, text := get(t, web.URL+"/metrics")
	values := checkOpenMetrics(t, text)
	if values["plumbrule_series_left_out"] != "5" || values[`plumbrule_devices{fitness="unknown"}`] != "10005" || strings.Count(text, "\nplumbrule_device_fitness{") != mostSeries {
		t.Errorf("%s left out, %s devices", values["plumbrule_series_left_out"], values[`plumbrule_devices{fitness="unknown"}`])
	}
}
