package drawing

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"plumbrule/rules/chart"
)

func TestRefusedPictures(t *testing.T) {
	day := date("2026-01-01")
	for _, test := range []struct {
		name   string
		change func(*Picture)
		says   string
	}{
		{"no points", func(p *Picture) { p.Chart = chart.Chart{} }, "without points"},
		{"too few points described", func(p *Picture) { p.Points = make([]Point, 3) }, "3 points described for a chart of 10"},
		{"one without time", func(p *Picture) { p.Points = make([]Point, 10); p.Points[0].When = day }, "point 2 and the first"},
		{"one with time", func(p *Picture) { p.Points = make([]Point, 10); p.Points[4].When = day }, "point 5 and the first"},
		{"out of order", func(p *Picture) {
			p.Points = make([]Point, 10)
			for i := range p.Points {
				p.Points[i].When = day.AddDate(0, 0, -i)
			}
		}, "point 2 is earlier than point 1"},
		{"MPE of 0", func(p *Picture) { p.MPE = new(0.0) }, "maximum permissible error of 0"},
		{"MPE unknown", func(p *Picture) { p.MPE = new(math.NaN()) }, "maximum permissible error of NaN"},
		{"mark beyond the end", func(p *Picture) { p.Marks = []Mark{{Before: 11}} }, "mark 1 before point index 11"},
		{"targets of other segments", func(p *Picture) { p.Targets = []float64{1, 2} }, "2 targets for a chart of 1 segments"},
		{"too wide", func(p *Picture) { p.MPE = nil; p.Chart.Points[0].Value = 1.7e308; p.Chart.Points[1].Value = -1.7e308 }, "too wide to draw"},
	} {
		t.Run(test.name, func(t *testing.T) {
			p := flowRate(t)
			test.change(&p)
			var out bytes.Buffer
			for name, err := range map[string]error{"terminal": Terminal(&out, p, 80), "SVG": SVG(&out, p, "x")} {
				if err == nil || !strings.Contains(err.Error(), test.says) {
					t.Errorf("%s: error %v, want one saying %q", name, err, test.says)
				}
			}
			if out.Len() != 0 {
				t.Errorf("%d bytes written all the same", out.Len())
			}
		})
	}
	for _, prefix := range []string{"", "1a", "a b", `a"><script>`, "ä"} {
		if err := SVG(&bytes.Buffer{}, flowRate(t), prefix); err == nil || !strings.Contains(err.Error(), "prefix") {
			t.Errorf("prefix %q: error %v", prefix, err)
		}
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestWriteErrorsAreReturned(t *testing.T) {
	if err := Terminal(broken{}, flowRate(t), 80); err == nil {
		t.Error("terminal: no error")
	}
	if err := SVG(broken{}, flowRate(t), "x"); err == nil {
		t.Error("SVG: no error")
	}
}
