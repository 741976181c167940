package selftest

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"plumbrule/rules/figure"
)

// cut returns the parts of an input between separators, of which there must be n.
func cut(input, separator string, n int) ([]string, error) {
	parts := strings.Split(input, separator)
	if len(parts) != n {
		return nil, fmt.Errorf("%q has %d parts, expected %d", input, len(parts), n)
	}
	return parts, nil
}

// named returns the number behind a name in an input of parts separated by commas and semicolons: 16 for ν in "p 99 %, ν 16".
func named(input, name string) (float64, error) {
	for part := range strings.FieldsFuncSeq(input, func(r rune) bool { return r == ',' || r == ';' }) {
		words := strings.Fields(part)
		if len(words) > 1 && words[0] == name {
			if words[1] == "infinite" {
				return math.Inf(1), nil
			}
			return strconv.ParseFloat(words[1], 64)
		}
	}
	return 0, fmt.Errorf("%q states no %s", input, name)
}

// allNamed returns several of them.
func allNamed(input string, names ...string) ([]float64, error) {
	out := make([]float64, len(names))
	for i, name := range names {
		var err error
		if out[i], err = named(input, name); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// numbersIn reads numbers separated by blanks.
func numbersIn(text string) ([]float64, error) {
	var out []float64
	for word := range strings.FieldsSeq(text) {
		v, err := strconv.ParseFloat(word, 64)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}

// pick returns one of several figures by its name.
func pick(name string, figures map[string]float64) (float64, error) {
	v, ok := figures[name]
	if !ok {
		return 0, fmt.Errorf("there is no figure %q", name)
	}
	return v, nil
}

// known returns a figure's value, or NaN where there is none, which never agrees.
func known(f figure.Figure) float64 {
	if f.Value == nil {
		return math.NaN()
	}
	return *f.Value
}
