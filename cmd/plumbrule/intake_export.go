package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"plumbrule/records"
)

// The columns of an export: one reading a row.
const (
	featureColumn = "feature"
	valueColumn   = "value"
	unitColumn    = "unit" // may be left out
	pathColumn    = "path" // may be left out
)

// headerSize is how much of a file is looked at for the header row of an export.
const headerSize = 4 << 10

// isExport reports whether a file is comma-separated values with the columns of an export. Scans may be such files as well.
func (e env) isExport(name string) bool {
	if !strings.EqualFold(filepath.Ext(name), ".csv") {
		return false
	}
	f, err := os.Open(e.path(name))
	if err != nil {
		return false // told when it is read as a scan
	}
	defer func() { _ = f.Close() }()
	start, err := io.ReadAll(io.LimitReader(f, headerSize))
	if err != nil {
		return false
	}
	line, _, _ := bytes.Cut(bytes.TrimPrefix(bytes.TrimSpace(start), []byte("\ufeff")), []byte("\n"))
	cells := strings.FieldsFunc(string(line), func(r rune) bool { return strings.ContainsRune(",;\t\"\r ", r) })
	return slices.Contains(cells, featureColumn)
}

// export reads the readings of an export into a check. Rows of one feature are its repeats, in their order.
func (r *recording) export(c *records.Check, name, said string) error {
	columns, err := r.env.openColumns(name)
	if err != nil {
		return err
	}
	columns.blank = "fill it in, or delete the row"
	x := &exportReader{csvColumns: columns, check: c, unit: said}
	if err := x.columns(); err != nil {
		return err
	}
	if err := columns.each(x.row); err != nil {
		return err
	}
	if len(c.Readings) == 0 {
		return columns.empty(x.value)
	}
	c.Unit = firstOf(x.unit, c.Unit)
	return nil
}

// exportReader reads the rows of an export.
type exportReader struct {
	*csvColumns
	check                          *records.Check
	feature, value, unitAt, pathAt int
	unit                           string // of all readings; empty: nobody has said
}

func (x *exportReader) columns() (err error) {
	allowed := []string{featureColumn, valueColumn, unitColumn, pathColumn}
	for i, name := range x.header {
		if !slices.Contains(allowed, name) {
			return x.at(i, fmt.Sprintf("column %q is none of an export's", name), "its columns are "+strings.Join(allowed, ", "))
		}
	}
	if x.feature, err = x.find("", featureColumn); err != nil {
		return err
	}
	if x.value, err = x.find("", valueColumn); err != nil {
		return err
	}
	if x.unitAt, err = x.has(unitColumn); err != nil {
		return err
	}
	x.pathAt, err = x.has(pathColumn)
	return err
}

// row reads one reading.
func (x *exportReader) row(row []string) error {
	feature, err := x.text(row, x.feature)
	if err != nil {
		return err
	}
	value, err := x.number(row, x.value)
	if err != nil {
		return err
	}
	if x.unitAt >= 0 {
		unit, err := x.text(row, x.unitAt)
		if err != nil {
			return err
		}
		if millimetresIn(unit) == 0 || unit == "cm" {
			return x.at(x.unitAt, fmt.Sprintf("%q is no unit of readings, expected mm, µm, um, m or in", unit), "")
		}
		if x.unit != "" && x.unit != unit {
			return x.at(x.unitAt, fmt.Sprintf("the unit %s, and %s was said before", unit, x.unit), "write all readings of a check in one unit")
		}
		x.unit = unit
	}
	readings := &x.check.Readings
	i := slices.IndexFunc(*readings, func(o records.Reading) bool { return o.Feature == feature })
	if i < 0 {
		i = len(*readings)
		*readings = append(*readings, records.Reading{Feature: feature})
	}
	at := &(*readings)[i]
	at.Values, at.Typed = append(at.Values, value), append(at.Typed, strings.TrimSpace(row[x.value]))
	if x.pathAt < 0 || strings.TrimSpace(row[x.pathAt]) == "" {
		return nil
	}
	path, err := pathLength(strings.TrimSpace(row[x.pathAt]))
	if err != nil {
		what, mend := mistake(err)
		return x.at(x.pathAt, what, mend)
	}
	if !at.Path.IsZero() && at.Path.Compare(path) != 0 {
		return x.at(x.pathAt, fmt.Sprintf("the path %s, and %s was said of %s before", path, at.Path, feature), "the readings of one feature have one path in a check; record others as a check of their own")
	}
	at.Path = path
	return nil
}
