package drawing

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules/chart"
)

var (
	update = flag.Bool("update", false, "write the golden files anew")
	draw   = flag.String("draw", "", "folder to write the drawings of extreme pictures to, to be looked at")
)

// golden compares with a file in testdata.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s (want, got):\n%s", name, diff)
	}
}

func mustChart(tb testing.TB, values []float64, s chart.Settings) chart.Chart {
	tb.Helper()
	c, err := chart.Individuals(values, s)
	if err != nil {
		tb.Fatal(err)
	}
	return c
}

// flowRate is the example of the NIST/SEMATECH e-Handbook 6.3.2.2.
func flowRate(tb testing.TB) Picture {
	tb.Helper()
	values := []float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}
	return Picture{Title: "Flow rate", Quantity: "flow rate", Chart: mustChart(tb, values, chart.Settings{Tests: chart.Nelson()})}
}

func date(text string) time.Time {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		panic(err)
	}
	return t
}

// ballBar is made up: a drift that ends in a signal, an adjustment and a pause.
func ballBar(tb testing.TB) Picture {
	tb.Helper()
	values := []float64{
		4.1, 2.8, 5.3, 3.9, 1.7, 4.6, 3.2, 5.8, 2.4, 4.9, 3.5, 4.4, 5.1, 6.9, 8.2, 9.7, 12.6, 16.8, 15.9,
		-0.8, 1.3, 0.4, -1.9, 0.9, 2.2, -0.3, 0.7, -1.1, 1.6, 0.1,
	}
	p := Picture{
		Title: "scan-02 · bar-weekly · A-C", Quantity: "error of indication", Unit: "µm",
		Chart: mustChart(tb, values, chart.Settings{Baseline: 10, Restart: []int{19}, Tests: chart.Nelson()}),
		MPE:   new(25.0),
		Marks: []Mark{{When: date("2026-05-18"), Text: "adjustment: new field calibration"}, {When: date("2026-06-02"), Text: "firmware 4.2"}},
	}
	when := date("2026-01-05")
	for i := range values {
		p.Points = append(p.Points, Point{When: when, Label: "bar-weekly " + when.Format(time.DateOnly)})
		when = when.AddDate(0, 0, 7)
		if i == 24 {
			when = when.AddDate(0, 0, 42)
		}
	}
	return p
}

func TestTerminalGolden(t *testing.T) {
	for name, p := range map[string]Picture{"flow-rate.txt": flowRate(t), "ball-bar.txt": ballBar(t)} {
		var out bytes.Buffer
		if err := Terminal(&out, p, 80); err != nil {
			t.Fatal(err)
		}
		golden(t, name, out.Bytes())
	}
}
