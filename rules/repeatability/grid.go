package repeatability

import (
	"fmt"
	"math"
	"strconv"
)

// Reading is one measured value.
type Reading struct {
	Part, Operator string
	Value          float64
}

// grid is a balanced study: values[part][operator][trial].
type grid struct {
	parts, operators []string
	values           [][][]float64
}

func gridOf(readings []Reading) (grid, error) {
	var g grid
	part, operator := map[string]int{}, map[string]int{}
	for _, r := range readings {
		if _, seen := part[r.Part]; !seen {
			part[r.Part] = len(g.parts)
			g.parts = append(g.parts, r.Part)
		}
		if _, seen := operator[r.Operator]; !seen {
			operator[r.Operator] = len(g.operators)
			g.operators = append(g.operators, r.Operator)
		}
	}
	g.values = make([][][]float64, len(g.parts))
	for i := range g.values {
		g.values[i] = make([][]float64, len(g.operators))
	}
	for _, r := range readings {
		cell := &g.values[part[r.Part]][operator[r.Operator]]
		*cell = append(*cell, r.Value)
	}
	return g, g.check()
}

// gridFrom numbers parts and operators from 1.
func gridFrom(values [][][]float64) (grid, error) {
	operators := 0
	for _, row := range values {
		operators = max(operators, len(row))
	}
	g := grid{parts: numbers(len(values)), operators: numbers(operators), values: make([][][]float64, len(values))}
	for i, row := range values {
		g.values[i] = make([][]float64, operators)
		copy(g.values[i], row)
	}
	return g, g.check()
}

func numbers(n int) []string {
	names := make([]string, n)
	for i := range names {
		names[i] = strconv.Itoa(i + 1)
	}
	return names
}

// largest bounds the readings, so that no sum of their squares overflows.
const largest = 1e100

func (g grid) check() error {
	if len(g.parts) < 2 {
		return &InputError{
			Field: "parts", Found: strconv.Itoa(len(g.parts)), Expected: "at least 2",
			Mend: "measure parts that differ as those of daily work do",
		}
	}
	for i, row := range g.values {
		for j, cell := range row {
			for _, v := range cell {
				// Written so that NaN, which compares false with everything, is refused too.
				if !(math.Abs(v) <= largest) {
					return &InputError{
						Field: fmt.Sprintf("a reading of part %q by operator %q", g.parts[i], g.operators[j]),
						Found: fmt.Sprintf("%g", v), Expected: "a number of at most 1e100 in magnitude",
					}
				}
			}
		}
	}
	trials := g.usualTrials()
	unbalanced := &UnbalancedError{Trials: trials}
	for i, row := range g.values {
		for j, cell := range row {
			if len(cell) != trials {
				unbalanced.Cells = append(unbalanced.Cells, Cell{g.parts[i], g.operators[j], len(cell)})
			}
		}
	}
	switch {
	case len(unbalanced.Cells) > 0:
		return unbalanced
	case len(g.operators) == 0 || trials == 0:
		return &InputError{Field: "readings", Found: "none", Expected: "at least one for every part and operator"}
	case len(g.operators) == 1 && trials == 1:
		return &InputError{
			Field: "trials", Found: "1 by one operator", Expected: "at least 2",
			Mend: "repeat the measurements: a single reading of each part cannot tell the part from the gauge",
		}
	}
	return nil
}

// usualTrials returns the number of readings that most cells hold, and of equally usual ones the larger.
func (g grid) usualTrials() int {
	count := map[int]int{}
	for _, row := range g.values {
		for _, cell := range row {
			count[len(cell)]++
		}
	}
	usual := 0
	for trials, cells := range count {
		if cells > count[usual] || cells == count[usual] && trials > usual {
			usual = trials
		}
	}
	return usual
}
