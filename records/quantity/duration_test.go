package quantity

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Symbols and lengths of day, hour and minute: SI Brochure, 9th edition, table 8.
func TestParseDuration(t *testing.T) {
	for _, c := range []struct {
		text, canonical string
		want            time.Duration
	}{
		{"2 s", "2 s", 2 * time.Second},
		{"500 ms", "500 ms", 500 * time.Millisecond},
		{"10 min", "10 min", 600 * time.Second},
		{"8h", "8 h", 28800 * time.Second},
		{"1 day", "1 day", 86400 * time.Second},
		{"2 days", "2 days", 172800 * time.Second},
		{"1 h 30 min", "1 h 30 min", 5400 * time.Second},
		{"90 min", "1 h 30 min", 5400 * time.Second},
		{"1500 ms", "1 s 500 ms", 1500 * time.Millisecond},
		{"3 hours 1 minute 2 seconds", "3 h 1 min 2 s", 10862 * time.Second},
		{"0 h 5 min", "5 min", 300 * time.Second},
		{" 5\u00a0min ", "5 min", 300 * time.Second},
		{"366 days", "366 days", 366 * 86400 * time.Second},
		{"31622400000 ms", "366 days", 366 * 86400 * time.Second},
	} {
		got, err := ParseDuration(c.text)
		if err != nil || got.Time() != c.want || got.String() != c.canonical {
			t.Errorf("%q: %v, prints %q, %v; want %v, %q", c.text, got.Time(), got, err, c.want, c.canonical)
		}
		roundTrip(t, ParseDuration, c.text)
	}
	checkFaults(t, ParseDuration, []fault{
		{"12", "12", "without a unit", `"12 s"`},
		{"", "", "the text is empty, expected a whole number", `"2 s"`},
		{"often", "often", "a whole number", `"2 s"`},
		{"-1 s", "-", "a whole number", `"2 s"`},
		{"1.5 h", "1.5", "a whole number", `"1 h 30 min"`},
		{"1,5 h", "1,5", "a whole number", `"1 h 30 min"`},
		{"5 m", "m", "days, h, min, s or ms", `"10 min"`},
		{"5 Min", "Min", "days, h, min, s or ms", `write "5 min"`},
		{"5 sec", "sec", "days, h, min, s or ms", `write "5 s"`},
		{"5 S", "S", "days, h, min, s or ms", `write "5 s"`},
		{"5 MS", "MS", "days, h, min, s or ms", `write "5 ms"`},
		{"5 hrs", "hrs", "days, h, min, s or ms", `write "5 h"`},
		{"2 weeks", "weeks", "days, h, min, s or ms", `"10 min"`},
		{"1 month", "month", "days, h, min, s or ms", `"10 min"`},
		{"0 s", "0 s", "above zero", `"2 s"`},
		{"366 days 1 ms", "366 days 1 ms", "at most 366 days", "check the number"},
		{"99999999999999999999 days", "99999999999999999999 days", "at most 366 days", "check the number"},
		{"30 min 1 h", "1 h", "not greater", "in the order"},
		{"1 h 1 hour", "1 hour", "not greater", "in the order"},
		{"1 h and 6 min", "and", "a whole number", `"2 s"`},
		{"PT2S", "PT", "a whole number", `"2 s"`},
	})
	if got := (Duration{}).Time(); got != 0 {
		t.Errorf("a duration that is not stated lasts %v", got)
	}
}

func TestDurationPrintsWhatItReads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Duration{rapid.Int64Range(0, longestDuration.Milliseconds()).Draw(t, "ms")}
		got, err := ParseDuration(d.String())
		if d.IsZero() != (err != nil) || got != d {
			t.Fatalf("%v prints %q, reads %v, %v", d.Time(), d, got.Time(), err)
		}
	})
}

func FuzzDuration(f *testing.F) {
	for _, s := range []string{"2 s", "1 h 30 min", "2 days", "1.5 h", "500 ms", "0 min"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) { roundTrip(t, ParseDuration, text) })
}
