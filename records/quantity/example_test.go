package quantity_test

import (
	"errors"
	"fmt"

	"plumbrule/records/quantity"
)

// A limit between measuring volumes, over a path of 2.6 m.
func ExampleParseMPE() {
	mpe, _ := quantity.ParseMPE("min(25 µm + 50 µm/m, 120 µm)")
	path, _ := quantity.ParseLength("2.6 m")
	um, _ := mpe.At(path)
	fmt.Println(mpe.GrowsWithLength(), um, "µm")
	// Output: true 120 µm
}

// An error points into the text and says what would mend it.
func ExampleError() {
	_, err := quantity.ParseLengthUncertainty("0.6 µm (K = 2)")
	if fault, ok := errors.AsType[*quantity.Error](err); ok {
		fmt.Println(fault)
		fmt.Println(fault.Start, fault.Text[fault.Start:fault.End])
		fmt.Println("mend:", fault.Mend)
	}
	// Output:
	// "K", expected k = …, ν = …, rectangular, triangular or u-shaped
	// 9 K
	// mend: write a small k: (k = 2)
}

func ExampleUncertainty_Standard() {
	u, _ := quantity.ParseTemperatureUncertainty("0.3 K (k = 2)")
	fmt.Println(u.Standard(), "K")
	// Output: 0.15 K
}
