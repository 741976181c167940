package due_test

import (
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules/due"
	"plumbrule/rules/selftest"
)

func date(tb testing.TB, text string) calendar.Date {
	tb.Helper()
	d, err := calendar.ParseDate(text)
	if err != nil {
		tb.Fatal(err)
	}
	return d
}

// By java.time 17 (LocalDate.plusMonths, plusDays) and dateutil 2.8.2 (relativedelta), which agree.
func TestNextAsOthersCount(t *testing.T) {
	for _, complaint := range selftest.Complaints("due date") {
		t.Error(complaint)
	}
}

func TestNext(t *testing.T) {
	months := func(n int) quantity.Interval { return quantity.Interval{Months: n} }
	days := func(n int) quantity.Interval { return quantity.Interval{Days: n} }
	for _, c := range []struct {
		anchor   string
		interval quantity.Interval
		k        int
		until    due.Policy
		want     string
	}{
		{"2026-10-05", months(12), 0, due.Day, "2026-10-05"},
		// The end of the month is read off the calendar.
		{"2024-02-29", months(12), 1, due.MonthEnd, "2025-02-28"},
		{"2026-10-05", months(6), 1, due.MonthEnd, "2027-04-30"},
		{"2026-10-05", days(7), 1, due.MonthEnd, "2026-10-12"},
		{"2026-10-05", quantity.Interval{Months: 1, Days: 1}, 1, due.MonthEnd, "2026-11-06"},
	} {
		t.Run(fmt.Sprintf("%s+%d×%s %s", c.anchor, c.k, c.interval, c.until), func(t *testing.T) {
			if got := due.Next(date(t, c.anchor), c.interval, c.k, c.until).String(); got != c.want {
				t.Errorf("got %s, want %s", got, c.want)
			}
		})
	}
}

func TestNoDate(t *testing.T) {
	anchor, year := date(t, "2026-10-05"), quantity.Interval{Months: 12}
	for name, got := range map[string]calendar.Date{
		"no anchor":         due.Next(calendar.Date{}, year, 1, due.Day),
		"no interval":       due.Next(anchor, quantity.Interval{}, 1, due.Day),
		"negative count":    due.Next(anchor, year, -1, due.Day),
		"negative interval": due.Next(anchor, quantity.Interval{Days: -7}, 1, due.Day),
		"after 9999":        due.Next(anchor, year, 7974, due.Day),
		"overflow":          due.Next(anchor, quantity.Interval{Months: 2400}, 1<<62, due.Day),
	} {
		if !got.IsZero() {
			t.Errorf("%s: got %s, want none", name, got)
		}
	}
	if got := due.Next(anchor, year, 7973, due.Day).String(); got != "9999-10-05" {
		t.Errorf("last year: got %q", got)
	}
}

func TestParsePolicy(t *testing.T) {
	for _, p := range []due.Policy{due.Day, due.MonthEnd} {
		if got, err := due.ParsePolicy(string(p)); got != p || err != nil {
			t.Errorf("%s: got %q, %v", p, got, err)
		}
	}
	_, err := due.ParsePolicy("Month-End")
	if want := `"Month-End", expected day or month-end`; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// Due dates keep the anchor's day, or the month's last where it has no such day, and never go back.
func TestDueDatesKeepTheAnchorsDay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		day := time.Unix(rapid.Int64Range(-2208988800, 7258118399).Draw(t, "second"), 0).UTC()
		anchor := calendar.Of(day, time.UTC)
		interval := quantity.Interval{Months: rapid.IntRange(1, 60).Draw(t, "months")}
		before := anchor
		for k := 1; k <= 12; k++ {
			next := due.Next(anchor, interval, k, due.Day)
			if next.Day != min(anchor.Day, next.MonthEnd().Day) || !before.Before(next) {
				t.Fatalf("%d-th due date of %s is %s after %s", k, anchor, next, before)
			}
			if end := due.Next(anchor, interval, k, due.MonthEnd); end != next.MonthEnd() {
				t.Fatalf("month's end of %s is %s", next, end)
			}
			before = next
		}
	})
}
