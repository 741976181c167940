package svgstyle_test

import (
	"fmt"

	"plumbrule/cmd/plumbrule/internal/svgstyle"
)

// Every selector of a list is scoped, and paper has the colours of light.
func ExampleSheet() {
	fmt.Print(svgstyle.Sheet("chart1",
		[]svgstyle.Rule{{"text", "font:11px sans-serif"}},
		[]svgstyle.Rule{{".point,.signal", "fill:#16181a"}},
		[]svgstyle.Rule{{".point,.signal", "fill:#eceff1"}}))
	// Output:
	// #chart1 text{font:11px sans-serif}
	// #chart1 .point,#chart1 .signal{fill:#16181a}
	// @media (prefers-color-scheme:dark){
	// #chart1 .point,#chart1 .signal{fill:#eceff1}
	// }
	// @media print{
	// #chart1 .point,#chart1 .signal{fill:#16181a}
	// }
}
