package residuals_test

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/residuals"
)

func ExampleSVG() {
	var out strings.Builder
	err := residuals.SVG(&out, &residuals.Scene{
		Title: "One sphere, three points",
		Spheres: []residuals.Sphere{{
			Name: "A", RadiusMM: 15, Axis: [3]float64{0, 0, 1},
			PointsMM:   []float64{0, 0, 15.004, 9, 0, 11.998, 0, 9, 12.001},
			ResidualUM: []float64{4, -2, 1}, SDUM: 3, FormUM: 6, CoveragePercent: 10, HalfAngleDegrees: 37,
		}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for line := range strings.Lines(out.String()) {
		if strings.HasPrefix(line, "<desc") {
			fmt.Print(line)
		}
	}
	// Output:
	// <desc id="residuals-desc">Maps of the residuals of 1 fitted sphere. A: diameter 30.0000 mm, 3 points kept, 0 rejected, s 3.0 µm, form 6.0 µm, coverage 10.0 %, half-angle 37.0°.</desc>
}
