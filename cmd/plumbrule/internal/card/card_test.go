package card

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image"
	"image/color"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func scanner() Card {
	return Card{
		Site: "Propeller works, measuring room", Device: "scan-03", About: []string{"handheld scanner, Lichtzwirn LZ 30", "serial LZ30-1240"},
		Fitness: "limited", Day: "2026-11-02", Use: "Only diameter. Not distance.", Due: []string{"calibration due by 2027-01-07", "next check due by 2026-11-05, bar-weekly"},
		Printed: "2026-11-03", Record: "devices/scan-03.toml", At: "2026-11-02T23:59:59+01:00", Commit: strings.Repeat("0123456789", 4),
	}
}

func drawn(t *testing.T, c Card, s Size) string {
	t.Helper()
	var out bytes.Buffer
	if err := SVG(&out, c, s); err != nil {
		t.Fatal(err)
	}
	wellFormed(t, out.String())
	return out.String()
}

func wellFormed(tb testing.TB, svg string) {
	tb.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			tb.Fatalf("%v in\n%s", err, svg)
		}
	}
}

func TestCardSays(t *testing.T) {
	svg := drawn(t, scanner(), DefaultSize())
	for _, want := range []string{
		`width="85.6mm" height="54mm"`, ">scan-03<", ">LIMITED<", ">on 2026-11-02<", ">Only diameter. Not distance.<", ">serial LZ30-1240<",
		">calibration due by 2027-01-07<", ">Printed on 2026-11-03 from records of commit 012345678901.<", "look the device up before use",
	} {
		if !strings.Contains(svg, want) {
			t.Errorf("no %s in\n%s", want, svg)
		}
	}
	if again := drawn(t, scanner(), DefaultSize()); again != svg {
		t.Error("not the same bytes")
	}
	c := scanner()
	c.Commit = ""
	svg = drawn(t, c, DefaultSize())
	if !strings.Contains(svg, "from records that are not committed.") || strings.Contains(svg, "commit 0") {
		t.Errorf("a commit is claimed:\n%s", svg)
	}
}

func TestCodeText(t *testing.T) {
	want := "plumbrule card 1\ndevices/scan-03.toml\ncommit 0123456789012345678901234567890123456789\nat 2026-11-02T23:59:59+01:00"
	if got := scanner().Code(); got != want {
		t.Error(got)
	}
	c := scanner()
	c.Commit = ""
	if got := c.Code(); got != strings.Replace(want, "commit "+scanner().Commit, "not committed", 1) {
		t.Error(got)
	}
}

// An independent program reads the codes: zbarimg of ZBar (Debian package zbar-tools).
func TestCodeIsReadByZBar(t *testing.T) {
	reader, err := exec.LookPath("zbarimg")
	if err != nil {
		t.Skip("zbarimg is not installed")
	}
	c := scanner()
	long := c
	long.Record = "devices/" + strings.Repeat("a-long.ID_", 6) + "ends.toml"
	none := c
	none.Commit = ""
	for _, text := range []string{c.Code(), long.Code(), none.Code()} {
		rows, err := modules(text)
		if err != nil {
			t.Fatal(err)
		}
		const scale = 4
		n := len(rows) + 2*quietModules
		picture := image.NewGray(image.Rect(0, 0, n*scale, n*scale))
		for y := range n * scale {
			for x := range n * scale {
				i, j := x/scale-quietModules, y/scale-quietModules
				dark := i >= 0 && j >= 0 && i < len(rows) && j < len(rows) && rows[j][i]
				if !dark {
					picture.SetGray(x, y, color.Gray{Y: 255})
				}
			}
		}
		name := filepath.Join(t.TempDir(), "code.png")
		file, err := os.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(png.Encode(file, picture), file.Close()); err != nil {
			t.Fatal(err)
		}
		out, err := exec.CommandContext(t.Context(), reader, "-q", "--raw", name).Output()
		if err != nil {
			t.Fatalf("%v: %q is not read", err, text)
		}
		if got := strings.TrimSuffix(string(out), "\n"); got != text {
			t.Errorf("read %q, want %q", got, text)
		}
	}
}

func TestForeignTextIsNoMarkup(t *testing.T) {
	c := scanner()
	c.Site = `<script>alert("x")</script>`
	c.About = []string{"kind & \"kind\" \x1b[31m", "serial \u202e</text>"}
	svg := drawn(t, c, DefaultSize())
	for _, bad := range []string{"<script", "\x1b", "\u202e"} {
		if strings.Contains(svg, bad) {
			t.Errorf("%q is on the card", bad)
		}
	}
	if !strings.Contains(svg, `\x1b[31m`) || !strings.Contains(svg, `\u202e&lt;/text&gt;`) {
		t.Error("foreign text is not spelled out")
	}
}

func TestLongTextGrowsSmallerThenIsRefused(t *testing.T) {
	c := scanner()
	c.Device = strings.Repeat("a-long.ID_", 6) + "ends"
	c.Record = "devices/" + c.Device + ".toml"
	if svg := drawn(t, c, DefaultSize()); strings.Contains(svg, "…") {
		t.Error("an id must not be cut")
	}
	c = scanner()
	c.Use = strings.Repeat("Only diameter over 10 mm up to 2 m. ", 4)
	drawn(t, c, DefaultSize())
	c.Use = strings.Repeat("Only diameter over 10 mm up to 2 m. ", 30)
	var fit *FitError
	err := SVG(io.Discard, c, DefaultSize())
	if !errors.As(err, &fit) || err.Error() != "limits of use and due dates of scan-03 have no room on a card of 85.6 mm × 54 mm, expected a larger one" {
		t.Errorf("%v", err)
	}
	if err := SVG(io.Discard, scanner(), Size{50, 30}); !errors.As(err, &fit) || !strings.Contains(err.Error(), "too fine to read") {
		t.Errorf("%v", err)
	}
	drawn(t, c, Size{190, 180})
}

func TestParseSize(t *testing.T) {
	for text, want := range map[string]Size{"85.6x54": {85.6, 54}, "90 x 50 mm": {90, 50}, "100×70": {100, 70}, "100mm×70mm": {100, 70}} {
		if got, err := ParseSize(text); got != want || err != nil {
			t.Errorf("%s: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "85.6", "85.6x", "axb", "40x54", "85x20", "300x54", "85x54x3", "NaNx54", "-85x54", "85,6x54", "1e400x54"} {
		if got, err := ParseSize(text); err == nil {
			t.Errorf("%s is taken as %v", text, got)
		}
	}
}

// 2 × 5 cards of 85.6 mm × 54 mm on A4 less 10 mm around: 171.2 of 190 and 270 of 277.
func TestSheet(t *testing.T) {
	s := DefaultSize()
	if s.PerSheet() != 10 || s.Sheets(10) != 1 || s.Sheets(11) != 2 || (Size{190, 277}).PerSheet() != 1 {
		t.Errorf("%d a sheet", s.PerSheet())
	}
	var out bytes.Buffer
	cards := []Card{scanner(), scanner(), scanner()}
	if err := Sheet(&out, cards, s); err != nil {
		t.Fatal(err)
	}
	wellFormed(t, out.String())
	if n := strings.Count(out.String(), ">LIMITED<"); n != 3 || !strings.Contains(out.String(), `width="210mm" height="297mm"`) {
		t.Errorf("%d cards in\n%s", n, out.String())
	}
	if err := Sheet(io.Discard, make([]Card, 11), s); err == nil {
		t.Error("11 cards on a sheet of 10")
	}
}

// Whatever the records say, the card is well-formed or is refused as too small.
func TestAnyTextIsDrawnOrRefused(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		text := rapid.String()
		c := Card{
			Site: text.Draw(r, "site"), Device: rapid.StringMatching(`[a-zA-Z0-9]([-._a-zA-Z0-9]{0,62}[a-zA-Z0-9])?`).Draw(r, "device"),
			About: rapid.SliceOfN(text, 0, 3).Draw(r, "about"), Fitness: rapid.SampledFrom([]string{"fit", "limited", "unfit", "unknown"}).Draw(r, "fitness"),
			Day: "2026-11-02", Use: text.Draw(r, "use"), Due: rapid.SliceOfN(text, 0, 2).Draw(r, "due"), Printed: "2026-11-03",
		}
		c.Record = "devices/" + c.Device + ".toml"
		s := Size{rapid.Float64Range(50, 190).Draw(r, "width"), rapid.Float64Range(30, 277).Draw(r, "height")}
		var out bytes.Buffer
		var fit *FitError
		if err := SVG(&out, c, s); errors.As(err, &fit) {
			return
		} else if err != nil {
			r.Fatal(err)
		}
		d := xml.NewDecoder(&out)
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				return
			} else if err != nil {
				r.Fatal(err)
			}
		}
	})
}

// A line is at most as wide as asked for, a letter alone excepted, and no letter is lost.
func TestWrapKeepsLetters(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		text := rapid.StringMatching(`[a-zA-Z0-9 .,µ漢]{0,80}`).Draw(r, "text")
		em := rapid.Float64Range(1, 40).Draw(r, "em")
		lines := wrap(text, em, true)
		for _, line := range lines {
			if extent(line, true) > em && len([]rune(line)) > 1 {
				r.Fatalf("%q is %g em wide, asked for %g", line, extent(line, true), em)
			}
		}
		if got := strings.ReplaceAll(strings.Join(lines, ""), " ", ""); got != strings.ReplaceAll(text, " ", "") {
			r.Fatalf("%q became %q", text, lines)
		}
	})
}
