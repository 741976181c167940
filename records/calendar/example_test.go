package calendar_test

import (
	"fmt"
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// The third monthly due date after the last of January, and the instant from
// which the device is overdue.
func ExampleDate_AddTimes() {
	anchor, _ := calendar.ParseDate("2026-01-31")
	interval, _ := quantity.ParseInterval("1 month")
	zone, _ := calendar.Zone("Europe/Berlin")
	due := anchor.AddTimes(interval, 3)
	fmt.Println(due, due.Weekday(), due.EndIn(zone).Format(time.RFC3339))
	// Output: 2026-04-30 Thursday 2026-05-01T00:00:00+02:00
}

func ExampleZone() {
	_, err := calendar.Zone("Europe/Berln")
	fmt.Println(err)
	// Output: "Europe/Berln", expected the name of a time zone in the IANA database
}
