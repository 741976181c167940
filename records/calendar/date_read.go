package calendar

import (
	"fmt"
	"strconv"
	"time"

	"plumbrule/records/quantity"
)

// Years outside these bounds are slips of the pen.
const (
	firstYear = 1900
	lastYear  = 2200
)

const dateForm = "year-month-day, for example 2026-10-05"

// ParseDate reads a date as ISO 8601 writes it, "2026-10-05": four, two and
// two digits, a day that exists, a year from 1900 to 2200. The error is a
// [*quantity.Error].
func ParseDate(text string) (Date, error) {
	fault := func(start, end int, found, expected, mend string) (Date, error) {
		return Date{}, &quantity.Error{Text: text, Start: start, End: end, Found: found, Expected: expected, Mend: mend}
	}
	if len(text) != len("2026-10-05") || text[4] != '-' || text[7] != '-' {
		found := strconv.Quote(text)
		if text == "" {
			found = "the text is empty"
		}
		return fault(0, len(text), found, "a date", "write "+dateForm)
	}
	year, okYear := digits(text[:4])
	month, okMonth := digits(text[5:7])
	day, okDay := digits(text[8:])
	if !okYear || !okMonth || !okDay {
		return fault(0, len(text), strconv.Quote(text), "a date of digits", "write "+dateForm)
	}
	if year < firstYear || year > lastYear {
		return fault(0, 4, "the year "+text[:4], fmt.Sprintf("a year from %d to %d", firstYear, lastYear), "check the year")
	}
	if month < 1 || month > 12 {
		return fault(5, 7, "the month "+text[5:7], "a month from 01 to 12", "write "+dateForm)
	}
	if last := daysIn(year, time.Month(month)); day < 1 || day > last {
		return fault(8, 10, "the day "+text[8:], fmt.Sprintf("a day from 01 to %02d in %s %d", last, time.Month(month), year),
			"check the day and the month")
	}
	return Date{year, time.Month(month), day}, nil
}

func digits(s string) (n int, ok bool) {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		n = n*10 + int(s[i]-'0')
	}
	return n, true
}
