package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"strings"
	"testing"
	"time"
	"unicode"

	"plumbrule/rules/chart"
)

func TestEscape(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "a b": "a b", "a  b": "a b", " a": "a", "a ": "a", " ": "", "a\tb\nc": "a b c", "+1.5 µm": "+1.5 µm", "a\u202eb": "a b", "a\x7fb": "a b",
		`<a & "b"'>`: "&lt;a &amp; &#34;b&#34;&#39;&gt;", "µ<": "µ&lt;", "\xff": "\ufffd",
	} {
		if got := escape(text); got != want {
			t.Errorf("%q became %q, want %q", text, got, want)
		}
	}
}

// Whatever a record says, the SVG stays well-formed with the same elements, and
// no control character reaches the terminal.
func FuzzTexts(f *testing.F) {
	f.Add("µm", "]]></style>")
	f.Add("&#0;\x1b[2J", "\xff\u202e\u0085\ufffe")
	values := []float64{1.1, 2.5, 1.7, 3.3, 0.9, 2.2, 1.4, 2.9, 90}
	c, err := chart.Individuals(values, chart.Settings{Baseline: 8, Tests: chart.Nelson()})
	if err != nil {
		f.Fatal(err)
	}
	picture := func(a, b string) Picture {
		points := make([]Point, len(values))
		for i := range points {
			points[i].Label = a
		}
		return Picture{Title: a, Quantity: b, Unit: a, Chart: c, Points: points, Marks: []Mark{{Before: 4, Text: b}, {Before: 5, Text: a}}}
	}
	f.Fuzz(func(t *testing.T, a, b string) {
		var out bytes.Buffer
		if err := SVG(&out, picture(a, b), "f"); err != nil {
			t.Fatal(err)
		}
		allowed := " svg title desc style rect path circle text "
		decoder := xml.NewDecoder(&out)
		for {
			token, err := decoder.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatal(err)
			}
			if element, ok := token.(xml.StartElement); ok && !strings.Contains(allowed, " "+element.Name.Local+" ") {
				t.Fatalf("element %s", element.Name.Local)
			}
		}
		out.Reset()
		if err := Terminal(&out, picture(a, b), 60); err != nil {
			t.Fatal(err)
		}
		for line := range strings.SplitSeq(out.String(), "\n") {
			if wide(line) > 60 {
				t.Fatalf("%d columns: %s", wide(line), line)
			}
			for _, r := range line {
				if !unicode.IsPrint(r) {
					t.Fatalf("%U in %q", r, line)
				}
			}
		}
	})
}

func TestWordsOfSignals(t *testing.T) {
	for _, test := range []struct {
		signals, of int
		want        string
	}{
		{3, 40, "3 of 40 points signal"},
		{1, 40, "1 of 40 points signals"},
		{0, 40, "none of 40 points signals"},
		{1, 1, "the only point signals"},
		{0, 1, "the only point does not signal"},
	} {
		if got := signalCount(test.signals, test.of, "point"); got != test.want {
			t.Errorf("%q, want %q", got, test.want)
		}
	}
}

func TestCut(t *testing.T) {
	for _, test := range []struct {
		text  string
		width int
		want  string
	}{
		{"abcdef", 6, "abcdef"},
		{"abcdefg", 6, "abcde~"},
		{"abcd efg", 6, "abcd~"},
		{"漢字漢字", 8, "漢字漢字"},
		{"漢字漢字", 7, "漢字漢~"},
		{"漢字漢字", 6, "漢字~"},
		{"", 3, ""},
	} {
		if got := cut(test.text, test.width, "~"); got != test.want {
			t.Errorf("cut(%q, %d) = %q, want %q", test.text, test.width, got, test.want)
		}
	}
}

// Two points of one day are told apart by the time.
func TestWhenTellsPointsOfOneDayApart(t *testing.T) {
	p := Picture{Points: []Point{
		{When: date("2026-01-01").Add(8 * time.Hour)}, {When: date("2026-01-01").Add(9 * time.Hour)}, {When: date("2026-01-02")},
	}}
	for i, want := range []string{"2026-01-01 08:00", "2026-01-01 09:00", "2026-01-02"} {
		if got := p.when(i); got != want {
			t.Errorf("point %d: %s, want %s", i+1, got, want)
		}
	}
}

func ExampleTerminal() {
	c, err := chart.Individuals([]float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}, chart.Settings{Tests: chart.Nelson()})
	if err != nil {
		return
	}
	_ = Terminal(os.Stdout, Picture{Quantity: "flow rate", Chart: c}, 40)
	// Output:
	// flow rate
	//    |
	// 56 +- - - - - - - - - - - - - - - - - -
	//    |
	// 54 +
	//    |                              o
	//    |                       o   o
	// 52 +                                  o
	//    |------------o------o----------------
	//    |
	// 50 + o      o
	//    |
	// 48 +
	//    |     o          o
	//    |
	// 46 +- - - - - - - - - - - - - - - - - -
	//    |
	//    +----------------+-----------------+-
	//                     5                10
	//      [----------- baseline -----------]
	//
	// o point, X point that signals
	// --- centre 50.81, - - control limits
	//     45.82 and 55.80; [-] baseline points
	//     1 to 10
	// moving range, not drawn: centre
	//     1.88, upper limit 6.13
	// none of 10 points signals; none of 9
	//     moving ranges signals
}
