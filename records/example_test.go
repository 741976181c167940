package records_test

import (
	"fmt"
	"testing/fstest"
	"time"

	"plumbrule/records"
)

// A record with a fault is not lost: it is told where it is wrong, and the set
// says what can no longer be judged.
func ExampleLoad() {
	repository := fstest.MapFS{
		"plumbrule.toml": {Data: []byte(`format = 1
name = "Works"
time-zone = "Europe/Berlin"
unit = "mm"
`)},
		"devices/calliper-7.toml": {Data: []byte(`kind = "calliper"
serial = "0412"
in-service = 2026-01-12
scale-expansion = "11.5e-6/K"
entered = 2026-01-12T09:00:00+01:00
by = "mk"
calibration.interval = "12 months"

[[limit]]
quantity = "length"
mpe = "30 um"
uo-to = "150 mm"
`)},
	}
	set, diagnostics := records.Load(repository, records.Options{})
	for _, d := range diagnostics {
		fmt.Print(d)
	}
	fmt.Println(len(set.Devices), set.DeviceIDs(), set.Unreadable[0].Subject)
	// Output:
	// devices/calliper-7.toml:12:1: error: key "uo-to" is none of this table's [unknown-key]
	//     uo-to = "150 mm"
	//     ^
	//   mend: did you mean up-to?
	// 0 [calliper-7] calliper-7
}

// Quantities are written in their canonical form, and what could not be read
// back is refused.
func ExampleEncode() {
	zone := time.FixedZone("", 3600)
	event := &records.Event{
		Subject: "calliper-7", Kind: records.Withdrawal, Reason: "dropped, \"jaw\" bent",
		Time: time.Date(2026, 3, 10, 10, 0, 0, 0, zone), Entered: time.Date(2026, 3, 10, 10, 5, 0, 0, zone), By: "mk",
	}
	text, err := records.Encode(event)
	fmt.Printf("%s%v\n", text, err)
	event.By = ""
	_, err = records.Encode(event)
	fmt.Println(err)
	// Output:
	// subject = "calliper-7"
	// kind = "withdrawal"
	// time = 2026-03-10T10:00:00+01:00
	// entered = 2026-03-10T10:05:00+01:00
	// by = "mk"
	// reason = "dropped, \"jaw\" bent"
	// <nil>
	// the record cannot be written so that it can be read: key by is missing
}
