package repeatability

import (
	"fmt"
	"strings"
)

// Cell is one part measured by one operator, with the number of readings found there.
type Cell struct {
	Part, Operator string
	Readings       int
}

// UnbalancedError says that the cells of a study do not all hold the same number of readings.
type UnbalancedError struct {
	Trials int    // what most cells hold
	Cells  []Cell // the others, in the order of parts and operators
}

// listedCells keeps the message readable; the error's field has all of them.
const listedCells = 10

// Error names the cells that hold too few or too many readings.
func (e *UnbalancedError) Error() string {
	var cells []string
	for i, c := range e.Cells {
		if i == listedCells {
			cells = append(cells, fmt.Sprintf("and %d more", len(e.Cells)-listedCells))
			break
		}
		cells = append(cells, fmt.Sprintf("part %q by operator %q has %d", c.Part, c.Operator, c.Readings))
	}
	return fmt.Sprintf("the study is not balanced: most cells have %d readings, %s; mend: measure what is missing, or leave out the part or the operator",
		e.Trials, strings.Join(cells, ", "))
}
