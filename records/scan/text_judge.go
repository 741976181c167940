package scan

import "strings"

const (
	foundDecimalCommas = "the numbers are written with decimal commas"
	mendDecimalCommas  = "write them with decimal points"
)

// judge says what is wrong with the line read last, which is no row.
func (r *textRows) judge(line string, l *lines) error {
	if commas := decimalCommas(line); commas > 1 || commas > 0 && r.delimiter != ',' {
		return l.fault(mendDecimalCommas, foundDecimalCommas)
	}
	fields := split(line, r.delimiter)
	if len(fields) == r.columns+1 && fields[r.columns] == "" {
		fields = fields[:r.columns]
	}
	if len(fields) != r.columns {
		return l.fault("mend the line, or save the scan again if it was cut off", "the line has %s where %s", counted(int64(len(fields)), "column"), r.example)
	}
	for column, axis := range r.axis {
		if axis < 0 {
			continue
		}
		if _, ok := parseFloat([]byte(unquoted(fields[column]))); !ok {
			return l.fault("mend the line; nan stands for what was not measured", "%c, in column %d, is %.40q, which is no number", "xyz"[axis], column+1, fields[column])
		}
	}
	return l.fault("mend the line", "the line is %.40q, which is no row of numbers", line)
}

// split cuts a line into its fields as reading does, 0 standing for blanks and tabs.
func split(line string, delimiter byte) []string {
	if delimiter == 0 {
		return strings.FieldsFunc(line, func(c rune) bool { return c == ' ' || c == '\t' })
	}
	var fields []string
	for {
		if delimiter == '\t' {
			line = strings.TrimLeft(line, " ")
		} else {
			line = strings.TrimLeft(line, " \t")
		}
		end := fieldEnd([]byte(line), delimiter)
		fields = append(fields, strings.Trim(line[:end], " \t"))
		if end == len(line) {
			return fields
		}
		line = line[end+1:]
	}
}

func unquoted(field string) string {
	if n := len(field); n > 1 && field[0] == '"' && field[n-1] == '"' {
		return strings.TrimSpace(field[1 : n-1])
	}
	return field
}

// decimalCommas counts the fields, between blanks, tabs and semicolons, that are numbers with a comma before the decimals.
func decimalCommas(line string) int {
	count := 0
	for field := range strings.FieldsFuncSeq(line, func(c rune) bool { return c == ' ' || c == '\t' || c == ';' }) {
		whole, decimals, found := strings.Cut(unquoted(field), ",")
		_, numeral := parseFloat([]byte(whole + "." + decimals))
		if found && numeral && decimals != "" && whole != "" {
			count++
		}
	}
	return count
}

// looksBinary tells whether a line has bytes that text has not.
func looksBinary(line string) bool {
	return strings.ContainsFunc(line, func(c rune) bool { return c < ' ' && c != '\t' || c == 0x7f })
}
