package quantity

import "strings"

const (
	intervalExpected = "years, months, weeks or days"
	intervalExample  = `write it in words, for example "12 months" or "7 days"`
)

// calendarUnit is a rank among years, months, weeks and days, in that order;
// 0 is none of them.
type calendarUnit uint8

const (
	year calendarUnit = iota + 1
	month
	week
	day
)

// ParseInterval reads a positive calendar interval of whole numbers in words,
// "12 months", "1 year 6 months", "2 weeks", or as ISO 8601 writes it, "P12M",
// "P7D". Each unit may stand once, the greatest first. Intervals over 200
// years are refused. The error is an [*Error].
func ParseInterval(text string) (Interval, error) {
	c := cursor{text: text}
	c.blank()
	start := c.pos
	designator := c.take("P")
	var total Interval
	var last calendarUnit
	for {
		c.blank()
		if c.atEnd() && last != 0 {
			break
		}
		from := c.pos
		count, err := c.count()
		if err != nil {
			return Interval{}, err
		}
		u, err := c.calendarUnit(from, designator)
		if err == nil && u <= last {
			err = c.fault(from, c.pos, quoted(c.text[from:c.pos])+" after a unit that is not greater",
				"each unit once, the greatest first", `write them in the order "1 year 6 months 2 weeks 3 days"`)
		}
		if err != nil {
			return Interval{}, err
		}
		total, last = total.with(count, u), u
	}
	switch {
	case total.IsZero():
		return Interval{}, c.fault(start, c.pos, quoted(strings.TrimSpace(c.text[start:c.pos])), "an interval above zero", intervalExample)
	case total.tooLong():
		return Interval{}, c.fault(start, c.pos, quoted(strings.TrimSpace(c.text[start:c.pos])), "an interval of at most 200 years", "check the number")
	}
	return total, nil
}

func (i Interval) with(count int, u calendarUnit) Interval {
	switch u {
	case year:
		i.Months += 12 * count
	case month:
		i.Months += count
	case week:
		i.Days += 7 * count
	case day:
		i.Days += count
	}
	return i
}

// count reads a whole number without sign. Beyond 999999 it stays there: no
// unit makes so many of them an interval.
func (c *cursor) count() (int, *Error) {
	start, n := c.pos, 0
	for ; c.pos < len(c.text) && isDigit(c.text[c.pos]); c.pos++ {
		n = min(n*10+int(c.text[c.pos]-'0'), 999999)
	}
	if c.pos == start {
		return 0, c.here("a whole number", intervalExample)
	}
	if !c.atEnd() && (c.text[c.pos] == '.' || c.text[c.pos] == ',') {
		end := c.pos + 1
		for end < len(c.text) && isDigit(c.text[end]) {
			end++
		}
		return 0, c.fault(start, end, quoted(c.text[start:end]), "a whole number", `write whole numbers: "1 year 6 months"`)
	}
	return n, nil
}

// calendarUnit reads the unit after the count that began at start; as letters
// when the text began with the designator P.
func (c *cursor) calendarUnit(start int, designator bool) (calendarUnit, *Error) {
	counted := c.text[start:c.pos]
	end := c.pos
	if designator {
		for u, letter := range [...]string{year: "Y", month: "M", week: "W", day: "D"} {
			if letter != "" && c.take(letter) {
				return calendarUnit(u), nil
			}
		}
		return 0, c.here("one of the letters Y, M, W, D", `write whole years, months, weeks or days: "P12M"`)
	}
	c.blank()
	from := c.pos
	switch word := c.word(); word {
	case "year", "years":
		return year, nil
	case "month", "months":
		return month, nil
	case "week", "weeks":
		return week, nil
	case "day", "days":
		return day, nil
	case "":
		c.pos = end
		return 0, c.noUnit(start, end, intervalExpected, "write the unit: "+quoted(counted+" months"))
	default:
		mend := intervalExample
		if meant := calendarHint(strings.ToLower(word)); meant != "" {
			mend = "write " + quoted(counted+" "+meant)
		}
		return 0, c.fault(from, c.pos, quoted(word), intervalExpected, mend)
	}
}

func calendarHint(lower string) string {
	switch strings.TrimSuffix(lower, "s") {
	case "y", "yr", "year", "annum", "a":
		return "years"
	case "mo", "mon", "mth", "month":
		return "months"
	case "w", "wk", "week":
		return "weeks"
	case "d", "day":
		return "days"
	}
	return ""
}
