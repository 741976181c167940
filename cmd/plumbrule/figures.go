package main

import (
	"math"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/figure"
)

// besideSpread prints a value as finely as three digits of its spread ask for, so that an offset does not hide the digits that
// differ. Without a spread it prints all digits.
func besideSpread(value float64, sd *float64) string {
	if sd == nil || *sd == 0 || math.IsInf(*sd, 0) {
		return show.Shortest(value)
	}
	const most = 15 // digits behind the point
	return show.Fixed(value, min(most, max(0, 2-int(math.Floor(math.Log10(*sd))))))
}

// figureCell is a figure with four digits, or "none".
func figureCell(f figure.Figure) table.Cell {
	if f.Value == nil {
		return table.None()
	}
	return table.Number(fourDigits(*f.Value), *f.Value)
}

// signedDigits prints a number with four significant digits and its sign.
func signedDigits(value float64) string {
	if value > 0 {
		return "+" + fourDigits(value)
	}
	return fourDigits(value)
}

// absences collects under their names why figures are null.
type absences map[string]string

// value returns the figure for JSON and keeps the reason if there is none.
func (a absences) value(name string, f figure.Figure) *float64 {
	if f.Value == nil {
		a[name] = f.Reason
	}
	return f.Value
}
