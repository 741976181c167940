package due_test

import (
	"fmt"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules/due"
)

func ExampleNext() {
	calibrated := calendar.Date{Year: 2024, Month: 2, Day: 29}
	for k := 1; k <= 4; k++ {
		fmt.Println(due.Next(calibrated, quantity.Interval{Months: 12}, k, due.Day))
	}
	// Output:
	// 2025-02-28
	// 2026-02-28
	// 2027-02-28
	// 2028-02-29
}
