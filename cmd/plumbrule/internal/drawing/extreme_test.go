package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode"

	"plumbrule/rules/chart"
)

// extremes are pictures that a drawing must survive and stay readable with.
func extremes(tb testing.TB) map[string]Picture {
	tb.Helper()
	plain := func(values ...float64) Picture {
		return Picture{Title: "A title", Quantity: "error", Unit: "µm", Chart: mustChart(tb, values, chart.Settings{Tests: chart.Nelson()})}
	}
	out := map[string]Picture{
		"one-point":    plain(4.2),
		"zero":         plain(0),
		"constant":     plain(7, 7, 7, 7, 7),
		"two-points":   plain(1.5, 2.5),
		"offset":       plain(10000000.1, 10000000.3, 10000000.2, 10000000.4, 10000000.2, 10000000.1, 10000000.3, 10000000.2, 10000000.1),
		"tiny":         plain(3e-12, 5e-12, 4e-12, 1e-12, 2e-12, 6e-12, 3e-12, 5e-12),
		"huge":         plain(3e200, 5e200, 4e200, 1e200, 2e200, 6e200, 3e200, 5e200),
		"denormal":     plain(0, 5e-324, 0, 5e-324, 0, 5e-324, 0, 0),
		"rounding":     plain(1e16, 1e16+2, 1e16),
		"short":        plain(1.1, 2.5, 1.7, 3.3, 0.9),
		"coarse":       plain(1, 2, 1, 1, 2, 2, 1, 1, 2, 1),
		"far-mpe":      plain(1.1, 2.5, 1.7, 3.3, 0.9, 2.2, 1.4, 2.9),
		"same-instant": plain(1.1, 2.5, 1.7, 3.3, 0.9, 2.2, 1.4, 2.9),
		"one-morning":  plain(1.1, 2.5, 1.7, 3.3, 0.9, 2.2, 1.4, 2.9),
		"centuries":    plain(1.1, 2.5, 1.7, 3.3, 0.9, 2.2, 1.4, 2.9),
		"marks":        plain(1.1, 2.5, 1.7, 3.3, 0.9, 2.2, 1.4, 2.9),
		"hostile":      plain(1.1, 2.5, 1.7, 3.3, 0.9, 2.2, 1.4, 2.9, 90),
	}
	edit := func(name string, change func(*Picture)) {
		p := out[name]
		change(&p)
		out[name] = p
	}
	times := func(at func(i int) time.Time) func(*Picture) {
		return func(p *Picture) {
			for i := range p.Chart.Points {
				p.Points = append(p.Points, Point{When: at(i)})
			}
		}
	}
	edit("far-mpe", func(p *Picture) { p.MPE = new(500.0) })
	edit("same-instant", times(func(int) time.Time { return date("2026-03-01") }))
	edit("one-morning", times(func(i int) time.Time { return date("2026-03-01").Add(8*time.Hour + time.Duration(i)*11*time.Minute) }))
	edit("centuries", times(func(i int) time.Time { return date("0900-03-01").AddDate(150*i, 0, 0) }))
	edit("marks", func(p *Picture) {
		for i := range 9 {
			p.Marks = append(p.Marks, Mark{Before: i, Text: fmt.Sprintf("adjustment %d with a text that is far too long for its line", i+1)})
		}
	})
	edit("hostile", func(p *Picture) {
		bad := "</text><script>alert(1)</script>\x00\x1b[31m\u202e\r\n&\"' \xff 漢字漢字漢字 " + strings.Repeat("long", 60)
		p.Title, p.Quantity, p.Unit = bad, bad, bad
		for range p.Chart.Points {
			p.Points = append(p.Points, Point{Label: bad})
		}
		p.Marks = []Mark{{Before: 3, Text: bad}, {Before: 9, Text: bad}}
	})
	values := make([]float64, 20_000)
	for i := range values {
		values[i] = math.Sin(float64(i)) + math.Sin(float64(i)*0.7)
	}
	values[12_345] = 9
	out["many"] = Picture{Title: "Many", Unit: "mm", Chart: mustChart(tb, values, chart.Settings{Baseline: 100, Tests: chart.Tests{PointBeyond: true}})}
	return out
}

func TestTerminalExtremes(t *testing.T) {
	for name, p := range extremes(t) {
		t.Run(name, func(t *testing.T) {
			for _, width := range []int{0, 40, 80, 133} {
				var out bytes.Buffer
				if err := Terminal(&out, p, width); err != nil {
					t.Fatal(err)
				}
				limit := width
				if width == 0 {
					limit = 80
				}
				for line := range strings.SplitSeq(strings.TrimSuffix(out.String(), "\n"), "\n") {
					if wide(line) > limit {
						t.Errorf("%d columns, want at most %d: %s", wide(line), limit, line)
					}
					for _, r := range line {
						if !unicode.IsPrint(r) {
							t.Errorf("unprintable %U in %q", r, line)
						}
					}
					if strings.Contains(line, "NaN") || strings.Contains(line, "Inf") {
						t.Errorf("no figure: %s", line)
					}
				}
				if want := "o"; !strings.Contains(out.String(), want) {
					t.Error("no point drawn")
				}
			}
		})
	}
}

func TestTerminalIsASCIIForPlainTexts(t *testing.T) {
	p := ballBar(t)
	p.Title = "scan-02"
	var out bytes.Buffer
	if err := Terminal(&out, p, 80); err != nil {
		t.Fatal(err)
	}
	for _, r := range out.String() {
		if r > unicode.MaxASCII {
			t.Fatalf("%q in\n%s", r, out.String())
		}
	}
}

func TestSVGExtremes(t *testing.T) {
	coordinate := regexp.MustCompile(` (?:x|y|cx|cy|width|height)="([^"]*)"`)
	fixed := regexp.MustCompile(`^-?\d+\.\d\d$`)
	for name, p := range extremes(t) {
		t.Run(name, func(t *testing.T) {
			var out bytes.Buffer
			if err := SVG(&out, p, "x-"+name); err != nil {
				t.Fatal(err)
			}
			if *draw != "" {
				if err := os.WriteFile(filepath.Join(*draw, name+".svg"), out.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			seen := map[string]int{}
			decoder := xml.NewDecoder(bytes.NewReader(out.Bytes()))
			for {
				token, err := decoder.Token()
				if errors.Is(err, io.EOF) {
					break
				}
				if err != nil {
					t.Fatal(err)
				}
				element, ok := token.(xml.StartElement)
				if !ok {
					continue
				}
				seen[element.Name.Local]++
				for _, attribute := range element.Attr {
					if attribute.Name.Local == "id" {
						seen["#"+attribute.Value]++
					}
				}
			}
			if seen["script"] != 0 || seen["style"] != 1 || seen["svg"] != 1 {
				t.Errorf("elements: %v", seen)
			}
			for id, count := range seen {
				if strings.HasPrefix(id, "#") && (count != 1 || !strings.HasPrefix(id, "#x-"+name)) {
					t.Errorf("id %s %d times", id, count)
				}
			}
			for _, match := range coordinate.FindAllStringSubmatch(out.String(), -1) {
				if !fixed.MatchString(match[1]) {
					t.Errorf("coordinate %q", match[1])
				}
			}
			if points := seen["circle"] - 1; len(p.Chart.Points) < 1500 && points+seen["title"] < len(p.Chart.Points) {
				t.Errorf("%d circles for %d points", points, len(p.Chart.Points))
			}
			for _, r := range out.String() {
				if r != '\n' && !unicode.IsPrint(r) {
					t.Errorf("unprintable %U", r)
				}
			}
			if strings.Contains(out.String(), "NaN") || strings.Contains(out.String(), "Inf") {
				t.Error("a coordinate or figure that is none")
			}
			if out.Len() > 2_000_000 {
				t.Errorf("%d bytes", out.Len())
			}
		})
	}
}
