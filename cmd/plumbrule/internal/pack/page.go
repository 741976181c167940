package pack

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"maps"
	"slices"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/table"
)

//go:embed page.html
var pageText string

//go:embed page.css
var pageStyle string

// Page is the page of a pack.
type Page struct {
	Facts    Facts
	Title    string // of the pack
	Period   string
	Standing []Section // the title sheet's: what counts at a glance
	Caution  string
	Sections []Section
	Files    []Table // that are files and stand nowhere on the page as they are
}

// HTML writes the page. Drawings with a file of their own are referred to; with
// read, which returns such a file, they stand in the page.
func (p *Page) HTML(w io.Writer, read func(name string) ([]byte, error)) error {
	t, err := template.New("page").Funcs(template.FuncMap{
		"words": words,
		"shown": shown,
		"style": func() template.CSS { return template.CSS(pageStyle + p.columnStyle()) }, //nolint:gosec // the program's own
		"svg": func(d Drawing) (template.HTML, error) {
			svg := d.SVG
			if d.File != "" {
				var err error
				if svg, err = read(d.File); err != nil {
					return "", err
				}
			}
			return template.HTML(svg), nil //nolint:gosec // drawn by the program, which escapes what it letters
		},
		"inside": func(d Drawing) bool { return read != nil || d.File == "" },
		"figure": func(c table.Column) bool { return c.Align != table.Left },
		"tone":   func(c table.Cell) string { return toneClass(c.Tone) },
		"day":    isDay,
		"deeper": func(list []Section, level int) []levelled {
			out := make([]levelled, len(list))
			for i := range list {
				out[i] = levelled{&list[i], level}
			}
			return out
		},
		"next": func(n int) int { return n + 1 },
	}).Parse(pageText)
	if err != nil {
		return err
	}
	return t.Execute(w, p)
}

// columnStyle are the rules for the widths that columns have: the page has no style in its elements.
func (p *Page) columnStyle() string {
	used := map[int]bool{}
	for _, list := range [][]Section{p.Standing, p.Sections} {
		_ = tables(list, func(t *Table) error { // which never fails here
			for _, w := range t.Widths {
				used[w] = true
			}
			return nil
		})
	}
	var out strings.Builder
	for _, w := range slices.Sorted(maps.Keys(used)) {
		fmt.Fprintf(&out, ".w%d { width: %d%%; }\n", w, w)
	}
	return out.String()
}

// levelled is a section with the level of its heading.
type levelled struct {
	*Section
	Level int
}

// isDay tells a day or an instant, which is not to be broken over lines, from other text.
func isDay(text string) bool {
	if len(text) != len("2006-01-02") && len(text) != len("2006-01-02 15:04") {
		return false
	}
	_, err := time.Parse("2006-01-02", text[:10])
	return err == nil
}

func toneClass(t table.Tone) string {
	switch t {
	case table.Good:
		return "good"
	case table.Doubtful:
		return "caution"
	case table.Bad:
		return "bad"
	case table.Neutral:
	}
	return ""
}

// Write adds page, tables and facts to the folder. Drawings with a file of their
// own are there already.
func (p *Page) Write(f *Folder) error {
	if err := f.Add("index.html", func(w io.Writer) error { return p.HTML(w, nil) }); err != nil {
		return err
	}
	whole := append([]Section{}, p.Sections...)
	for i := range p.Files {
		whole = append(whole, Section{Table: &p.Files[i]})
	}
	if err := tables(whole, func(t *Table) error {
		if t.Name == "" {
			return nil
		}
		if err := f.Add("tables/"+t.Name+".csv", t.files().CSV); err != nil {
			return err
		}
		return f.Add("tables/"+t.Name+".json", t.rowsJSON)
	}); err != nil {
		return err
	}
	return f.Add(FactsName, func(w io.Writer) error { return table.JSON(w, p.Facts) })
}
