package residuals

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"github.com/google/go-cmp/cmp"
)

var (
	update = flag.Bool("update", false, "write the golden files anew")
	drawTo = flag.String("draw", "", "folder to write the drawings of extreme scenes to, to be looked at")
)

func svg(t testing.TB, s *Scene) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := SVG(&out, s); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func keep(t *testing.T, name string, data []byte) {
	t.Helper()
	if *drawTo == "" {
		return
	}
	if err := os.WriteFile(filepath.Join(*drawTo, strings.ReplaceAll(name, " ", "-")), data, 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestSVGGolden(t *testing.T) {
	for name, s := range map[string]*Scene{"bar.svg": bar(400), "bare.svg": extremes(t)["bare"]} {
		path := filepath.Join("testdata", name)
		got := svg(t, s)
		if *update {
			if err := os.WriteFile(path, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(string(got), "\n")); diff != "" {
			t.Errorf("%s (want, got):\n%s", name, diff)
		}
	}
}

// elements counts the elements of a drawing, and asks for those of ours only.
func elements(t testing.TB, data []byte) map[string]int {
	t.Helper()
	allowed := " svg title desc style path circle text "
	seen := map[string]int{}
	decoder := xml.NewDecoder(bytes.NewReader(data))
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			return seen
		}
		if err != nil {
			t.Fatal(err)
		}
		element, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		seen[element.Name.Local]++
		if !strings.Contains(allowed, " "+element.Name.Local+" ") {
			t.Errorf("element %s", element.Name.Local)
		}
		for _, a := range element.Attr {
			if name := a.Name.Local; strings.HasPrefix(name, "on") || name == "href" || strings.Contains(a.Value, "url(") {
				t.Errorf("attribute %s=%q", name, a.Value)
			}
		}
	}
}

func TestSVGExtremes(t *testing.T) {
	number := regexp.MustCompile(`-?[0-9]+(\.[0-9]*)?`)
	decimals := regexp.MustCompile(`^-?[0-9]+(\.[0-9]{2})?$`)
	for name, s := range extremes(t) {
		t.Run(name, func(t *testing.T) {
			data := svg(t, s)
			keep(t, name+".svg", data)
			seen := elements(t, data)
			if seen["svg"] != 1 || seen["style"] != 1 || seen["title"] != 1 || seen["desc"] != 1 {
				t.Errorf("elements: %v", seen)
			}
			marks := s.draw().marks
			if drawn := seen["path"] + seen["circle"] + seen["text"]; drawn != len(marks) {
				t.Errorf("%d elements for %d marks", drawn, len(marks))
			}
			for line := range strings.SplitSeq(string(data), "\n") {
				if at := strings.Index(line, ` d="`); at >= 0 {
					for _, n := range number.FindAllString(line[at:], -1) {
						if !decimals.MatchString(n) {
							t.Fatalf("coordinate %q in %.80s", n, line)
						}
					}
				}
			}
			for _, r := range string(data) {
				if r != '\n' && !unicode.IsPrint(r) {
					t.Errorf("unprintable %U", r)
				}
			}
			if bytes.Contains(data, []byte("NaN")) || bytes.Contains(data, []byte("Inf")) {
				t.Error("a coordinate or figure that is none")
			}
			// A map of cells that all differ from their neighbours has about 40 bytes for each.
			if most := 60_000 * (1 + min(len(s.Spheres), mostPanels)); len(data) > most {
				t.Errorf("%d bytes, expected at most %d", len(data), most)
			}
			if again := svg(t, s); !bytes.Equal(data, again) {
				t.Error("drawn twice, and not alike")
			}
		})
	}
}

// The size does not grow with the points: ten times as many may fill all cells, but no more.
func TestSizeIsBounded(t *testing.T) {
	all := extremes(t)
	few, many := len(svg(t, all["bar"])), len(svg(t, all["dense"]))
	if many > 2*few {
		t.Errorf("%d bytes for 4 000 points a sphere, %d for 40 000", few, many)
	}
}

func TestSVGTellsWhatItShows(t *testing.T) {
	data := string(svg(t, bar(4000)))
	for _, want := range []string{
		`role="img" aria-labelledby="residuals-title residuals-desc"`,
		`<title id="residuals-title">2026-11-02-bar-800.ply</title>`,
		"A: diameter 30.0004 mm, ", "A–C 800.0471 mm, u = 0.46 µm", "prefers-color-scheme:dark", "@media print",
		">sphere C: the residuals form two sheets about 27 µm apart; the views may not fit together<",
		">to the right: from A to C<", ">120°<", ">residuals in µm<", ">from +3 s to -3 s;<",
	} {
		if !strings.Contains(data, want) {
			t.Errorf("no %q", want)
		}
	}
}

// Rejected points without a cross are counted in words.
func TestUndrawn(t *testing.T) {
	s := &extremes(t)["dense"].Spheres[1]
	_, rejected := s.count()
	f, _ := newFrame(s.Axis, xyz{1, 0, 0})
	l := &list{}
	c := newCap(s, f)
	drawn := c.crosses(l, 0, 0)
	if drawn != mostCrosses || len(l.marks[0].(strokes).at) != 2*mostCrosses {
		t.Errorf("%d crosses, %d strokes", drawn, len(l.marks[0].(strokes).at))
	}
	// An even choice, so that the last part of the scan is not passed over.
	last, marked := c.rejected[len(c.rejected)-1], l.marks[0].(strokes).at[2*mostCrosses-1]
	if i := (mostCrosses - 1) * len(c.rejected) / mostCrosses; math.Abs(marked.x1-cellSize*c.rejected[i].x) > 3 || len(c.rejected)-i > 10 {
		t.Errorf("the last cross at %+v, the last rejected point at %+v", marked, last)
	}
	for _, test := range []struct {
		c     seenCap
		drawn int
		want  string
	}{
		{*c, drawn, "rejected points not drawn: " + grouped(rejected-mostCrosses)},
		{seenCap{rejected: make([]place, 12_150)}, 150, "rejected points not drawn: 12 000"},
		{seenCap{rejected: make([]place, 7), beyond: 2}, 7, "rejected points beyond the map: 2"},
		{seenCap{rejected: make([]place, 7), beyond: 2}, 4, "rejected points not drawn: 3; beyond the map: 2"},
		{seenCap{rejected: make([]place, 7)}, 7, ""},
	} {
		if got := test.c.undrawn(test.drawn); got != test.want {
			t.Errorf("%q, want %q", got, test.want)
		}
	}
}

// Whatever a file or a record is called, the drawing has the same elements.
func FuzzTexts(f *testing.F) {
	f.Add("]]></style>", "A")
	f.Add("&#0;\x1b[2J", "\xff\u202e\u0085\ufffe")
	scene := func(a, b string) *Scene {
		s := &Scene{Title: a, Subtitle: b, Warnings: []string{a, b}, Footer: a, Spheres: []Sphere{
			{Name: "x" + b, Verdict: a, RadiusMM: 15, Axis: xyz{0, 0, 1}},
			{Name: "C", Verdict: b, RadiusMM: 15, Axis: xyz{0, 0, 1}, CenterMM: xyz{800}},
		}}
		s.Distances = []Distance{{s.Spheres[0].Name, "C", 800, 1}}
		return s
	}
	f.Fuzz(func(t *testing.T, a, b string) {
		if "x"+b == "C" {
			return
		}
		data := svg(t, scene(a, b))
		elements(t, data)
		for _, r := range string(data) {
			if r != '\n' && !unicode.IsPrint(r) {
				t.Fatalf("unprintable %U", r)
			}
		}
		if len(data) > 60_000 {
			t.Fatalf("%d bytes", len(data))
		}
	})
}

func BenchmarkSVG(b *testing.B) {
	s := bar(1_000_000)
	for b.Loop() {
		if err := SVG(io.Discard, s); err != nil {
			b.Fatal(err)
		}
	}
}
