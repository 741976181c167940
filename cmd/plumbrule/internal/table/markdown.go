package table

import (
	"io"
	"strings"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
)

// Markdown prints the table as a pipe table (GitHub Flavored Markdown, section 4.10), all columns, unwrapped. Signs that
// would be read as markup in cells and headers are escaped.
func (t Table) Markdown(w io.Writer) error {
	if err := t.check(); err != nil {
		return err
	}
	headers, rows := t.texts()
	var all []int
	for i := range t.Columns {
		headers[i] = Escape(headers[i])
		all = append(all, i)
	}
	writer := tablewriter.NewTable(w, append(unaltered(alignment(t.Columns, all)),
		tablewriter.WithRenderer(renderer.NewMarkdown()))...)
	writer.Header(headers)
	for _, row := range rows {
		for i := range row {
			row[i] = Escape(row[i])
		}
		if err := writer.Append(row); err != nil {
			return err
		}
	}
	return writer.Render()
}

// Escape makes text stand for itself in Markdown, in a table as in a paragraph.
func Escape(text string) string {
	return strings.NewReplacer(`\`, `\\`, "|", `\|`, "`", "\\`", "*", `\*`, "_", `\_`, "<", `\<`, "[", `\[`, "&", `\&`).Replace(text)
}
