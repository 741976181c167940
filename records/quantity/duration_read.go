package quantity

import "strings"

const (
	durationExpected = "days, h, min, s or ms"
	durationExample  = `write it with its unit, for example "2 s", "10 min" or "1 h 30 min"`
)

// ParseDuration reads an elapsed time above zero of whole numbers with their
// units, "2 s", "10 min", "1 h 30 min", "2 days". Each unit may stand once, the
// greatest first. Durations over 366 days are refused. The error is an
// [*Error].
func ParseDuration(text string) (Duration, error) {
	c := cursor{text: text}
	c.blank()
	start := c.pos
	var total int64
	last := -1 // in durationUnits, of the unit read before
	for {
		c.blank()
		if c.atEnd() && last >= 0 {
			break
		}
		from := c.pos
		count, err := c.wholeNumber()
		if err != nil {
			return Duration{}, err
		}
		u, ms, err := c.durationUnit(from)
		if err == nil && u <= last {
			err = c.fault(from, c.pos, quoted(c.text[from:c.pos])+" after a unit that is not greater",
				"each unit once, the greatest first", `write them in the order "1 day 2 h 30 min"`)
		}
		if err != nil {
			return Duration{}, err
		}
		total, last = total+count*ms, u
	}
	all := quoted(strings.TrimSpace(c.text[start:c.pos]))
	switch {
	case total == 0:
		return Duration{}, c.fault(start, c.pos, all, "a duration above zero", durationExample)
	case total > longestDuration.Milliseconds():
		return Duration{}, c.fault(start, c.pos, all, "a duration of at most 366 days", "check the number")
	}
	return Duration{total}, nil
}

// mostCounted is where wholeNumber stops counting: above 366 days in
// milliseconds, and no number of days that overflows.
const mostCounted = 40_000_000_000

// wholeNumber reads digits. Beyond mostCounted it stays there.
func (c *cursor) wholeNumber() (int64, *Error) {
	start, n := c.pos, int64(0)
	for ; c.pos < len(c.text) && isDigit(c.text[c.pos]); c.pos++ {
		n = min(n*10+int64(c.text[c.pos]-'0'), mostCounted)
	}
	if c.pos == start {
		return 0, c.here("a whole number", durationExample)
	}
	if !c.atEnd() && (c.text[c.pos] == '.' || c.text[c.pos] == ',') {
		end := c.pos + 1
		for end < len(c.text) && isDigit(c.text[end]) {
			end++
		}
		return 0, c.fault(start, end, quoted(c.text[start:end]), "a whole number", `write whole numbers: "1 h 30 min"`)
	}
	return min(n, mostCounted), nil
}

// durationUnit reads the unit after the count that began at start, and gives
// its place in the list and its length in milliseconds.
func (c *cursor) durationUnit(start int) (at int, ms int64, fault *Error) {
	counted, end := c.text[start:c.pos], c.pos
	c.blank()
	from := c.pos
	word := c.word()
	if word == "" {
		c.pos = end
		return 0, 0, c.noUnit(start, end, durationExpected, "write the unit: "+quoted(counted+" s"))
	}
	units := durationUnits()
	for i := range units {
		if units[i].spelled(word) {
			return i, units[i].ms, nil
		}
	}
	mend := durationExample
	if meant := durationHint(strings.ToLower(word)); meant != "" {
		mend = "write " + quoted(counted+" "+meant)
	}
	return 0, 0, c.fault(from, c.pos, quoted(word), durationExpected, mend)
}

// durationHint gives the unit probably meant. A lone m is a metre, a month or a
// minute: nothing is proposed.
func durationHint(lower string) string {
	switch strings.TrimSuffix(lower, "s") {
	case "d", "day":
		return "days"
	case "h", "hr", "hour":
		return "h"
	case "min", "minute", "'":
		return "min"
	case "", "s", "sec", "second":
		return "s"
	case "m":
		if lower == "ms" {
			return "ms"
		}
	case "msec", "milli", "millisecond":
		return "ms"
	}
	return ""
}
