package scan

import (
	"slices"
	"strings"
)

// textNames is a line with the names of columns.
type textNames struct {
	at      place
	comment bool
	xyz     [3]int // columns of the coordinates
	columns int
	units   [3]string // as written, "" where none is
	plain   bool      // all columns have names common for scans
}

// readNames reads a line as the names of columns; ok if x, y and z are among them, each once. The names may carry units:
// x [mm], y(mm), z/mm.
func readNames(line string) (n textNames, ok bool) {
	text, comment := strings.CutPrefix(strings.TrimSpace(line), "//")
	if !comment {
		text, comment = strings.CutPrefix(text, "#")
	}
	n = textNames{comment: comment, xyz: [3]int{-1, -1, -1}, plain: true}
	words := nameWords(text)
	n.columns = len(words)
	for column, word := range words {
		name, unit := splitUnit(unquoted(word))
		axis := slices.Index([]string{"x", "y", "z"}, strings.ToLower(name))
		if axis < 0 {
			n.plain = n.plain && commonName(name)
			continue
		}
		if n.xyz[axis] >= 0 {
			return textNames{}, false
		}
		n.xyz[axis], n.units[axis] = column, unit
	}
	return n, n.xyz[0] >= 0 && n.xyz[1] >= 0 && n.xyz[2] >= 0
}

// nameWords cuts a line into names, at the delimiter it has or else at blanks that no unit follows.
func nameWords(text string) []string {
	for _, delimiter := range []byte{';', ',', '\t'} {
		if strings.IndexByte(text, delimiter) >= 0 {
			words := split(strings.TrimSpace(text), delimiter)
			if n := len(words) - 1; words[n] == "" {
				words = words[:n]
			}
			return words
		}
	}
	var words []string
	for word := range strings.FieldsSeq(text) {
		if n := len(words); n > 0 && (word[0] == '[' || word[0] == '(') {
			words[n-1] += word
		} else {
			words = append(words, word)
		}
	}
	return words
}

// splitUnit takes the unit off a name.
func splitUnit(word string) (name, unit string) {
	i := strings.IndexAny(word, "[(/")
	if i < 0 {
		return word, ""
	}
	return strings.TrimSpace(word[:i]), strings.Trim(word[i:], "[](/) ")
}

// commonName tells whether a word is one of those that columns of scans are named by, so that a comment with nothing else
// is a line of names and not a sentence.
func commonName(word string) bool {
	switch word = strings.ToLower(word); word {
	case "nx", "ny", "nz", "normal_x", "normal_y", "normal_z", "curvature", "red", "green", "blue", "alpha", "rgb", "rgba", "intensity",
		"reflectance", "confidence", "quality", "id", "no", "nr", "number", "index", "label", "name", "time", "timestamp", "row",
		"column", "range", "class":
		return true
	}
	return len(word) == 1
}

// unit returns the unit of the coordinates if the names give all three the same.
func (n *textNames) unit(in *input) (string, error) {
	const mend = "write the same unit at x, y and z, one of nm, µm, mm, cm, m, km and in, or none"
	switch u := n.units; {
	case u[0] == "" || u[1] == "" || u[2] == "":
		return "", nil
	case u[0] != u[1] || u[0] != u[2]:
		return "", in.fault(n.at, mend, "x, y and z are in %.20q, %.20q and %.20q", u[0], u[1], u[2])
	}
	switch n.units[0] {
	case "nm", "mm", "cm", "m", "km", "in":
		return n.units[0], nil
	case "µm", "\u03bcm", "um":
		return "µm", nil
	}
	return "", in.fault(n.at, mend, "the coordinates are in %.20q, which is no unit known here", n.units[0])
}
