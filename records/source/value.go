package source

import "time"

// maxExactFloat is the largest whole number up to which every whole number is
// a float64 of its own.
const maxExactFloat = 1 << 53

// Text returns the text of a String, escapes and line-end rules applied; ok is
// false for any other kind.
func (n Node) Text() (text string, ok bool) {
	if n.Kind() != String {
		return "", false
	}
	return stringText(n.Source()), true
}

// Integer returns the value of an Integer; ok is false for any other kind.
func (n Node) Integer() (value int64, ok bool) {
	if n.Kind() != Integer {
		return 0, false
	}
	value, err := integerValue(n.Source())
	return value, err == nil
}

// Float returns the value of a Float, or of an Integer that a float64 holds
// exactly (at most 2^53 in magnitude); ok is false otherwise. TOML has inf and
// nan: the caller must look for them.
func (n Node) Float() (value float64, ok bool) {
	switch n.Kind() {
	case Float:
		value, err := floatValue(n.Source())
		return value, err == nil
	case Integer:
		whole, ok := n.Integer()
		if !ok || whole > maxExactFloat || whole < -maxExactFloat {
			return 0, false
		}
		return float64(whole), true
	default:
		return 0, false
	}
}

// Bool returns the value of a Bool; ok is false for any other kind.
func (n Node) Bool() (value, ok bool) {
	return n.Source() == "true", n.Kind() == Bool
}

// Instant returns an OffsetDateTime, in UTC for a zero offset and otherwise in
// a nameless zone of the written offset, to the nanosecond; ok is false for any
// other kind. A date-time without offset is no instant.
func (n Node) Instant() (instant time.Time, ok bool) {
	if n.Kind() != OffsetDateTime {
		return time.Time{}, false
	}
	c, wrong := parseCivil(n.Source())
	return c.instant(), wrong == nil
}

// LocalDate returns the parts of a LocalDate; ok is false for any other kind.
func (n Node) LocalDate() (year int, month time.Month, day int, ok bool) {
	if n.Kind() != LocalDate {
		return 0, 0, 0, false
	}
	c, wrong := parseCivil(n.Source())
	return c.year, time.Month(c.month), c.day, wrong == nil
}
