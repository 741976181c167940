package quantity

import "strings"

const (
	hoursExpected = "days of the week, hours, or both"
	hoursExample  = `write for example "monday-friday 07:00-16:00", "22:00-06:00" or "saturday"`
)

// ParseHours reads hours of the week: a day or the first and the last of
// several, "saturday", "monday-friday", then a span of hours, "07:00-16:00".
// Without days it is every day, without hours the whole day. Hours are written
// as ISO 8601-1:2019 writes them, 24 of them, with two digits each; 24:00 is
// the end of a day. The error is an [*Error].
func ParseHours(text string) (Hours, error) {
	c := cursor{text: text}
	c.blank()
	h := Hours{first: 1, days: 7, begin: 0, end: minutesOfDay}
	if c.atEnd() {
		return Hours{}, c.here(hoursExpected, hoursExample)
	}
	if !isDigit(c.text[c.pos]) {
		if err := c.weekdays(&h); err != nil {
			return Hours{}, err
		}
		c.blank()
		if c.atEnd() {
			return h, nil
		}
	}
	if err := c.hours(&h); err != nil {
		return Hours{}, err
	}
	if err := c.end("the hours"); err != nil {
		return Hours{}, err
	}
	return h, nil
}

// weekdays reads one day, or the first and the last of several.
func (c *cursor) weekdays(h *Hours) *Error {
	first, err := c.weekday()
	if err != nil {
		return err
	}
	h.first, h.days = first, 1
	if !c.takeDash() {
		return nil
	}
	last, err := c.weekday()
	if err != nil {
		return err
	}
	h.days = (last-first+7)%7 + 1
	if h.days == 7 {
		h.first = 1 // every day, whichever was named first
	}
	return nil
}

// takeDash reads a dash with blanks around it: the hyphen, or the dash that
// word processors make of it.
func (c *cursor) takeDash() bool {
	ahead := *c
	ahead.blank()
	if !ahead.take("-", "–") {
		return false
	}
	ahead.blank()
	*c = ahead
	return true
}

// weekday reads the name of a day in small letters; 1 is Monday.
func (c *cursor) weekday() (int8, *Error) {
	from := c.pos
	word := c.word()
	if word == "" {
		return 0, c.here("a day of the week", hoursExample)
	}
	mend := hoursExample
	for iso := range 7 {
		name := weekdayName(iso + 1)
		if word == name {
			return int8(iso + 1), nil
		}
		if lower := strings.ToLower(word); len(lower) >= 2 && strings.HasPrefix(name, lower) {
			mend = "write " + quoted(name)
		}
	}
	return 0, c.fault(from, c.pos, quoted(word), "a day of the week", mend)
}

// hours reads a span of hours.
func (c *cursor) hours(h *Hours) *Error {
	start := c.pos
	begin, err := c.timeOfDay()
	if err != nil {
		return err
	}
	if !c.takeDash() {
		c.blank()
		return c.here("a hyphen and the time at which the hours end", hoursExample)
	}
	end, err := c.timeOfDay()
	if err != nil {
		return err
	}
	span := quoted(c.text[start:c.pos])
	switch {
	case begin == end:
		return c.fault(start, c.pos, span, "an end other than the beginning", "leave the hours out for the whole day: "+quoted(h.String()))
	case begin == minutesOfDay:
		return c.fault(start, c.pos, span, "a beginning before the end of the day", "write 00:00")
	case end == 0:
		end = minutesOfDay
	}
	h.begin, h.end = begin, end
	return nil
}

// timeOfDay reads hours and minutes, 00:00 to 24:00, in minutes.
func (c *cursor) timeOfDay() (int16, *Error) {
	start := c.pos
	for c.pos < len(c.text) && (isDigit(c.text[c.pos]) || c.text[c.pos] == ':' || c.text[c.pos] == '.') {
		c.pos++
	}
	s := c.text[start:c.pos]
	if s == "" {
		return 0, c.here("a time of day", hoursExample)
	}
	two := func(at int) int16 { return int16(s[at]-'0')*10 + int16(s[at+1]-'0') }
	if len(s) != 5 || s[2] != ':' || !isDigit(s[0]) || !isDigit(s[1]) || !isDigit(s[3]) || !isDigit(s[4]) {
		return 0, c.fault(start, c.pos, quoted(s), "a time of day of two digits, a colon and two digits", hoursExample)
	}
	if two(3) > 59 || two(0)*60+two(3) > minutesOfDay {
		return 0, c.fault(start, c.pos, quoted(s), "a time of day from 00:00 to 24:00", "check the digits")
	}
	return two(0)*60 + two(3), nil
}
