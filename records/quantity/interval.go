package quantity

import "strconv"

// Interval is a calendar amount without fixed length: first so many months,
// then so many days (ISO 8601-1:2019, 5.5.2). The zero value is not stated.
type Interval struct {
	Months int // a year is 12 of them
	Days   int // a week is 7 of them
}

// maxYears bounds an interval; a longer one is a slip.
const maxYears = 200

// IsZero tells whether the interval is not stated.
func (i Interval) IsZero() bool { return i == Interval{} }

// String gives the canonical form in words, months and days only: "18
// months", "7 days", "1 month 15 days"; empty when not stated.
func (i Interval) String() string {
	months, days := countedWord(i.Months, "month"), countedWord(i.Days, "day")
	if months != "" && days != "" {
		return months + " " + days
	}
	return months + days
}

func countedWord(n int, word string) string {
	switch n {
	case 0:
		return ""
	case 1:
		return "1 " + word
	}
	return strconv.Itoa(n) + " " + word + "s"
}

// tooLong compares with 200 Gregorian years of 365.2425 days, a month being a
// twelfth of one; in units of 1/10000 day.
func (i Interval) tooLong() bool {
	const year int64 = 3652425
	return int64(i.Months)*year+int64(i.Days)*12*10000 > maxYears*12*year
}
