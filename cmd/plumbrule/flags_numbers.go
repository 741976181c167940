package main

import "strings"

// numberList is a flag that may be given several times, each time with one bare number.
type numberList struct {
	values []float64
	texts  []string
}

func (n *numberList) String() string { return strings.Join(n.texts, " ") }
func (n *numberList) Type() string   { return "value" }

// Set adds a number.
func (n *numberList) Set(text string) error {
	value, what, mend := number(text)
	if what != "" {
		return &failure{what: what, mend: mend}
	}
	n.values, n.texts = append(n.values, value), append(n.texts, text)
	return nil
}
