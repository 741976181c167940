package scan

import "bytes"

// textRows is how the lines of a text with coordinates are built.
type textRows struct {
	eol       byte
	delimiter byte   // 0: blanks and tabs, as many as there are
	columns   int    // of a row
	axis      []int8 // of each column up to the last that is read: 0, 1 or 2, or -1
	comments  bool   // lines that begin with # or // are none
	example   string // what the number of columns was taken from: "line 1 has 3"
}

// axesOf lists what the columns up to the last of the three hold.
func axesOf(xyz [3]int) []int8 {
	axes := make([]int8, max(xyz[0], xyz[1], xyz[2])+1)
	for i := range axes {
		axes[i] = -1
	}
	for axis, column := range xyz {
		axes[column] = int8(axis)
	}
	return axes
}

// passedOver tells whether a line has no row: it is empty, or a comment.
func (r *textRows) passedOver(line []byte) bool {
	for i, c := range line {
		if !isBlank(c) {
			return r.comments && isComment(line[i:])
		}
	}
	return true
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' }

func isComment(line []byte) bool {
	return line[0] == '#' || line[0] == '/' && len(line) > 1 && line[1] == '/'
}

// read takes the coordinates from a line. It returns the number of columns, and in bad the first, from 0, whose field is
// read but holds no number; -1: none.
func (r *textRows) read(line []byte, xyz *[3]float64, d *digits) (columns, bad int) {
	if r.delimiter == 0 {
		return r.readBlank(line, xyz, d)
	}
	return r.readDelimited(line, xyz, d)
}

func (r *textRows) readBlank(line []byte, xyz *[3]float64, d *digits) (columns, bad int) {
	i := 0
	for i < len(line) && isBlank(line[i]) {
		i++
	}
	for i < len(line) {
		if columns < len(r.axis) && r.axis[columns] >= 0 {
			v, n := readField(line[i:], ' ', d)
			if n == 0 {
				return columns, columns
			}
			xyz[r.axis[columns]] = v
			i += n
		} else {
			for i < len(line) && !isBlank(line[i]) {
				i++
			}
		}
		columns++
		for i < len(line) && isBlank(line[i]) {
			i++
		}
	}
	return columns, -1
}

func (r *textRows) readDelimited(line []byte, xyz *[3]float64, d *digits) (columns, bad int) {
	for {
		for len(line) > 0 && isBlank(line[0]) && line[0] != r.delimiter {
			line = line[1:]
		}
		if columns < len(r.axis) && r.axis[columns] >= 0 {
			v, n := readField(line, r.delimiter, d)
			if n == 0 {
				return columns, columns
			}
			xyz[r.axis[columns]] = v
			line = line[n:]
		}
		end := fieldEnd(line, r.delimiter)
		if end == len(line) {
			if end == 0 && columns == r.columns {
				return columns, -1 // a delimiter ends the row
			}
			return columns + 1, -1
		}
		columns++
		line = line[end+1:]
	}
}

// fieldEnd returns where the field that line begins with ends: at the next delimiter outside of quotes.
func fieldEnd(line []byte, delimiter byte) int {
	start := 0
	if len(line) > 0 && line[0] == '"' {
		if n := bytes.IndexByte(line[1:], '"'); n >= 0 {
			start = n + 2
		}
	}
	if n := bytes.IndexByte(line[start:], delimiter); n >= 0 {
		return start + n
	}
	return len(line)
}

// readField reads the number that line begins with, up to a blank or the delimiter. It returns how many bytes that were, 0
// if they are no number.
func readField(line []byte, delimiter byte, d *digits) (v float64, n int) {
	numeral, n := readDecimal(line)
	if n == 0 || n < len(line) && line[n] != delimiter && !isBlank(line[n]) {
		return readRareField(line, delimiter, d)
	}
	if numeral.plain() { // as numeral.float and d.add have it, but without their calls
		v = numeral.quotient()
	} else {
		v = numeral.farFloat(line[:n])
	}
	if d.news(numeral.mantissa, v) {
		d.widen(numeral, v)
	}
	return v, n
}

// readRareField reads what is not written as a plain numeral: in quotes, or not finite.
func readRareField(line []byte, delimiter byte, d *digits) (v float64, n int) {
	for n < len(line) && line[n] != delimiter && !isBlank(line[n]) {
		n++
	}
	token := line[:n]
	if len(token) > 1 && token[0] == '"' && token[n-1] == '"' {
		token = token[1 : n-1]
	}
	v, ok := d.parse(token)
	if !ok {
		return 0, 0
	}
	return v, n
}
