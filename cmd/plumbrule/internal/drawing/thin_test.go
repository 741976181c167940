package drawing

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules/chart"
)

func TestThinningKeepsSignalsAndExtremes(t *testing.T) {
	p := extremes(t)["many"]
	kept := map[int]bool{}
	for _, i := range thin(trace{points: p.Chart.Points}, p.across(), 700) {
		kept[i] = true
	}
	if len(kept) >= 4*701 || len(kept) < 700 {
		t.Errorf("%d points kept", len(kept))
	}
	if !kept[12_345] {
		t.Error("the highest point is lost")
	}
	var out bytes.Buffer
	if err := SVG(&out, p, "m"); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(out.String(), "of 20000 points are drawn") {
		t.Error("the drawing does not say that it is thinned")
	}
	out.Reset()
	if err := Terminal(&out, p, 80); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(strings.Join(strings.Fields(out.String()), " "), "one sign can stand for several") {
		t.Error("the terminal drawing does not say that it is thinned")
	}
}

func TestThinningOfOneStep(t *testing.T) {
	var c chart.Chart
	for i := range 2000 {
		point := chart.Point{N: i + 1, Value: float64((i + 2) % 7)}
		if i == 57 || i == 90 {
			point.Signals = []chart.Signal{{Test: chart.SameSide, Points: []int{i + 1}}}
		}
		c.Points = append(c.Points, point)
	}
	// Ten steps: the first ends at index 199. The lowest value comes first at 5,
	// the highest at 4.
	kept := thin(trace{points: c.Points}, Picture{Chart: c}.across(), 10)
	first := kept[:slices.IndexFunc(kept, func(i int) bool { return i >= 200 })]
	if diff := cmp.Diff([]int{4, 5, 57, 199}, first); diff != "" {
		t.Errorf("kept of the first step (want, got):\n%s", diff)
	}
}

// A signal is never hidden by an ordinary point at the same place.
func TestSignalsWinTheirPlace(t *testing.T) {
	for _, values := range [][]float64{{0, 2.99, 3.01}, {0, 3.01, 2.99}} {
		p := Picture{Chart: mustChart(t, values, chart.Settings{Given: &chart.Given{Sigma: 1}, Tests: chart.Nelson()})}
		for range values {
			p.Points = append(p.Points, Point{When: date("2026-01-01")})
		}
		var out bytes.Buffer
		if err := Terminal(&out, p, 80); err != nil {
			t.Fatal(err)
		}
		plot, _, _ := strings.Cut(out.String(), "o point")
		if strings.Count(plot, "X") != 1 || strings.Count(plot, "o") != 1 {
			t.Errorf("%v: want one X and one o in\n%s", values, plot)
		}
	}
}

// A far MPE is told, not drawn, lest it press the chart flat.
func TestFarMPEIsTold(t *testing.T) {
	for name, told := range map[string]bool{"far-mpe": true, "short": false} {
		p := extremes(t)[name]
		var terminal, svg bytes.Buffer
		if err := Terminal(&terminal, p, 80); err != nil {
			t.Fatal(err)
		}
		if err := SVG(&svg, p, "x"); err != nil {
			t.Fatal(err)
		}
		for _, text := range []string{terminal.String(), svg.String()} {
			if strings.Contains(text, "500 ") != told || strings.Contains(text, "lies beyond the drawing") != told {
				t.Errorf("%s: told %v, want %v in\n%s", name, !told, told, text)
			}
		}
	}
}

func TestCoordinates(t *testing.T) {
	for value, want := range map[float64]string{-0.001: "0.00", 0.005: "0.01", 12: "12.00", -3.456: "-3.46"} {
		if got := num(value); got != want {
			t.Errorf("num(%v) = %s, want %s", value, got, want)
		}
	}
}
