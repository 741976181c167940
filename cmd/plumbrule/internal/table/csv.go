package table

import (
	"encoding/csv"
	"io"
	"strings"
)

// CSV prints all columns with their raw values (RFC 4180, with line feeds): the header is the title in snake case with
// the unit behind it, error_um for "error" in µm; a figure that does not exist is empty. Nothing is escaped but what CSV
// itself needs, because a program wants the text that was recorded.
func (t Table) CSV(w io.Writer) error {
	if err := t.check(); err != nil {
		return err
	}
	out := csv.NewWriter(w)
	var names []string
	for _, c := range t.Columns {
		names = append(names, c.Name())
	}
	if err := out.Write(names); err != nil {
		return err
	}
	for _, row := range t.Rows {
		var fields []string
		for _, cell := range row {
			fields = append(fields, cell.Raw)
		}
		if err := out.Write(fields); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// Name returns the column's name for programs: title and unit in snake case and ASCII, "error_um", "temperature_celsius".
func (c Column) Name() string {
	unit := map[string]string{"°C": "celsius", "%": "percent", "°": "deg", "1/K": "per_k", "K⁻¹": "per_k"}[c.Unit]
	if unit == "" {
		unit = c.Unit
	}
	var name strings.Builder
	gap := false
	for _, r := range strings.ToLower(c.Title + " " + unit) {
		switch {
		case r == 'µ' || r == 'μ':
			r = 'u'
		case r == '/':
			gap = name.Len() > 0
			name.WriteString("_per")
			continue
		case (r < 'a' || r > 'z') && (r < '0' || r > '9'):
			gap = name.Len() > 0
			continue
		}
		if gap {
			name.WriteByte('_')
			gap = false
		}
		name.WriteRune(r)
	}
	return name.String()
}
