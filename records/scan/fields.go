package scan

import "bytes"

// field returns the next word of a line from an offset, or nothing at its end, and the offset behind it. Words stand
// between blanks.
func field(line []byte, from int) (word []byte, next int) {
	for from < len(line) && line[from] <= ' ' {
		from++
	}
	next = from
	for next < len(line) && line[next] > ' ' {
		next++
	}
	return line[from:next], next
}

// readFields fills in the words a line has, and returns how many there are in all.
func readFields(line []byte, into [][]byte) int {
	n := 0
	for at := 0; ; n++ {
		var word []byte
		if word, at = field(line, at); len(word) == 0 {
			return n
		}
		if n < len(into) {
			into[n] = word
		}
	}
}

// number reads a coordinate printed in the line read last.
func (l *lines) number(word []byte, d *digits) (float64, error) {
	v, ok := d.parse(word)
	if !ok {
		return 0, l.noNumber(word)
	}
	return v, nil
}

func (l *lines) noNumber(word []byte) error {
	mend := "coordinates are written like -12.345 or 1.2e-3"
	if bytes.IndexByte(word, ',') >= 0 {
		mend = "write the numbers with decimal points"
	}
	return l.fault(mend, "%.40q is not a number", word)
}
