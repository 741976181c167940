package interval_test

import (
	"fmt"

	"plumbrule/rules/interval"
)

func ExamplePlan_Device() {
	var found []interval.Outcome
	for i := range 5 {
		found = append(found, interval.Outcome{Subject: "bar-1", Months: 12, InTolerance: i != 3})
	}
	plan := interval.Plan{Target: 0.90, Confidence: 0.95, SameWithin: 0.1}
	p, err := plan.Device("bar-1", 12, found)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(p.Direction)
	for _, reason := range p.Reasons {
		fmt.Println(reason)
	}
	// Output:
	// keep
	// 4 of 5 in tolerance: this differs from the target of 90 % by no more than chance.
	// The share in tolerance lies between 0.2836 and 0.9949 with 95 % confidence.
	// With 5 outcomes a share above the target cannot be shown: that takes 29 without a failure. A share below it is shown by 3 or more failures.
}

func ExampleStaircase_Next() {
	ratio := 0.45
	p, err := interval.Staircase{Lengthen: 1.2, Shorten: 0.6, Within: 0.8}.Next(12, interval.Outcome{Months: 12, InTolerance: true, Ratio: &ratio})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s to %.4g months\n", p.Direction, *p.ProposedMonths)
	fmt.Println(p.Reasons[0])
	// Output:
	// lengthen to 14.4 months
	// The error found is 45 % of the MPE, within the 80 % that count as well inside.
}
