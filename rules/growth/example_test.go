package growth_test

import (
	"fmt"

	"plumbrule/rules/growth"
)

func ExampleEstimate() {
	var checks []growth.Check
	for _, c := range [][2]float64{
		{1, 6}, {1, -4}, {1, 9}, {2, 15}, {2, -8}, {2, 3}, {4, 24}, {4, 30}, {4, -11}, {8, 60}, {8, 5}, {8, 18},
	} {
		checks = append(checks, growth.Check{PathM: c[0], ErrorUM: c[1]})
	}
	g, err := growth.Estimate(checks, growth.Claim{ConstantUM: 20, PerMetreUM: 25}, growth.Settings{})
	if err != nil {
		fmt.Println(err)
		return
	}
	scale := g.Scale.PerMetreUM
	fmt.Printf("scale error %.1f µm per metre (%.1f to %.1f)\n", *scale.Estimate.Value, *scale.Lower.Value, *scale.Upper.Value)
	fmt.Printf("95 %% of errors within %.0f µm + %.0f µm per metre, claimed 20 and 25\n", *g.Bound.ConstantUM.Value, *g.Bound.PerMetreUM.Value)
	fmt.Println(g.Support.Reason)
	few, _ := growth.Estimate(checks[:3], growth.Claim{ConstantUM: 20, PerMetreUM: 25}, growth.Settings{})
	fmt.Println(few.Bound.PerMetreUM.Reason)
	// Output:
	// scale error 3.4 µm per metre (-1.3 to 8.1)
	// 95 % of errors within 8 µm + 10 µm per metre, claimed 20 and 25
	// the growth is known to 4.96 µm per metre (standard error), at most half of the claimed 25
	// 3 checks, expected at least 10 to tell a constant and a growth of both line and spread
}
