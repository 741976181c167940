package source

import "time"

// civil is a date, a time of day or both, with an offset or without, exactly
// as written and in no zone.
type civil struct {
	kind                       Kind
	year, month, day           int
	hour, minute, second, nano int
	offset                     int // seconds east of UTC
}

// parseCivil reads the four date and time forms of TOML v1.0.0 (RFC 3339 and
// parts of it). Digits beyond the nanosecond are cut off, as the specification
// asks. A second 60 is refused: Go's time cannot hold a leap second.
func parseCivil(token string) (civil, *flaw) {
	var c civil
	rest := token
	date := len(token) > 4 && token[4] == '-'
	if date {
		if !c.readDate(token) {
			return c, &flaw{
				what: "date " + quoteToken(token) + " is not of the form year-month-day with all digits",
				mend: "write dates like 2026-10-05",
			}
		}
		if c.month < 1 || c.month > 12 || c.day < 1 || c.day > daysIn(c.year, c.month) {
			return c, &flaw{what: quoteToken(token[:10]) + " is no day of the calendar", mend: "correct month or day"}
		}
		if len(token) == 10 {
			c.kind = LocalDate
			return c, nil
		}
		if token[10]|0x20 != 't' && token[10] != ' ' {
			return c, &flaw{what: "unexpected text behind the date in " + quoteToken(token), mend: "put T between date and time"}
		}
		rest = token[11:]
	}
	rest, withSeconds, ok := c.readTime(rest)
	if !ok {
		return c, &flaw{
			what: "time in " + quoteToken(token) + " is not of the form hours:minutes:seconds with all digits",
			mend: "write times like 08:12:00",
		}
	}
	if c.hour > 23 || c.minute > 59 || c.second > 59 {
		return c, &flaw{what: quoteToken(token) + " is no time of a day", mend: "hours go to 23, minutes and seconds to 59"}
	}
	c.kind = LocalTime
	if date {
		c.kind = LocalDateTime
	}
	if date && rest != "" {
		if !c.readOffset(rest) {
			return c, &flaw{
				what: "unexpected text " + quoteToken(rest) + " behind the time",
				mend: "write the offset from UTC as Z or like +02:00",
			}
		}
		rest, c.kind = "", OffsetDateTime
	}
	if rest != "" {
		return c, &flaw{what: "unexpected text " + quoteToken(rest) + " behind the time", mend: "a time without date has no offset"}
	}
	if !withSeconds {
		return c, &flaw{what: "a time without seconds", mend: "add the seconds, :00", toml11: true}
	}
	return c, nil
}

func (c *civil) readDate(s string) bool {
	return len(s) >= 10 && s[7] == '-' && digits(s[:4], &c.year) && digits(s[5:7], &c.month) && digits(s[8:10], &c.day)
}

// readTime reads hh:mm or hh:mm:ss with or without a fraction and returns what
// follows.
func (c *civil) readTime(s string) (rest string, withSeconds, ok bool) {
	if len(s) < 5 || s[2] != ':' || !digits(s[:2], &c.hour) || !digits(s[3:5], &c.minute) {
		return s, false, false
	}
	if len(s) == 5 || s[5] != ':' {
		return s[5:], false, true
	}
	if len(s) < 8 || !digits(s[6:8], &c.second) {
		return s, true, false
	}
	s = s[8:]
	if s == "" || s[0] != '.' {
		return s, true, true
	}
	i := 1
	for unit := 100_000_000; i < len(s) && isDigit(s[i]); i++ {
		c.nano += unit * int(s[i]-'0')
		unit /= 10
	}
	return s[i:], true, i > 1
}

func (c *civil) readOffset(s string) bool {
	if s == "Z" || s == "z" {
		return true
	}
	var hours, minutes int
	if len(s) != 6 || s[0] != '+' && s[0] != '-' || s[3] != ':' || !digits(s[1:3], &hours) || !digits(s[4:6], &minutes) ||
		hours > 23 || minutes > 59 {
		return false
	}
	c.offset = hours*3600 + minutes*60
	if s[0] == '-' {
		c.offset = -c.offset
	}
	return true
}

// instant returns an offset date-time in UTC or in a zone that has nothing but
// the offset.
func (c *civil) instant() time.Time {
	zone := time.UTC
	if c.offset != 0 {
		zone = time.FixedZone("", c.offset)
	}
	return time.Date(c.year, time.Month(c.month), c.day, c.hour, c.minute, c.second, c.nano, zone)
}

// digits reads a number that consists of digits only.
func digits(s string, into *int) bool {
	v := 0
	for i := range len(s) {
		if !isDigit(s[i]) {
			return false
		}
		v = v*10 + int(s[i]-'0')
	}
	*into = v
	return true
}

func daysIn(year, month int) int {
	switch month {
	case 4, 6, 9, 11:
		return 30
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	}
	return 31
}

// startsDate reports whether a token can only be meant as a date or time.
func startsDate(s string) bool {
	return startsTime(s) || len(s) > 4 && s[4] == '-' && isDigit(s[0]) && isDigit(s[1]) && isDigit(s[2]) && isDigit(s[3])
}

func startsTime(s string) bool {
	return len(s) > 2 && s[2] == ':' && isDigit(s[0]) && isDigit(s[1])
}
