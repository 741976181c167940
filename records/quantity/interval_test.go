package quantity

import (
	"testing"

	"pgregory.net/rapid"
)

// Designators: ISO 8601-1:2019, 5.5.2.
func TestParseInterval(t *testing.T) {
	for _, c := range []struct {
		text, canonical string
		want            Interval
	}{
		{"12 months", "12 months", Interval{Months: 12}},
		{"1 month", "1 month", Interval{Months: 1}},
		{"7 days", "7 days", Interval{Days: 7}},
		{"2 weeks", "14 days", Interval{Days: 14}},
		{"1 year", "12 months", Interval{Months: 12}},
		{"1 year 6 months", "18 months", Interval{Months: 18}},
		{"1month 1day", "1 month 1 day", Interval{Months: 1, Days: 1}},
		{"P12M", "12 months", Interval{Months: 12}},
		{"P7D", "7 days", Interval{Days: 7}},
		{"P1Y6M2W3D", "18 months 17 days", Interval{Months: 18, Days: 17}},
		{"0 years 6 months", "6 months", Interval{Months: 6}},
		{"200 years", "2400 months", Interval{Months: 2400}},
	} {
		got, err := ParseInterval(c.text)
		if err != nil || got != c.want || got.String() != c.canonical {
			t.Errorf("%q: %+v, prints %q, %v; want %+v, %q", c.text, got, got, err, c.want, c.canonical)
		}
		roundTrip(t, ParseInterval, c.text)
	}
	checkFaults(t, ParseInterval, []fault{
		{"12", "12", "without a unit", `"12 months"`},
		{"", "", "the text is empty, expected a whole number", `"12 months"`},
		{"monthly", "monthly", "a whole number", `"12 months"`},
		{"-1 month", "-", "a whole number", `"12 months"`},
		{"1.5 years", "1.5", "a whole number", "1 year 6 months"},
		{"1,5 years", "1,5", "a whole number", "1 year 6 months"},
		{"12 Months", "Months", "years, months, weeks or days", `"12 months"`},
		{"12 mo", "mo", "years, months, weeks or days", `"12 months"`},
		{"3 hours", "hours", "years, months, weeks or days", `"12 months"`},
		{"0 months", "0 months", "above zero", `"12 months"`},
		{"201 years", "201 years", "at most 200 years", "check the number"},
		{"200 years 1 day", "200 years 1 day", "at most 200 years", "check the number"},
		{"99999999999999999999 days", "99999999999999999999 days", "at most 200 years", "check the number"},
		{"6 months 1 year", "1 year", "not greater", "in the order"},
		{"1 day 1 day", "1 day", "not greater", "in the order"},
		{"1 year and 6 months", "and", "a whole number", `"12 months"`},
		{"PT12H", "T", "a whole number", "in words"},
		{"P12", "", "one of the letters", `"P12M"`},
		{"P1Y2", "", "one of the letters", `"P12M"`},
		{"P", "", "a whole number", "in words"},
		{"12M", "M", "years, months, weeks or days", "in words"},
	})
}

func TestIntervalPrintsWhatItReads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		i := Interval{rapid.IntRange(0, 1200).Draw(t, "months"), rapid.IntRange(0, 36000).Draw(t, "days")}
		got, err := ParseInterval(i.String())
		if i.IsZero() != (err != nil) || got != i {
			t.Fatalf("%+v prints %q, reads %+v, %v", i, i, got, err)
		}
	})
}

func FuzzInterval(f *testing.F) {
	for _, s := range []string{"12 months", "P1Y6M", "1 year 2 weeks 3 days", "1.5 years", "P7D", "0 days"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) { roundTrip(t, ParseInterval, text) })
}
