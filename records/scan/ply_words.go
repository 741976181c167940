package scan

const oneRecord = "each record stands in a line of its own"

// wordsOf returns a function that compares a line with the element's properties and fills in the words of the first of
// them, by property. It tells blank lines, which are no records.
func (e *plyElement) wordsOf() func(line []byte, l *lines, words [][]byte) (blank bool, err error) {
	for i := range e.properties {
		if e.properties[i].list {
			return e.listed
		}
	}
	return func(line []byte, l *lines, words [][]byte) (bool, error) {
		switch n := readFields(line, words); n {
		case len(e.properties):
			return false, nil
		case 0:
			return true, nil
		default:
			return false, e.miscounted(l, n)
		}
	}
}

func (e *plyElement) miscounted(l *lines, words int) error {
	return l.fault(oneRecord, "the line has %s where a record of element %s has %d", counted(int64(words), "value"), e.name, len(e.properties))
}

// listed is that function for elements with lists.
func (e *plyElement) listed(line []byte, l *lines, words [][]byte) (blank bool, err error) {
	at := 0
	for i := range e.properties {
		p := &e.properties[i]
		var word []byte
		if word, at = field(line, at); len(word) == 0 {
			if i == 0 {
				return true, nil
			}
			return false, l.fault(oneRecord, "the line ends before the property %s of element %s", p.name, e.name)
		}
		if !p.list {
			if i < len(words) {
				words[i] = word
			}
			continue
		}
		n, ok := listLength(word)
		if !ok {
			return false, l.fault(oneRecord, "%.40q is not the length of the list %s", word, p.name)
		}
		for value := range n {
			if word, at = field(line, at); len(word) == 0 {
				return false, l.fault(oneRecord, "the line has %d of the %s of the list %s", value, counted(n, "value"), p.name)
			}
		}
	}
	if word, _ := field(line, at); len(word) > 0 {
		return false, l.fault(oneRecord, "the line goes on with %.40q behind a record of element %s", word, e.name)
	}
	return false, nil
}

// listLength reads how many values follow; no line has room for as many as would overflow.
func listLength(word []byte) (n int64, ok bool) {
	for _, c := range word {
		if c < '0' || c > '9' || n > maxLine {
			return 0, false
		}
		n = n*10 + int64(c-'0')
	}
	return n, true
}
