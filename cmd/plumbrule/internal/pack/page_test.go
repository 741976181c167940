package pack

import (
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records/calendar"
)

const hostile = `</title></table><script>alert(1)</script>" onload="x` + "\u202e\x1b"

func examplePage(t *testing.T) *Page {
	t.Helper()
	day := func(text string) calendar.Date {
		d, err := calendar.ParseDate(text)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	line := Timeline{From: day("2026-01-01"), To: day("2026-12-31"), Rows: []Row{{Name: hostile, Bands: []Band{
		{day("2026-01-01"), day("2026-02-28"), Good, hostile}, {day("2026-03-01"), day("2026-12-31"), Unsure, "never calibrated"},
	}}}}
	figures := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "error", Unit: "µm", Align: table.Right}}}
	figures.Add(table.Text(hostile), table.Number("+1.3", 1.25))
	figures.Add(table.Text("bare"), table.None())
	return &Page{
		Facts: Facts{Form: 1, Site: hostile}, Title: hostile, Period: "2026", Caution: "with care", Standing: []Section{{ID: "s", Title: "standing", Lead: []string{hostile}}},
		Sections: []Section{{ID: "one", Title: hostile, Facts: []Fact{{hostile, hostile}}, Notes: []string{hostile}, Parts: []Section{
			{ID: "two", Title: "inner", Table: &Table{Name: "figures", Table: figures, Widths: []int{60, 40}}, Drawn: []Drawing{{SVG: line.SVG(hostile, [5]string{"", "fit", "", hostile, ""})}}},
			{ID: "three", Title: "empty", Table: &Table{Name: "none", Table: table.Table{Columns: figures.Columns}, None: "nothing"}},
			{ID: "four", Title: "drawn apart", Drawn: []Drawing{{File: "charts/1.svg", Alt: hostile}}},
		}}},
	}
}

func render(t *testing.T, p *Page) string {
	t.Helper()
	var out strings.Builder
	if err := p.HTML(&out, nil); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestHostileTextStaysText(t *testing.T) {
	got := render(t, examplePage(t))
	for _, bad := range []string{"<script", "\u202e", "\x1b", `" onload="`} {
		if strings.Contains(got, bad) {
			t.Errorf("the page contains %q", bad)
		}
	}
	if !strings.Contains(got, `\u202e`) {
		t.Error("what turns the reading direction is not spelled out")
	}
}

// Headings go down one level at a time, and every header cell says what it heads (WCAG 2.2, 1.3.1, technique H63).
func TestPageIsOrdered(t *testing.T) {
	got := render(t, examplePage(t))
	last := 0
	for _, m := range regexp.MustCompile(`<h([1-6])`).FindAllStringSubmatch(got, -1) {
		level := int(m[1][0] - '0')
		if level > last+1 {
			t.Errorf("a heading of level %d follows one of level %d", level, last)
		}
		last = level
	}
	if last == 0 {
		t.Error("there is no heading")
	}
	for _, th := range regexp.MustCompile(`<th[ >][^<]*`).FindAllString(got, -1) {
		if !strings.Contains(th, `scope="col"`) && !strings.Contains(th, `scope="row"`) {
			t.Errorf("a header cell without scope: %s", th)
		}
	}
	for _, img := range regexp.MustCompile(`<img[^>]*>`).FindAllString(got, -1) {
		if !strings.Contains(img, ` alt="&lt;`) {
			t.Errorf("a picture without a text: %s", img)
		}
	}
}

// For printing, a drawing that is a file of its own stands in the page.
func TestDrawingsStandInThePage(t *testing.T) {
	p := examplePage(t)
	var out strings.Builder
	if err := p.HTML(&out, func(name string) ([]byte, error) { return []byte("<svg><desc>" + name + "</desc></svg>"), nil }); err != nil {
		t.Fatal(err)
	}
	if got := out.String(); !strings.Contains(got, "<svg><desc>charts/1.svg</desc></svg>") || strings.Contains(got, "<img") {
		t.Error("the drawing is still referred to")
	}
	if err := p.HTML(io.Discard, func(string) ([]byte, error) { return nil, fs.ErrNotExist }); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a drawing that cannot be read: %v", err)
	}
}

// The page is looked at by a checker that knows nothing of this program, where it is installed.
func TestPageIsHTML(t *testing.T) {
	tidy, err := exec.LookPath("tidy")
	if err != nil {
		t.Skip("HTML Tidy is not installed")
	}
	check := exec.CommandContext(t.Context(), tidy, "-q", "-e", "-utf8")
	check.Stdin = strings.NewReader(render(t, examplePage(t)))
	if said, err := check.CombinedOutput(); err != nil || len(said) > 0 {
		t.Errorf("tidy: %v\n%s", err, said)
	}
}

func TestTablesAsJSON(t *testing.T) {
	p := examplePage(t)
	var out strings.Builder
	if err := p.Sections[0].Parts[0].Table.rowsJSON(&out); err != nil {
		t.Fatal(err)
	}
	var rows []struct {
		Device string   `json:"device"`
		Error  *float64 `json:"error_um"`
	}
	if err := json.Unmarshal([]byte(out.String()), &rows); err != nil {
		t.Fatal(err)
	}
	if len(rows) != 2 || rows[0].Device != hostile || *rows[0].Error != 1.25 || rows[1].Error != nil {
		t.Errorf("got %s", out.String())
	}
}

// Where the page shows a digest of a table, its files hold the whole.
func TestFilesHoldTheWholeTable(t *testing.T) {
	columns := []table.Column{{Title: "device"}, {Title: "state"}}
	shown, whole := table.Table{Columns: columns[:1]}, table.Table{Columns: columns}
	shown.Add(table.Text("mic-01"))
	whole.Add(table.Text("mic-01"), table.Text("overdue"))
	whole.Add(table.Text("mic-02"), table.Text("within"))
	dir := filepath.Join(t.TempDir(), "pack")
	f, err := Begin(dir)
	if err != nil {
		t.Fatal(err)
	}
	p := &Page{Sections: []Section{{ID: "one", Table: &Table{Name: "states", Table: shown, Whole: &whole}}}}
	if err := errors.Join(p.Write(f), f.Finish()); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{
		"tables/states.csv":  "device,state\r\nmic-01,overdue\r\nmic-02,within\r\n",
		"tables/states.json": `[{"device":"mic-01","state":"overdue"},{"device":"mic-02","state":"within"}]`,
	} {
		got, err := os.ReadFile(filepath.Join(dir, name))
		if text := strings.NewReplacer("\n", "", " ", "", "\r", "").Replace(string(got)); err != nil || text != strings.NewReplacer("\n", "", "\r", "").Replace(want) {
			t.Errorf("%s: %q, %v", name, got, err)
		}
	}
	if page := render(t, p); strings.Contains(page, "mic-02") || !strings.Contains(page, "tables/states.csv") {
		t.Error("the page shows more than its table, or does not name the files")
	}
}

// A drawing with a file of its own is named in the page, or stands in it where the page is to hold all.
func TestDrawings(t *testing.T) {
	p := &Page{Sections: []Section{{ID: "one", Drawn: []Drawing{{File: "charts/chain.svg", Alt: "chain", Tall: true}}}}}
	if page := render(t, p); !strings.Contains(page, `<figure class="wide tall" tabindex="0">`) || !strings.Contains(page, `<img src="charts/chain.svg" alt="chain">`) {
		t.Errorf("%s", page)
	}
	var inline strings.Builder
	read := func(name string) ([]byte, error) { return []byte("<svg id=\"chain\"><!--" + name + "--></svg>"), nil }
	if err := p.HTML(&inline, read); err != nil || !strings.Contains(inline.String(), `<svg id="chain"><!--charts/chain.svg-->`) {
		t.Errorf("%v\n%s", err, inline.String())
	}
}

func BenchmarkPage(b *testing.B) {
	t := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "what"}}}
	for range 10_000 {
		t.Add(table.Text("scan-01"), table.Text("within its interval"))
	}
	p := &Page{Sections: []Section{{ID: "one", Table: &Table{Name: "t", Table: t}}}}
	for b.Loop() {
		if err := p.HTML(io.Discard, nil); err != nil {
			b.Fatal(err)
		}
	}
}
