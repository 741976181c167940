package table

import (
	"bytes"
	"io"
	"strings"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"

	"plumbrule/cmd/plumbrule/internal/show"
)

// gap is what stands between two columns.
const gap = "  "

// Screen says where a plain table goes.
type Screen struct {
	// Width is the terminal's, in columns. 0 means that it is no terminal: the table is then laid out for [DefaultWidth],
	// always the same way, and no column is left out, because nobody can make a file wider afterwards.
	Width int

	// Colour allows colour on words that have a tone.
	Colour bool
}

// DefaultWidth is the width in columns of what goes to no terminal.
const DefaultWidth = 80

// Plain prints the table without borders: headers, a light rule, the rows; no line ends in blanks. Where it is too wide,
// headers are folded first, then optional columns left out, then cells wrapped; a figure is never cut, so a very narrow
// screen is exceeded.
func (t Table) Plain(w io.Writer, screen Screen) error {
	if err := t.check(); err != nil {
		return err
	}
	l := t.layout(screen)
	var out bytes.Buffer
	writer := tablewriter.NewTable(&out, append(unaltered(l.alignment()),
		tablewriter.WithPadding(tw.PaddingNone),
		tablewriter.WithRenderer(renderer.NewBlueprint(light())),
	)...)
	writer.Header(l.headers)
	for i, row := range l.rows {
		if screen.Colour {
			for j, column := range l.columns {
				row[j] = tinted(row[j], t.Rows[i][column].Tone)
			}
		}
		if err := writer.Append(row); err != nil {
			return err
		}
	}
	if err := writer.Render(); err != nil {
		return err
	}
	if len(l.rows) == 0 { // the rule is drawn between headers and rows only
		out.WriteString(strings.Repeat("─", wide(out.String())) + "\n")
	}
	for line := range strings.Lines(out.String()) {
		if _, err := io.WriteString(w, strings.TrimRight(line, " \n")+"\n"); err != nil {
			return err
		}
	}
	return nil
}

// unaltered switches off all that would change text: capitals in headers, trimmed blanks, wrapping by other rules than
// ours, and widths that depend on the locale.
func unaltered(align []tw.Align) []tablewriter.Option {
	return []tablewriter.Option{
		tablewriter.WithHeaderAutoFormat(tw.Off), tablewriter.WithEastAsian(tw.Off),
		tablewriter.WithTrimSpace(tw.Off), tablewriter.WithTrimTab(tw.Off), tablewriter.WithTrimLine(tw.Off),
		tablewriter.WithHeaderAutoWrap(tw.WrapNone), tablewriter.WithRowAutoWrap(tw.WrapNone),
		tablewriter.WithHeaderAlignmentConfig(tw.CellAlignment{PerColumn: align}),
		tablewriter.WithRowAlignmentConfig(tw.CellAlignment{PerColumn: align}),
	}
}

// light is the look: no borders, two blanks between columns, one thin rule below the headers.
func light() tw.Rendition {
	return tw.Rendition{
		Borders: tw.BorderNone,
		Symbols: tw.NewSymbolCustom("light").WithColumn(gap).WithRow("─").WithCenter("──").WithHeaderMid("──"),
		Settings: tw.Settings{
			Separators: tw.Separators{BetweenColumns: tw.On, BetweenRows: tw.Off, ShowHeader: tw.On},
			Lines:      tw.Lines{ShowHeaderLine: tw.On},
		},
	}
}

// tinted colours the words of a cell, not the blanks around them.
func tinted(text string, tone Tone) string {
	code := map[Tone]string{Good: "32", Doubtful: "33", Bad: "1;31"}[tone]
	if code == "" || show.Width(text) == 0 {
		return text
	}
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		lines[i] = "\x1b[" + code + "m" + line + "\x1b[0m"
	}
	return strings.Join(lines, "\n")
}
