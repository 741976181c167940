package scan

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// sampledRows is how many rows are looked at to find out how a text is built.
const sampledRows = 64

// textOpening finds out from the first lines how a text is built.
type textOpening struct {
	in    *input
	lines *lines

	count textCount // of the rows that follow; -1: none is stated
	names textNames
	named bool // by a line of their own, not a comment
	rows  textRows

	start place // offset of the first row, and the number of the line before it
}

// read reads the lines before the rows, the first row, and some more to see whether they are what they seem to be.
func (o *textOpening) read() error {
	o.count.count = -1
	o.rows.comments = true
	for {
		line, err := o.lines.read()
		if errors.Is(err, io.EOF) {
			return o.nothing()
		}
		if err != nil {
			return err
		}
		row, err := o.preface(string(line))
		if err != nil {
			return err
		}
		if row {
			o.start = lineAt(o.lines.offset, o.lines.line-1)
			o.rows.eol = o.lines.eol
			return o.first(string(line))
		}
	}
}

// nothing tells of a file without rows.
func (o *textOpening) nothing() error {
	if o.count.count > 0 {
		return o.in.fault(o.count.at, "save the scan again", "%s announced, but nothing follows", counted(o.count.count, "point"))
	}
	return o.in.empty("point")
}

// preface takes a line before the rows; false if it is none of these but the first row.
func (o *textOpening) preface(line string) (row bool, err error) {
	names, isNames := readNames(line)
	names.at = lineAt(o.lines.offset, o.lines.line)
	switch comment := o.rows.passedOver([]byte(line)); {
	case isNames && comment && !o.named:
		o.names = names
		return false, nil
	case comment:
		return false, nil
	case isNames && o.named:
		return false, o.lines.fault("remove one of the lines", "the columns are named a second time, after line %d", o.names.at.line)
	case isNames:
		o.names, o.named = names, true
		return false, nil
	}
	n, isCount := countOf([]byte(line))
	if !isCount {
		return true, nil
	}
	if o.count.count >= 0 {
		return false, o.lines.fault("only one number, the count of the points, can precede them", "a number stands alone, as on line %d", o.count.at.line)
	}
	o.count.at, o.count.count = names.at, n
	const least = int64(len("0 0 0\n"))
	if most := o.in.size/least + 1; o.in.size >= 0 && n > most {
		return false, o.lines.fault("correct the count, or save the scan again", "%s announced, a file of %s has room for %d at most",
			counted(n, "point"), counted(o.in.size, "byte"), most)
	}
	return false, nil
}

// first settles from the first row, and the names before it, how all are built.
func (o *textOpening) first(line string) error {
	r := &o.rows
	if looksBinary(line) {
		return o.lines.fault(mendNoPoints, "the line holds binary data")
	}
	if decimalCommas(line) > 1 {
		return o.lines.fault(mendDecimalCommas, foundDecimalCommas)
	}
	r.delimiter = delimiterOf(line)
	fields := split(line, r.delimiter)
	if n := len(fields) - 1; n > 0 && fields[n] == "" && (!o.named || o.names.columns != n+1) {
		fields = fields[:n]
	}
	r.columns = len(fields)
	r.example = fmt.Sprintf("line %d has %d", o.lines.line, r.columns)
	xyz, err := o.coordinates(fields)
	if err != nil {
		return err
	}
	r.axis = axesOf(xyz)
	var at [3]float64
	var d digits
	if columns, bad := r.read([]byte(line), &at, &d); bad >= 0 || columns != r.columns {
		if numbers(fields) == 0 {
			return o.noPoints()
		}
		return r.judge(line, o.lines)
	}
	return o.look(fields)
}

const mendNoPoints = "scans are read from PLY, STL, OBJ, PCD and E57 files and from text with x, y and z in columns, and from each of them packed by gzip"

func (o *textOpening) noPoints() error {
	return o.lines.fault(mendNoPoints, "the line holds neither coordinates nor the names of columns x, y and z")
}

// coordinates returns the columns of x, y and z in rows like the first, whose fields are given.
func (o *textOpening) coordinates(fields []string) (xyz [3]int, err error) {
	n := &o.names
	first := [3]int{0, 1, 2}
	switch {
	case o.named && n.columns != len(fields):
		return xyz, o.lines.fault("name each column, and no other", "the row has %s, line %d names %d",
			counted(int64(len(fields)), "column"), n.at.line, n.columns)
	case o.named, n.columns == len(fields) && n.plain:
		return n.xyz, nil
	case n.columns == len(fields) && n.xyz != first:
		return xyz, o.in.fault(n.at, "name the columns in a line that is no comment, or take x, y and z out of the comment",
			"it cannot be told whether the comment names the columns: x would be number %d of %d", n.xyz[0]+1, n.columns)
	case n.columns != len(fields):
		o.names = textNames{} // no names but a sentence with x, y and z
	}
	if len(fields) < 3 {
		if numbers(fields) == 0 {
			return xyz, o.noPoints()
		}
		return xyz, o.lines.fault(mendNoPoints, "the line has %s, but x, y and z are needed", counted(int64(len(fields)), "column"))
	}
	return first, nil
}

func numbers(fields []string) (n int) {
	for _, f := range fields {
		if _, ok := parseFloat([]byte(unquoted(f))); ok {
			n++
		}
	}
	return n
}

// delimiterOf tells what separates the fields of a row.
func delimiterOf(line string) byte {
	switch {
	case strings.Contains(line, ";"):
		return ';'
	case strings.Contains(line, ","):
		return ','
	}
	// Tabs may as well be used like blanks, to align columns.
	fields := split(line, '\t')
	for i, f := range fields {
		if _, number := parseFloat([]byte(strings.Fields(f + " x")[0])); f == "" && i < len(fields)-1 || number && strings.Contains(f, " ") {
			return 0
		}
	}
	if len(fields) < 3 {
		return 0
	}
	return '\t'
}

// look reads some more rows, whose faults are left to the reading proper, and refuses what can be taken in two ways.
func (o *textOpening) look(first []string) error {
	if o.names.columns > 0 || o.rows.columns < 4 {
		return nil
	}
	sample := [][]string{first}
	for len(sample) < sampledRows {
		line, err := o.lines.read()
		if err != nil {
			break
		}
		if fields := split(string(line), o.rows.delimiter); !o.rows.passedOver(line) {
			if len(fields) < o.rows.columns {
				break
			}
			sample = append(sample, fields[:o.rows.columns])
		}
	}
	at := lineAt(o.start.byte, o.start.line+1)
	if o.rows.delimiter == ',' && o.rows.columns >= 6 && o.rows.columns%2 == 0 && whole(sample, 0, o.rows.columns) {
		return o.in.fault(at, "write decimal points, or name the columns in a line before the first row",
			"it cannot be told whether the commas separate columns or are decimal commas")
	}
	if len(sample) >= 3 && successive(sample) && !whole(sample, 1, 4) {
		return o.in.fault(at, "name the columns in a line before the first row, as: number x y z",
			"the first column seems to number the points, so it cannot be told which columns are x, y and z")
	}
	return nil
}

// whole tells whether all fields of some columns are whole numbers.
func whole(rows [][]string, from, to int) bool {
	for _, fields := range rows {
		for _, f := range fields[from:to] {
			if _, err := strconv.ParseInt(f, 10, 64); err != nil {
				return false
			}
		}
	}
	return true
}

// successive tells whether the first column counts up by one.
func successive(rows [][]string) bool {
	last := int64(0)
	for i, fields := range rows {
		n, err := strconv.ParseInt(fields[0], 10, 64)
		if err != nil || i > 0 && n != last+1 {
			return false
		}
		last = n
	}
	return true
}
