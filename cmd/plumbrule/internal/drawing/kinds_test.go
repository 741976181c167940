package drawing

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"plumbrule/rules/chart"
)

// kinds are pictures of the other kinds of charts; their data are made up but for
// the sums, which are those of the NIST/SEMATECH e-Handbook 6.3.2.3.
func kinds(tb testing.TB) map[string]Picture {
	tb.Helper()
	must := func(c chart.Chart, err error) chart.Chart {
		tb.Helper()
		if err != nil {
			tb.Fatal(err)
		}
		return c
	}
	samples := [][]float64{
		{4.1, 2.8, 5.3},
		{3.9, 1.7, 4.6},
		{3.2, 5.8, 2.4, 4.9, 3.0, 4.2},
		{3.5, 4.4, 5.1},
		{2.9, 4.2, 3.2},
		{4.7, 3.1},
		{2.4, 3.6, 5.0},
		{3.9, 4.4, 3.7},
		{8.6, 9.1, 7.9},
		{3.0, 4.1, 9.9},
	}
	single := []float64{2.1, 0.8, 1.3, -0.9, 1.7, 0.6, 1.2, -0.2, 2.4, 0.9, 3.5, 3.4, 4.1, 3.9, 4.2, 3.7, -3.1, -2.2, -2.9, -2.4}
	sums := []float64{
		324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
		324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350,
	}
	tests := chart.Tests{PointBeyond: true}
	ewma := Picture{
		Title: "Zero point", Quantity: "zero point", Unit: "µm",
		Chart: must(chart.EWMA(single, chart.Settings{Weight: 0.3, Baseline: 10, Minimum: 4, Restart: []int{16}})), MPE: new(6.0),
		Marks: []Mark{{Before: 16, Text: "adjusted"}}, Remarks: []string{"a remark"},
	}
	when := date("2026-03-02")
	for i := range single {
		if i == 6 {
			when = when.AddDate(0, 0, 30)
		}
		ewma.Points = append(ewma.Points, Point{When: when})
		when = when.AddDate(0, 0, 7)
	}
	return map[string]Picture{
		"mean-range": {Title: "Ring", Quantity: "error", Unit: "µm", Chart: must(chart.MeanRange(samples, chart.Settings{Baseline: 8, Tests: tests}))},
		"mean-sd":    {Title: "Ring", Quantity: "error", Unit: "µm", Chart: must(chart.MeanDeviation(samples, chart.Settings{Baseline: 8, Tests: tests}))},
		"ewma":       ewma,
		"cusum": {Title: "Group means", Quantity: "mean", Chart: must(chart.CUSUM(sums, chart.Settings{
			Given: &chart.Given{Centre: 325, Sigma: 0.635}, Decision: 4.1959 / 0.635,
		})), Targets: []float64{325}},
	}
}

func TestKindsGolden(t *testing.T) {
	for name, p := range kinds(t) {
		var terminal, svg bytes.Buffer
		if err := Terminal(&terminal, p, 80); err != nil {
			t.Fatal(err)
		}
		golden(t, name+".txt", terminal.Bytes())
		if err := SVG(&svg, p, "c1"); err != nil {
			t.Fatal(err)
		}
		golden(t, name+".svg", svg.Bytes())
		for _, width := range []int{40, 57, 200} {
			var narrow bytes.Buffer
			if err := Terminal(&narrow, p, width); err != nil {
				t.Fatal(err)
			}
			for line := range strings.Lines(narrow.String()) {
				if wide(strings.TrimSuffix(line, "\n")) > width {
					t.Errorf("%s: more than %d columns: %s", name, width, line)
				}
			}
		}
		for form, text := range map[string]string{"terminal": terminal.String(), "SVG": svg.String()} {
			if strings.Contains(text, "moving range") {
				t.Errorf("%s, %s: moving ranges, which this kind does not have", name, form)
			}
		}
	}
}

// The sum that signals from group 14 on left 0 at group 13 (e-Handbook 6.3.2.3).
func TestOnsets(t *testing.T) {
	p := kinds(t)["cusum"]
	onsets := p.onsets()
	if len(onsets) != 1 || onsets[0].index != 12 || onsets[0].sum != "upper sum" || onsets[0].first {
		t.Errorf("onsets %+v, want one at index 12 of the upper sum", onsets)
	}
	// A process that is low from the start has a lower sum that never was 0.
	c, err := chart.CUSUM([]float64{-4, -4, -4}, chart.Settings{Given: &chart.Given{Sigma: 1}})
	if err != nil {
		t.Fatal(err)
	}
	low := Picture{Chart: c}
	onsets = low.onsets()
	if len(onsets) != 1 || onsets[0].at >= 0 || !strings.Contains(onsets[0].words(low), "may lie before") {
		t.Errorf("onsets %+v, want one below 0 that may lie before the first point", onsets)
	}
}

// A sum that signals with its first step is shown as a signal; the onset is told.
func TestSignalHidesItsOnset(t *testing.T) {
	c, err := chart.CUSUM([]float64{0, 0, 0, 9}, chart.Settings{Given: &chart.Given{Sigma: 1}})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := Terminal(&out, Picture{Chart: c}, 80); err != nil {
		t.Fatal(err)
	}
	plot, told, _ := strings.Cut(out.String(), "o cumulative sum")
	if strings.Count(plot, "X") != 1 || strings.Contains(plot, "*") || !strings.Contains(told, "* likely onset point 4") {
		t.Error(out.String())
	}
}

func TestGaps(t *testing.T) {
	days := func(at ...int) Picture {
		values := make([]float64, len(at))
		p := Picture{}
		for i, day := range at {
			values[i] = float64(i % 3)
			p.Points = append(p.Points, Point{When: date("2026-01-01").AddDate(0, 0, day)})
		}
		p.Chart = mustChart(t, values, chart.Settings{})
		return p
	}
	for _, test := range []struct {
		name string
		p    Picture
		want []int
	}{
		{"even", days(0, 7, 14, 21, 28), nil},
		{"three times is no gap yet", days(0, 7, 14, 35, 42), nil},
		{"a day more is", days(0, 7, 14, 36, 43), []int{3}},
		{"two", days(0, 7, 14, 60, 67, 74, 140), []int{3, 6}},
		{"too few to know what is usual", days(0, 7, 100), nil},
		{"all at once", days(3, 3, 3, 3, 90), nil},
		{"without dates", Picture{Chart: mustChart(t, []float64{1, 2, 3, 4}, chart.Settings{})}, nil},
	} {
		got, _ := test.p.gaps()
		if len(got) != len(test.want) || len(got) > 0 && got[0] != test.want[0] {
			t.Errorf("%s: gaps before %v, want %v", test.name, got, test.want)
		}
		var svg bytes.Buffer
		if err := SVG(&svg, test.p, "g"); err != nil {
			t.Fatal(err)
		}
		_, path, _ := strings.Cut(svg.String(), `class="trace" d="`)
		path, _, _ = strings.Cut(path, `"`)
		if strings.Count(path, "M") != 1+len(test.want) {
			t.Errorf("%s: %d strokes, want %d: %s", test.name, strings.Count(path, "M"), 1+len(test.want), path)
		}
	}
	p := days(0, 7, 14, 40, 47, 90, 97, 150, 157, 230, 237, 244, 251, 258)
	if words := p.gapWords(); len(words) != mostGaps+1 || !strings.Contains(words[0], "43 days where 7 days are usual") {
		t.Errorf("%q", words)
	}
}

func TestLapse(t *testing.T) {
	for seconds, want := range map[float64]string{7 * 86400: "7 days", 36 * 3600: "36 hours", 600: "10 minutes", 90: "90.000 seconds"} {
		if got := lapse(seconds); got != want {
			t.Errorf("lapse(%v) = %q, want %q", seconds, got, want)
		}
	}
}

// Steps say what moved, how sure that is, and when chance could have done it.
func TestSteps(t *testing.T) {
	p := Picture{Unit: "mm", Chart: mustChart(t, []float64{1, 2, 3, 11, 12, 13, 11, 13, 12, 7}, chart.Settings{Restart: []int{3, 6, 9}})}
	p.Points = make([]Point, len(p.Chart.Points))
	for i := range p.Points {
		p.Points[i].When = date("2026-01-01").Add(time.Duration(i) * 24 * time.Hour)
	}
	steps := p.Steps()
	for i, want := range []string{"2026-01-04: the mean is higher by 10.00 mm (95 % confidence", "as before", "too few points"} {
		if i >= len(steps) || !strings.Contains(steps[i], want) {
			t.Errorf("steps %q, want %q at %d", steps, want, i)
		}
	}
	if many := (Picture{Chart: mustChart(t, make([]float64, 9), chart.Settings{Restart: []int{1, 2, 3, 4, 5, 6, 7, 8}})}).Steps(); len(many) != mostSteps+1 || many[0] != "step: 3 earlier restarts" {
		t.Errorf("%q", many)
	}
	if !strings.Contains(steps[1], "chance alone") || strings.Contains(steps[0], "chance alone") {
		t.Errorf("%q", steps)
	}
}

// Limits of many small stretches do not swell the file.
func TestManyStretches(t *testing.T) {
	samples := make([][]float64, 20_000)
	for i := range samples {
		samples[i] = []float64{float64(i % 7), float64(i % 5), 3}[:2+i%2]
	}
	c, err := chart.MeanRange(samples, chart.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	var svg bytes.Buffer
	if err := SVG(&svg, Picture{Chart: c}, "m"); err != nil {
		t.Fatal(err)
	}
	if svg.Len() > 2_000_000 {
		t.Errorf("%d bytes", svg.Len())
	}
}
