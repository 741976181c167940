package expression_test

import (
	"errors"
	"fmt"

	"plumbrule/rules/budget/expression"
)

// The sensitivities of a resistance at the readings of GUM H.2.
func Example() {
	text := "V*cos(φ)/I"
	e, err := expression.Parse(text)
	if err != nil {
		fmt.Println(err)
		return
	}
	m, err := expression.Compile([]string{"V", "I", "φ"}, e)
	if err != nil {
		fmt.Println(err)
		return
	}
	at := []float64{4.999, 19.661e-3, 1.04446}
	value, _ := m.Value(at)
	gradient, _ := m.Gradient(at)
	fmt.Printf("%.3f; %.2f %.0f %.1f\n", value, gradient[0][0], gradient[0][1], gradient[0][2])

	_, err = expression.Parse("V*cos(φ)/√I")
	if fault, is := errors.AsType[*expression.Error](err); is {
		fmt.Printf("byte %d: %v; %s\n", fault.Start, fault, fault.Mend)
	}
	// Output:
	// 127.732; 25.55 -6497 -219.8
	// byte 10: "√", expected a number, a name or one of + - * / ^ ( ); write sqrt(…)
}
