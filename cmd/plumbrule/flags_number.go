package main

import (
	"fmt"
	"math"
	"strconv"
)

// Which numbers a flag takes.
type numbersTaken string

const (
	anyNumber numbersTaken = "a number"
	above0    numbersTaken = "a number above 0"
	from0     numbersTaken = "a number of 0 or more"
)

// number adds a flag for a pure number or a figure in the unit of a column.
func (f *flagSet) number(name, usage string, takes numbersTaken) *parsed[float64] {
	return readFlag(f, name, usage, func(text string) (float64, error) {
		value, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsInf(value, 0) || math.IsNaN(value) || takes == above0 && value <= 0 || takes == from0 && value < 0 {
			return 0, &failure{what: fmt.Sprintf("%q, expected %s", text, takes), mend: "write digits with a decimal point and without a unit"}
		}
		return value, nil
	})
}
