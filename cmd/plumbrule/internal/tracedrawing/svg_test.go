package tracedrawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the golden files anew")

// everySign has every kind of step, a gap, and a step that stands twice.
func everySign() *Picture {
	return &Picture{
		Title: "Chain of traceability: job hub-7", Sentences: []string{"job hub-7: 1 gap."},
		Steps: []Step{
			{Kind: "job", Name: "hub-7", Words: []string{"Hub, four blades", "2026-11-23 to 2026-11-24"}, Figures: []Figure{{"distance up to 1.5 m: tolerance 1000.0 µm", ""}}, Below: []int{1}},
			{Kind: Device, Name: "scan-1", Words: []string{"handheld scanner"}, Below: []int{2, 3}},
			{Kind: Check, Name: "scan-1/2026/a", Figures: []Figure{{"A-C: error +3.1 µm, pass", "U = 3.5 µm (k = 2.00)"}}, Below: []int{4}},
			{Kind: Check, Name: "scan-1/2026/b", Below: []int{4}},
			{Kind: Artifact, Name: "bar-1", Below: []int{5}},
			{Kind: Certificate, Name: "K-113", Figures: []Figure{{"A-C: value 800.0150 mm", "U = 1.6 µm (k = 2)"}}, Gaps: []Gap{{1, "its interval ended on 2026-10-14 (ISO/IEC 17025:2017, 6.4.8)"}}, Below: []int{6, 7}},
			{Kind: File, Name: "certificates/K-113.pdf"},
			{Kind: Laboratory, Name: "Lab", Below: []int{8, 9}},
			{Kind: Standard, Name: "interferometer"},
			{Kind: Reference, Name: "Traceable to the SI"},
		},
	}
}

// What the signs look like was looked at in a browser, light and dark; the files hold it.
func TestGolden(t *testing.T) {
	var out bytes.Buffer
	if err := SVG(&out, everySign(), "chain"); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join("testdata", "every-sign.svg")
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), out.String()); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// texts reads an SVG as XML and returns what its elements of a name say, joined.
func texts(tb testing.TB, data []byte, element string) string {
	tb.Helper()
	d := xml.NewDecoder(bytes.NewReader(data))
	var out strings.Builder
	inside := false
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out.String()
		}
		if err != nil {
			tb.Fatal(err)
		}
		switch x := token.(type) {
		case xml.StartElement:
			inside = inside || x.Name.Local == element
			if x.Name.Local == "script" {
				tb.Error("a script")
			}
		case xml.EndElement:
			if x.Name.Local == element {
				inside = false
				out.WriteByte('\n')
			}
		case xml.CharData:
			if inside {
				out.Write(x)
			}
		}
	}
}

// Foreign text stays text, what cannot be seen is spelled out, and no letter of a long name is lost.
func TestForeignAndLongText(t *testing.T) {
	long := strings.Repeat("Propellerwerkskalibrierlaboratorium", 12)
	p := &Picture{Title: `a & b <script>alert("x")</script>`, Steps: []Step{
		{Kind: Laboratory, Name: long, Words: []string{long}, Figures: []Figure{{long, strings.Repeat("U = 1 µm ", 40)}}, Gaps: []Gap{{7, long + " \x1b[31m\u202e\x00\xff"}}, Below: []int{0}},
	}}
	var out bytes.Buffer
	if err := SVG(&out, p, "chain"); err != nil {
		t.Fatal(err)
	}
	if title := texts(t, out.Bytes(), "title"); title != p.Title+"\n" {
		t.Errorf("title %q", title)
	}
	said := strings.ReplaceAll(texts(t, out.Bytes(), "text"), "\n", "")
	if n := strings.Count(said, long); n < 4 {
		t.Errorf("a long text is whole %d times, want 4", n)
	}
	if n := strings.Count(said, "µm"); n != 40 {
		t.Errorf("a long uncertainty has %d of its 40 parts", n)
	}
	for _, hidden := range []string{"\x1b", "\u202e", "\x00"} {
		if strings.Contains(out.String(), hidden) {
			t.Errorf("%q is in the drawing", hidden)
		}
	}
	for _, shown := range []string{`\x1b[31m`, `\u202e`, `\x00`, `\xff`} {
		if !strings.Contains(said, shown) {
			t.Errorf("%s is not spelled out", shown)
		}
	}
}

// The description says what is drawn to those who do not see it: each step, and each gap by its number.
func TestDescription(t *testing.T) {
	var out bytes.Buffer
	if err := SVG(&out, everySign(), "chain"); err != nil {
		t.Fatal(err)
	}
	desc := texts(t, out.Bytes(), "desc")
	for _, s := range everySign().Steps {
		if !strings.Contains(desc, string(s.Kind)+" "+s.Name) {
			t.Errorf("%s %s is not described", s.Kind, s.Name)
		}
	}
	if !strings.Contains(desc, "gap 1: its interval ended") {
		t.Error("the gap is not described")
	}
	if !strings.Contains(out.String(), `aria-labelledby="chain-title chain-desc"`) {
		t.Error("title and description are not referred to")
	}
}

// A gap is told by shape and word, not by colour: a dashed outline, a broken line, a diamond and the word.
func TestGapsAreToldWithoutColour(t *testing.T) {
	draw := func(p *Picture) string {
		var out bytes.Buffer
		if err := SVG(&out, p, "chain"); err != nil {
			t.Fatal(err)
		}
		_, body, _ := strings.Cut(out.String(), "</style>")
		return body
	}
	with, whole := draw(everySign()), everySign()
	whole.Steps[5].Gaps = nil
	without := draw(whole)
	for _, sign := range []string{`class="box gapped"`, `class="broken"`, `class="cut"`, `class="gap"`, "GAP 1: "} {
		if !strings.Contains(with, sign) || strings.Contains(without, sign) {
			t.Errorf("%s: with a gap %v, without %v", sign, strings.Contains(with, sign), strings.Contains(without, sign))
		}
	}
	if strings.Count(with, `class="again"`) != 1 || !strings.Contains(with, "bar-1 (see above)") {
		t.Error("what stands twice is not told")
	}
}

// However deep and however wide a chain is, every step has its box inside the page.
func TestDeepAndWideChains(t *testing.T) {
	p := &Picture{Steps: []Step{{Kind: "job", Name: "root"}}}
	for i := range 60 {
		p.Steps[i].Below = []int{i + 1}
		p.Steps = append(p.Steps, Step{Kind: Check, Name: fmt.Sprint("deep ", i)})
	}
	for i := range 300 {
		p.Steps[0].Below = append(p.Steps[0].Below, len(p.Steps))
		p.Steps = append(p.Steps, Step{Kind: Device, Name: fmt.Sprint("wide ", i), Figures: make([]Figure, mostFigures+3)})
	}
	boxes, bottom := p.boxes(0)
	if len(boxes) != len(p.Steps) {
		t.Errorf("%d boxes for %d steps", len(boxes), len(p.Steps))
	}
	if l := boxes[len(boxes)-1].lines; len(l) != mostFigures+1 || l[mostFigures].text != "and 3 figures more" {
		t.Errorf("%d lines for %d figures, the last %q", len(l), mostFigures+3, l[len(l)-1].text)
	}
	last := 0.0
	for _, b := range boxes {
		if b.left < border || b.left > pageWidth-border-300 || b.top < last || b.top+b.height > bottom {
			t.Fatalf("box at %v, %v of height %v", b.left, b.top, b.height)
		}
		last = b.top + b.height
	}
	if err := SVG(io.Discard, p, "x"); err != nil {
		t.Error(err)
	}
}

func TestPicturesThatAreRefused(t *testing.T) {
	for _, c := range []struct {
		p    *Picture
		want string
	}{
		{&Picture{}, "a drawing without steps, expected one or more"},
		{&Picture{Steps: []Step{{Below: []int{1}}}}, "step 1 rests on step 2, expected one of 1"},
		{&Picture{Steps: []Step{{Below: []int{-1}}}}, "step 1 rests on step 0, expected one of 1"},
	} {
		var out bytes.Buffer
		if err := SVG(&out, c.p, "x"); err == nil || err.Error() != c.want || out.Len() > 0 {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
	if err := SVG(io.Discard, everySign(), "1 x"); err == nil {
		t.Error("a prefix that is none: no error")
	}
	if err := SVG(broken{}, everySign(), "x"); err == nil {
		t.Error("a broken writer: no error")
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errors.New("disk full") }
