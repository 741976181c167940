package calendar

import (
	"errors"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"plumbrule/records/quantity"
)

func mustDate(tb testing.TB, text string) Date {
	tb.Helper()
	d, err := ParseDate(text)
	if err != nil {
		tb.Fatalf("%q: %v", text, err)
	}
	return d
}

func mustInterval(tb testing.TB, text string) quantity.Interval {
	tb.Helper()
	i, err := quantity.ParseInterval(text)
	if err != nil {
		tb.Fatalf("%q: %v", text, err)
	}
	return i
}

// Results of java.time.LocalDate.plus (Java 17) and dateutil 2.8.2
// relativedelta, which agree.
func TestAddClampsToTheEndOfTheMonth(t *testing.T) {
	for _, c := range []struct {
		start    string
		interval quantity.Interval
		want     string
	}{
		{"2024-01-31", mustInterval(t, "1 month"), "2024-02-29"},
		{"2023-01-31", mustInterval(t, "1 month"), "2023-02-28"},
		{"2024-02-29", mustInterval(t, "12 months"), "2025-02-28"},
		{"2024-02-29", mustInterval(t, "1 year"), "2025-02-28"},
		{"2024-02-29", mustInterval(t, "48 months"), "2028-02-29"},
		{"2096-02-29", mustInterval(t, "4 years"), "2100-02-28"}, // 2100 is no leap year
		{"2025-08-31", mustInterval(t, "6 months"), "2026-02-28"},
		{"2023-08-31", mustInterval(t, "6 months"), "2024-02-29"},
		{"2026-10-31", mustInterval(t, "18 months"), "2028-04-30"},
		{"2025-03-31", quantity.Interval{Months: -1}, "2025-02-28"},
		{"2025-02-28", mustInterval(t, "1 month"), "2025-03-28"},       // no memory of a month's end
		{"2025-01-31", mustInterval(t, "1 month 1 day"), "2025-03-01"}, // months first, then days
		{"2026-10-05", mustInterval(t, "1 month"), "2026-11-05"},
		{"2026-03-28", mustInterval(t, "1 day"), "2026-03-29"},
		{"2026-12-31", mustInterval(t, "2 weeks"), "2027-01-14"},
		{"2026-01-15", quantity.Interval{Months: -13}, "2024-12-15"},
	} {
		if got := mustDate(t, c.start).Add(c.interval); got != mustDate(t, c.want) {
			t.Errorf("%s + %+v = %s, want %s", c.start, c.interval, got, c.want)
		}
	}
}

// java.time 17: adding a month twice is not adding two months, so the k-th
// date is counted from the anchor.
func TestAddTimesIsNotChained(t *testing.T) {
	anchor, month := mustDate(t, "2025-01-31"), mustInterval(t, "1 month")
	if got := anchor.Add(month).Add(month); got != mustDate(t, "2025-03-28") {
		t.Errorf("chained: %s", got)
	}
	for k, want := range []string{"2025-01-31", "2025-02-28", "2025-03-31", "2025-04-30", "2025-05-31"} {
		if got := anchor.AddTimes(month, k); got != mustDate(t, want) {
			t.Errorf("%d times: %s, want %s", k, got, want)
		}
	}
	if got := mustDate(t, "2024-02-29").AddTimes(mustInterval(t, "1 year"), 4); got != mustDate(t, "2028-02-29") {
		t.Errorf("4 years after a leap day: %s", got)
	}
	if got := anchor.AddTimes(mustInterval(t, "1 month 1 day"), 2); got != mustDate(t, "2025-04-02") {
		t.Errorf("2 times 1 month 1 day: %s", got)
	}
	if got := anchor.AddTimes(month, -2); got != mustDate(t, "2024-11-30") {
		t.Errorf("-2 times: %s", got)
	}
	if got, want := mustDate(t, "1900-01-31").AddTimes(month, -1900*12-2), (Date{-1, time.November, 30}); got != want {
		t.Errorf("before the year 0: %+v, want %+v", got, want)
	}
}

func anyDate(t *rapid.T, label string) Date {
	first := Date{firstYear, time.January, 1}
	days := first.DaysUntil(Date{lastYear, time.December, 31})
	return first.AddDays(rapid.IntRange(0, days).Draw(t, label))
}

func TestDateLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDate(t, "d")
		if again, err := ParseDate(d.String()); err != nil || again != d {
			t.Fatalf("%+v prints %q, reads %+v, %v", d, d, again, err)
		}
		days := rapid.IntRange(-40000, 40000).Draw(t, "days")
		e := d.AddDays(days)
		if got := d.DaysUntil(e); got != days {
			t.Fatalf("%s to %s: %d days, want %d", d, e, got, days)
		}
		if (days > 0) != e.After(d) || (days < 0) != e.Before(d) || (days == 0) != (e.Compare(d) == 0) {
			t.Fatalf("%s and %s stand in the wrong order", d, e)
		}
		if got, want := int(e.Weekday()), ((int(d.Weekday())+days)%7+7)%7; got != want {
			t.Fatalf("%s is weekday %d, want %d", e, got, want)
		}
		if end := d.MonthEnd(); end.Month != d.Month || end.AddDays(1).Day != 1 || end.Before(d) {
			t.Fatalf("%s ends its month on %s", d, end)
		}
	})
}

// The clamp: the month is the one counted to, and the day is kept or, if the
// month has none such, its last. And more months never give an earlier date.
func TestClampLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDate(t, "d")
		months := rapid.IntRange(-600, 600).Draw(t, "months")
		e := d.Add(quantity.Interval{Months: months})
		if got := (e.Year-d.Year)*12 + int(e.Month) - int(d.Month); got != months {
			t.Fatalf("%s + %d months = %s, %d months on", d, months, e, got)
		}
		if e.Day != d.Day && (e.Day > d.Day || e != e.MonthEnd()) {
			t.Fatalf("%s + %d months = %s", d, months, e)
		}
		if later := d.Add(quantity.Interval{Months: months + 1}); !e.Before(later) {
			t.Fatalf("%s + %d months = %s, one month more gives %s", d, months, e, later)
		}
	})
}

// 1 January 2000 was a Saturday (ISO 8601-1:2019, 4.2.1 names Monday 2000-01-03
// by its week date 2000-W01-1).
func TestWeekday(t *testing.T) {
	if got := mustDate(t, "2000-01-03").Weekday(); got != time.Monday {
		t.Errorf("2000-01-03 is a %s", got)
	}
}

func TestParseDateRefuses(t *testing.T) {
	for _, c := range []struct{ text, at, says, mends string }{
		{"2025-02-29", "29", "the day 29, expected a day from 01 to 28 in February 2025", "check the day"},
		{"2100-02-29", "29", "28 in February 2100", "check the day"},
		{"2025-04-31", "31", "30 in April 2025", "check the day"},
		{"2025-04-00", "00", "from 01", "check the day"},
		{"2025-13-01", "13", "a month from 01 to 12", "year-month-day"},
		{"2025-00-01", "00", "a month from 01 to 12", "year-month-day"},
		{"1899-12-31", "1899", "from 1900 to 2200", "check the year"},
		{"2201-01-01", "2201", "from 1900 to 2200", "check the year"},
		{"2025-1-1", "2025-1-1", "expected a date", "2026-10-05"},
		{"05.10.2026", "05.10.2026", "expected a date", "2026-10-05"},
		{"2025/01/01", "2025/01/01", "expected a date", "2026-10-05"},
		{"2025-0x-01", "2025-0x-01", "digits", "2026-10-05"},
		{"+025-01-01", "+025-01-01", "digits", "2026-10-05"},
		{" 2025-01-01", " 2025-01-01", "expected a date", "2026-10-05"},
		{"2025-01-01T08:00", "2025-01-01T08:00", "expected a date", "2026-10-05"},
		{"", "", "the text is empty", "2026-10-05"},
	} {
		d, err := ParseDate(c.text)
		var e *quantity.Error
		if !errors.As(err, &e) || !d.IsZero() {
			t.Errorf("%q: %v, %v", c.text, d, err)
			continue
		}
		if e.Text[e.Start:e.End] != c.at || !strings.Contains(e.Error(), c.says) || !strings.Contains(e.Mend, c.mends) {
			t.Errorf("%q: at %q: %v; mend: %s", c.text, e.Text[e.Start:e.End], e, e.Mend)
		}
	}
	if got := (Date{}).String(); got != "" {
		t.Errorf("a date that is not stated prints %q", got)
	}
}

func FuzzParseDate(f *testing.F) {
	for _, s := range []string{"2026-10-05", "2024-02-29", "2025-02-29", "20261005", "2026-10-0٥"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, err := ParseDate(text)
		want, wrong := time.Parse(time.DateOnly, text)
		inBounds := wrong == nil && want.Year() >= firstYear && want.Year() <= lastYear
		if (err == nil) != inBounds {
			t.Fatalf("%q: %v, package time says %v", text, err, wrong)
		}
		if err == nil && (d != Of(want, time.UTC) || d.String() != text) {
			t.Fatalf("%q became %s", text, d)
		}
	})
}
