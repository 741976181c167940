package routedrawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules/route/space"
)

var update = flag.Bool("update", false, "write the golden files anew")

// spokes is six volumes around a hub that is a bridge, all at one height.
func spokes() *Picture {
	p := &Picture{
		Title: "spokes", Sentences: []string{"Branching out: worst pair v1 to v4, path 1.000 m, bound 35.0 µm.", "In a chain: path 2.000 m, bound 50.0 µm."},
		Spots: []Spot{{Name: "hub", Kind: Bridge, Order: 1, RadiusMM: 260}}, Worst: []int{1, 0, 4}, Centre: &Centre{},
	}
	for i := range 6 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 6)
		p.Spots = append(p.Spots, Spot{Name: fmt.Sprint("v", i+1), At: space.Point{math.Round(500 * cos), math.Round(500 * sin)}, Order: i + 2, RadiusMM: 260})
		p.Lines = append(p.Lines, Line{From: 0, To: i + 1, Use: Used})
		if i > 0 {
			p.Lines = append(p.Lines, Line{From: i, To: i + 1})
		}
	}
	return p
}

// everySign has every kind of sign, at several heights.
func everySign() *Picture {
	return &Picture{
		Title: "every sign",
		Spots: []Spot{
			{Name: "bow", At: space.Point{0, 0, 0}, Order: 1, SizeMM: space.Point{600, 500, 400}},
			{Name: "mid", At: space.Point{550, 300, 100}, Order: 2},
			{Name: "stern", At: space.Point{1100, 0, 300}, Order: 3},
			{Name: "over", At: space.Point{550, 0, 700}, Kind: Bridge},
			{Name: "photogrammetry", At: space.Point{550, 100, 130}, Kind: Frame},
			{Name: "below mid", At: space.Point{550, 303, -300}, Order: 4},
		},
		Lines: []Line{{0, 1, Used}, {1, 2, Tied}, {0, 3, Unused}, {1, 5, Used}},
		Solids: []Solid{
			{"engine", space.Cylinder{From: space.Point{300, -200, 0}, To: space.Point{800, -100, 250}, Radius: 80}},
			{"dome", space.Ball{Centre: space.Point{1300, 250, 200}, Radius: 100}},
			{"stand", space.Box{Least: space.Point{-300, 300, -100}, Most: space.Point{-100, 500, 300}}},
		},
		Worst: []int{0, 1, 2}, Centre: &Centre{From: 0, To: 1, Share: 0.4}, Notes: []string{"a note"},
	}
}

func drawn(t *testing.T, p *Picture) string {
	t.Helper()
	var out bytes.Buffer
	if err := SVG(&out, p, "r1"); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestGolden(t *testing.T) {
	for name, p := range map[string]*Picture{"spokes.svg": spokes(), "every-sign.svg": everySign()} {
		got, path := drawn(t, p), filepath.Join("testdata", name)
		if *update {
			if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want), got); diff != "" {
			t.Errorf("%s (want, got):\n%s", name, diff)
		}
	}
}

// element is what a test sees of an element of a drawing.
type element struct {
	name  string
	attrs map[string]string
	text  string
}

func elements(t *testing.T, svg string) (out []element) {
	t.Helper()
	decoder := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatalf("%v\n%s", err, svg)
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := element{name: token.Name.Local, attrs: map[string]string{}}
			for _, a := range token.Attr {
				e.attrs[a.Name.Local] = a.Value
			}
			out = append(out, e)
		case xml.CharData:
			if len(out) > 0 {
				out[len(out)-1].text += strings.TrimSpace(string(token))
			}
		}
	}
}

// A drawing is one picture with a name and a description for those who do not see it.
func TestToldToThoseWhoDoNotSee(t *testing.T) {
	all := elements(t, drawn(t, spokes()))
	if all[0].name != "svg" || all[0].attrs["role"] != "img" || all[0].attrs["aria-labelledby"] != "r1-title r1-desc" {
		t.Errorf("%+v", all[0])
	}
	if all[1].name != "title" || all[1].text != "spokes" || all[2].name != "desc" || !strings.Contains(all[2].text, "bound 35.0 µm") {
		t.Errorf("%+v %+v", all[1], all[2])
	}
}

// The worst pair is told by shape and word, obstacles by hatching, use by class.
func TestSigns(t *testing.T) {
	svg := drawn(t, everySign())
	for _, want := range []string{
		`class="end"`, `bow (worst pair)`, `stern (worst pair)`, `class="solid" fill="url(#r1-hatch)"`, `class="used"`, `class="tied"`, `class="unused"`,
		`class="worst"`, `>centre<`, `>engine<`, `>dome<`, `>stand<`, "prefers-color-scheme:dark", "from above", "from the side", ">a note<", `class="frame"`,
	} {
		if !strings.Contains(svg, want) {
			t.Errorf("no %s", want)
		}
	}
	if strings.Contains(drawn(t, spokes()), "from the side") {
		t.Error("volumes at one height are drawn from the side")
	}
}

// Names are text and nothing else.
func TestHostileNames(t *testing.T) {
	p := spokes()
	p.Title = "</title><script>alert(1)</script>\x00"
	p.Sentences[0] = "\u202e]]>&amp;"
	for i := range p.Spots {
		p.Spots[i].Name = `"/><script>x</script>` + "\n\u200b"
	}
	for _, e := range elements(t, drawn(t, p)) {
		if e.name == "script" {
			t.Error("a script came through")
		}
		if strings.ContainsAny(e.text, "\x00\u202e\u200b") {
			t.Errorf("%q", e.text)
		}
	}
}

// Extreme pictures are well-formed, without figures that are none, and stay on the page.
func TestExtremes(t *testing.T) {
	many := &Picture{Worst: []int{0, 1}}
	for i := range 1500 {
		many.Spots = append(many.Spots, Spot{Name: strings.Repeat("long ", 20), At: space.Point{float64(i % 40), float64(i / 40), float64(i % 7)}, Order: i + 1, RadiusMM: 1})
		for k := range min(i, 4) {
			many.Lines = append(many.Lines, Line{From: i, To: i - k - 1})
		}
	}
	onePlace := &Picture{Spots: []Spot{{Name: "a", Order: 1}, {Name: "b", Order: 2}, {Name: "c", Order: 3}}, Lines: []Line{{0, 1, Used}, {1, 2, Used}}, Worst: []int{0, 1, 2}, Centre: &Centre{From: 1, To: 1}}
	far := spokes()
	far.Spots[3].At = space.Point{space.Largest, -space.Largest, space.Largest}
	small := spokes()
	for i := range small.Spots {
		small.Spots[i].RadiusMM = 0
		for k := range small.Spots[i].At {
			small.Spots[i].At[k] *= 1e-9
		}
	}
	tall := &Picture{Spots: []Spot{{Name: "up"}, {Name: "down", At: space.Point{0, 0, 1e6}}}, Lines: []Line{{From: 0, To: 1}}}
	hundreds := &Picture{}
	for i := range 200 {
		hundreds.Spots = append(hundreds.Spots, Spot{Name: fmt.Sprint(i), At: space.Point{float64(i % 20), float64(i / 20), 0}, Order: i + 1})
	}
	for name, p := range map[string]*Picture{"many": many, "one place": onePlace, "far": far, "small": small, "tall": tall, "hundreds": hundreds} {
		t.Run(name, func(t *testing.T) {
			svg := drawn(t, p)
			all := elements(t, svg)
			height, err := strconv.ParseFloat(all[0].attrs["height"], 64)
			if err != nil || height > 1300 || strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") {
				t.Fatalf("height %v, %v", height, err)
			}
			number := regexp.MustCompile(`-?[0-9.]+ -?[0-9.]+`)
			for _, e := range all {
				if e.attrs["class"] == "hatch" {
					continue
				}
				places := number.FindAllString(e.attrs["d"], -1)
				if e.name == "circle" && e.attrs["class"] != "extent" {
					places = append(places, e.attrs["cx"]+" "+e.attrs["cy"])
				}
				if e.name == "text" {
					places = append(places, e.attrs["x"]+" "+e.attrs["y"])
				}
				for _, place := range places {
					var x, y float64
					if _, err := fmt.Sscan(place, &x, &y); err != nil || x < -1 || x > pageWidth+1 || y < -1 || y > height+1 {
						t.Fatalf("%s at %s on a page %v high", e.name, place, height)
					}
				}
			}
		})
	}
}

func TestRefused(t *testing.T) {
	for _, c := range []struct {
		change func(*Picture)
		want   string
	}{
		{func(p *Picture) { p.Spots = nil }, "a drawing without volumes, expected one or more"},
		{func(p *Picture) { p.Spots[1].At[0] = math.NaN() }, "spot 2 lies at [NaN 0 0], expected three numbers"},
		{func(p *Picture) { p.Lines[0].To = 7 }, "line 1 joins spots 1 and 8, expected two of 7"},
		{func(p *Picture) { p.Solids = []Solid{{Shape: space.Ball{}}} }, "solid 1: a radius of 0 mm, expected one above 0 and up to 1e9"},
		{func(p *Picture) { p.Worst[0] = -1 }, "the worst path leads over spot 0, expected one of 7"},
		{func(p *Picture) { p.Centre.Share = 2 }, "the centre lies at a share of 2 between spots 1 and 1, expected 0 to 1 between two of 7"},
	} {
		p := spokes()
		c.change(p)
		var out bytes.Buffer
		if err := SVG(&out, p, "x"); err == nil || err.Error() != c.want || out.Len() > 0 {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
	if err := SVG(&bytes.Buffer{}, spokes(), "1 x"); err == nil {
		t.Error("a prefix that is none: no error")
	}
	if err := SVG(broken{}, spokes(), "x"); err == nil {
		t.Error("a broken writer: no error")
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errors.New("disk full") }
