package quantity

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

const (
	monday  = 1
	tuesday = 2
	friday  = 5
	sat     = 6
)

// Times of day and the numbers of weekdays: ISO 8601-1:2019, 5.3 and 3.1.2.6.
func TestParseHours(t *testing.T) {
	for _, c := range []struct {
		text, canonical string
		want            Hours
	}{
		{"monday-friday 07:00-16:00", "monday-friday 07:00-16:00", Hours{monday, 5, 7 * 60, 16 * 60}},
		{"22:00-06:00", "22:00-06:00", Hours{monday, 7, 22 * 60, 6 * 60}},
		{"saturday", "saturday", Hours{sat, 1, 0, 1440}},
		{"saturday-sunday", "saturday-sunday", Hours{sat, 2, 0, 1440}},
		{"friday - monday 18:00 – 24:00", "friday-monday 18:00-24:00", Hours{friday, 4, 18 * 60, 1440}},
		{"tuesday-monday", "monday-sunday", Hours{monday, 7, 0, 1440}},
		{"tuesday-tuesday 00:00-12:30", "tuesday 00:00-12:30", Hours{tuesday, 1, 0, 750}},
		{"20:00-00:00", "20:00-24:00", Hours{monday, 7, 20 * 60, 1440}},
		{"00:00-24:00", "monday-sunday", Hours{monday, 7, 0, 1440}},
	} {
		got, err := ParseHours(c.text)
		if err != nil || got != c.want || got.String() != c.canonical {
			t.Errorf("%q: %+v, prints %q, %v; want %+v, %q", c.text, got, got, err, c.want, c.canonical)
		}
		roundTrip(t, ParseHours, c.text)
	}
	checkFaults(t, ParseHours, []fault{
		{"", "", "the text is empty, expected days of the week, hours, or both", `"22:00-06:00"`},
		{"mon-fri 07:00-16:00", "mon", "a day of the week", `write "monday"`},
		{"Monday", "Monday", "a day of the week", `write "monday"`},
		{"monday-fr", "fr", "a day of the week", `write "friday"`},
		{"t", "t", "a day of the week", `"saturday"`},
		{"weekdays", "weekdays", "a day of the week", `"monday-friday 07:00-16:00"`},
		{"monday-", "", "a day of the week", `"monday-friday`},
		{"monday, friday", ",", "a time of day", `"monday-friday`},
		{"7:00-16:00", "7:00", "two digits, a colon", `"22:00-06:00"`},
		{"07.00-16.00", "07.00", "two digits, a colon", `"22:00-06:00"`},
		{"07:00-16", "16", "two digits, a colon", `"22:00-06:00"`},
		{"07:60-16:00", "07:60", "from 00:00 to 24:00", "check the digits"},
		{"07:00-24:01", "24:01", "from 00:00 to 24:00", "check the digits"},
		{"07:00-16:00 uhr", "uhr", "after the hours", "alone"},
		{"07:00", "", "a hyphen", `"22:00-06:00"`},
		{"07:00 16:00", "1", "a hyphen", `"22:00-06:00"`},
		{"friday 07:00-07:00", "07:00-07:00", "other than the beginning", `the whole day: "friday"`},
		{"24:00-06:00", "24:00-06:00", "before the end of the day", "write 00:00"},
	})
}

// The days of a span that passes the end of the week.
func TestHoursOn(t *testing.T) {
	h := Hours{friday, 4, 0, 60}
	for day, want := range map[time.Weekday]bool{
		time.Thursday: false, time.Friday: true, time.Saturday: true, time.Sunday: true, time.Monday: true, time.Tuesday: false, time.Wednesday: false,
	} {
		if got := h.On(day); got != want {
			t.Errorf("%s on a %s: %v", h, day, got)
		}
	}
	if (Hours{}).On(time.Monday) {
		t.Error("hours that are not stated begin on a Monday")
	}
}

func TestHoursPrintWhatTheyRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := Hours{
			first: int8(rapid.IntRange(1, 7).Draw(t, "first")), days: int8(rapid.IntRange(1, 7).Draw(t, "days")),
			begin: int16(rapid.IntRange(0, 1439).Draw(t, "begin")), end: int16(rapid.IntRange(1, 1440).Draw(t, "end")),
		}
		if h.begin == h.end {
			return
		}
		if h.days == 7 {
			h.first = 1
		}
		if got, err := ParseHours(h.String()); err != nil || got != h {
			t.Fatalf("%+v prints %q, reads %+v, %v", h, h, got, err)
		}
		if begin, end := h.Minutes(); begin != int(h.begin) || end != int(h.end) {
			t.Fatalf("%s: minutes %d to %d", h, begin, end)
		}
	})
}

func FuzzHours(f *testing.F) {
	for _, s := range []string{"monday-friday 07:00-16:00", "22:00-06:00", "saturday", "24:00-00:00", "mon", "07:00-"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) { roundTrip(t, ParseHours, text) })
}
