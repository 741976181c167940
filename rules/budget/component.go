package budget

import (
	"fmt"
	"math"
)

// Component is one line of an uncertainty budget.
type Component struct {
	Name string

	// U is the standard uncertainty of the input, 0 or more, in the input's own unit; Sensitivity is the change of the
	// result in micrometres for one such unit, with its sign. A sensitivity of 0 is kept as it is: the input then adds nothing.
	U           float64
	Sensitivity float64

	// DegreesOfFreedom says how well U is known: n − 1 for a mean of n, [TypeBDegreesOfFreedom] for a judgement,
	// math.Inf(1) for a U taken as certain. At least 1; the zero value is refused, because it means nobody has said.
	DegreesOfFreedom float64

	Source string // what U rests on: a certificate, a clause, a judgement
}

// ContributionUM returns |sensitivity|·U, the component's part of the combined standard uncertainty (GUM 5.1.3).
func (c Component) ContributionUM() float64 { return math.Abs(float64(c.Sensitivity * c.U)) }

func (c Component) check(index int) error {
	field := fmt.Sprintf("component %d (%s)", index+1, c.Name)
	mend := "state U and sensitivity as finite numbers, U without a sign"
	return firstError(
		between(field+" u", c.U, 0, largest, "a standard uncertainty from 0 to 1e12", mend),
		between(field+" sensitivity", c.Sensitivity, -largest, largest, "a finite number within 1e12 of 0", mend),
		between(field+" degrees_of_freedom", c.DegreesOfFreedom, 1, math.Inf(1), "1 or more", "use infinity where U is taken as certain"),
	)
}
