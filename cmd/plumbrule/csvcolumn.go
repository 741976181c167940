package main

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"plumbrule/records/spelling"
)

// largestInput bounds what is read from a file of values, in bytes: some millions of rows.
const largestInput = 64 << 20

// readColumn reads the numbers below one header of a CSV file; "-" is Stdin. Comma, semicolon and tab are told apart by
// the header row; a byte order mark is skipped; rows whose fields are all blank are skipped. Every mistake is a failure
// with file, line and column, counted in characters from 1.
func (e env) readColumn(file, column string) ([]float64, error) {
	c, err := e.openColumns(file)
	if err != nil {
		return nil, err
	}
	index, err := c.find("--column", column)
	if err != nil {
		return nil, err
	}
	c.blank = "fill it in, or delete the row: a chart must not skip a point unsaid"
	var values []float64
	err = c.each(func(row []string) error {
		value, err := c.number(row, index)
		values = append(values, value)
		return err
	})
	if err == nil && len(values) == 0 {
		err = c.empty(index)
	}
	if err != nil {
		return nil, err
	}
	return values, nil
}

// openColumns reads a CSV file as far as its header row.
func (e env) openColumns(file string) (*csvColumns, error) {
	name, data, err := e.readInput(file)
	if err != nil {
		return nil, err
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if !utf8.Valid(data) {
		return nil, unreadable(name+": bytes that are no UTF-8, expected a text file", "save the file as UTF-8", nil)
	}
	c := &csvColumns{file: name, lines: strings.Split(string(data), "\n"), blank: "fill it in, or delete the row"}
	c.reader = csv.NewReader(bytes.NewReader(data))
	c.reader.Comma = separator(c.lines)
	c.reader.FieldsPerRecord = -1
	c.header, err = c.reader.Read()
	if errors.Is(err, io.EOF) {
		return nil, unreadable(name+": the file is empty, expected a header row and rows of values", "", nil)
	} else if err != nil {
		return nil, c.broken(err)
	}
	for i := range c.header {
		c.header[i] = strings.TrimSpace(c.header[i])
	}
	return c, nil
}

// inputName is what messages call a file that was named on the command line.
func inputName(file string) string {
	if file == "-" {
		return "standard input"
	}
	return file
}

func (e env) readInput(file string) (name string, data []byte, err error) {
	name, in := inputName(file), e.Stdin
	if file != "-" {
		f, err := os.Open(e.path(file))
		if err != nil {
			return name, nil, unreadable(fmt.Sprintf("%s: %s", file, plainCause(err)), "name a file that can be read, or - for standard input", err)
		}
		defer f.Close() //nolint:errcheck // nothing was written
		in = f
	}
	data, err = io.ReadAll(io.LimitReader(in, largestInput+1))
	switch {
	case err != nil:
		return name, nil, unreadable(fmt.Sprintf("%s: %s", name, plainCause(err)), "", err)
	case len(data) > largestInput:
		return name, nil, unreadable(fmt.Sprintf("%s: more than %d MiB, expected a table of values", name, largestInput>>20), "chart a part of it", nil)
	}
	return name, data, nil
}

// plainCause leaves out what the message names already: operation and path.
func plainCause(err error) string {
	if path, ok := errors.AsType[*os.PathError](err); ok {
		return path.Err.Error()
	}
	return err.Error()
}

// separator returns the sign that separates the fields of the header row: the most frequent one outside quotes.
func separator(lines []string) rune {
	best, most := ',', 0
	for _, line := range lines {
		if strings.TrimSpace(line) == "" {
			continue
		}
		for _, sign := range ",;\t" {
			count, quoted := 0, false
			for _, r := range line {
				switch {
				case r == '"':
					quoted = !quoted
				case r == sign && !quoted:
					count++
				}
			}
			if count > most {
				best, most = sign, count
			}
		}
		break
	}
	return best
}

// csvColumns is a CSV file of which columns are read by the names in its header row.
type csvColumns struct {
	file   string
	lines  []string
	reader *csv.Reader
	header []string
	blank  string // what mends a blank cell
}

// has looks a column up; it is -1 if there is none.
func (c *csvColumns) has(column string) (int, error) {
	index := -1
	for i := range c.header {
		if c.header[i] != column {
			continue
		}
		if index >= 0 {
			return -1, c.at(i, fmt.Sprintf("a second column %q, expected each name once", column), "rename one of the two")
		}
		index = i
	}
	return index, nil
}

// find looks up a column that the flag names, before any row is read; without a flag its name is a fixed one.
func (c *csvColumns) find(flag, column string) (int, error) {
	index, err := c.has(column)
	if index >= 0 || err != nil {
		return index, err
	}
	mend := "name the column so in the header row"
	if flag != "" {
		mend = "give one of them as " + flag
	}
	if near := spelling.Nearest(column, c.header); near != "" && flag != "" {
		mend = fmt.Sprintf("did you mean %s %q?", flag, near)
	}
	var quoted []string
	for _, name := range c.header {
		quoted = append(quoted, strconv.Quote(name))
	}
	return -1, c.at(0, fmt.Sprintf("no column %q, the header row has %s", column, strings.Join(quoted, ", ")), mend)
}

// each calls read with every row that is not blank.
func (c *csvColumns) each(read func(row []string) error) error {
	for {
		row, err := c.reader.Read()
		if errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return c.broken(err)
		}
		if strings.TrimSpace(strings.Join(row, "")) == "" {
			continue
		}
		if len(row) != len(c.header) {
			return c.at(0, fmt.Sprintf("a row of %d fields, expected %d as in the header row", len(row), len(c.header)),
				"write a decimal point where a comma separates decimals, or fill in what is missing")
		}
		if err := read(row); err != nil {
			return err
		}
	}
}

// number reads a number from the row read last.
func (c *csvColumns) number(row []string, index int) (float64, error) {
	value, what, mend := number(row[index])
	if strings.TrimSpace(row[index]) == "" {
		mend = c.blank
	}
	if what != "" {
		return 0, c.at(index, what, mend)
	}
	return value, nil
}

// text reads a name from the row read last.
func (c *csvColumns) text(row []string, index int) (string, error) {
	if text := strings.TrimSpace(row[index]); text != "" {
		return text, nil
	}
	return "", c.at(index, fmt.Sprintf("a blank cell, expected what to call the %s", c.header[index]), c.blank)
}

// empty says that there are no rows.
func (c *csvColumns) empty(index int) error {
	return unreadable(fmt.Sprintf("%s: no values below %q, expected at least one row", c.file, c.header[index]), "", nil)
}

// at places a mistake at a field of the row read last.
func (c *csvColumns) at(field int, what, mend string) error {
	line, column := c.reader.FieldPos(field)
	return c.place(line, column, what, mend)
}

// place turns the reader's column, which counts bytes, into one that counts characters.
func (c *csvColumns) place(line, column int, what, mend string) error {
	if line >= 1 && line <= len(c.lines) {
		text := c.lines[line-1]
		before := min(max(column-1, 0), len(text)) // the end of a file counts as behind its last line
		column = utf8.RuneCountInString(text[:before]) + 1
	}
	return unreadable(fmt.Sprintf("%s:%d:%d: %s", c.file, line, column, what), mend, nil)
}

// broken tells what the CSV reader stumbled over.
func (c *csvColumns) broken(err error) error {
	var parse *csv.ParseError
	if !errors.As(err, &parse) {
		return err
	}
	what := "a quote inside an unquoted field, expected quotes around the whole field"
	if errors.Is(parse.Err, csv.ErrQuote) {
		what = "a quoted field that does not end where it should, expected a quote and then the next field"
	}
	return c.place(parse.Line, parse.Column, what, "write quotes around the field and double the ones in it")
}

var (
	decimalNumber = regexp.MustCompile(`^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?$`)
	decimalComma  = regexp.MustCompile(`^[+-]?[0-9]+,[0-9]+$`)
)

// number reads a cell; what is empty if it is a number.
func number(cell string) (value float64, what, mend string) {
	text := strings.TrimSpace(cell)
	switch {
	case text == "":
		return 0, "a blank cell, expected a number", "fill it in, or delete the row"
	case decimalComma.MatchString(text):
		return 0, fmt.Sprintf("%q has a decimal comma, expected a decimal point", text), "write " + strconv.Quote(strings.Replace(text, ",", ".", 1))
	case !decimalNumber.MatchString(text):
		return 0, fmt.Sprintf("%q, expected a number without a unit", text), "write digits with a decimal point, such as 12.5 or -1.5e-3"
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(value, 0) {
		return 0, text + " is beyond what can be reckoned with, expected a number below 1e308 in size", "check the exponent"
	}
	return value, "", ""
}
