package repeatability_test

import (
	"fmt"

	"plumbrule/rules/repeatability"
)

func ExampleStudyTable() {
	r, err := repeatability.StudyTable([][][]float64{
		{{10.1, 10.2}, {10.2, 10.2}},
		{{10.9, 11.0}, {11.0, 11.2}},
		{{9.7, 9.6}, {9.8, 9.8}},
	}, repeatability.Settings{Tolerance: 4})
	if err != nil {
		fmt.Println(err)
		return
	}
	gauge := r.Chosen.Component(repeatability.Gauge)
	fmt.Printf("%s, gauge %.3f, share of the tolerance %.2f, categories %g\n",
		r.Chosen.Name, *gauge.SD.Value, *gauge.ShareOfTolerance.Value, *r.Chosen.Categories.Value)
	for _, note := range r.Notes {
		fmt.Println(note)
	}
	// Output:
	// without-interaction, gauge 0.106, share of the tolerance 0.16, categories 8
	// The interaction of parts and operators does not show (p = 0.5927, above 0.25) and is pooled into the repeatability.
	// 2 operators: reproducibility rests on 1 degree of freedom, and its upper limit is far off for that reason.
}
