package worksheet_test

import (
	"fmt"

	"plumbrule/rules/budget/montecarlo"
	"plumbrule/rules/budget/worksheet"
)

// A file read, evaluated by the law of propagation, and compared with trials.
func ExampleRead() {
	sheet, faults := worksheet.Read([]byte(`
title = "length of a bar at 20 °C"
unit = "mm"
expression = "y*(1 - α*(t - 20))"

[[input]]
name = "y"
unit = "mm"
value = 800.0310
expanded = 0.0030
k = 2

[[input]]
name = "α"
unit = "1/K"
value = 11.5e-6
half-width = 1e-6
law = "rectangular"

[[input]]
name = "t"
unit = "°C"
value = 21.4
standard = 0.15
`))
	for _, f := range faults {
		fmt.Println(f.Error())
		return
	}
	r, err := sheet.Budget.Evaluate()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.4f mm, u_c = %.4f mm, U = %.4f mm (k = %.2f)\n", r.Value, r.CombinedU, *r.ExpandedU.Value, *r.CoverageFactor.Value)
	for i, c := range r.Components {
		fmt.Printf("%s %.0f %%\n", sheet.Budget.Inputs[i].Name, 100*c.Share)
	}
	p, err := montecarlo.Prepare(&sheet.Budget)
	if err != nil {
		fmt.Println(err)
		return
	}
	m, err := p.Run(montecarlo.Options{Trials: 1_000_000, Seed: 1, Probability: 0.95})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("one digit of u_c:", m.Validate(r.Value, r.CombinedU, *r.ExpandedU.Value, 1).Verdict)
	// Output:
	// 800.0181 mm, u_c = 0.0021 mm, U = 0.0042 mm (k = 1.96)
	// y 49 %
	// α 9 %
	// t 42 %
	// one digit of u_c: validated
}
