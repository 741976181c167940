package quantity

import (
	"strconv"
	"strings"
)

const maxDigits = 19 // as many as always fit the coefficient

// number reads a decimal number: sign, digits with a decimal point, exponent.
func (c *cursor) number() (number, *Error) {
	start := c.pos
	neg := c.sign()
	coef, scale, zeros, count, digits, point := uint64(0), 0, 0, 0, 0, false
	for ; c.pos < len(c.text); c.pos++ {
		b := c.text[c.pos]
		if b == '.' && !point {
			point = true
			continue
		}
		if b < '0' || b > '9' {
			break
		}
		digits++
		if point {
			scale--
		}
		// Zeros wait until a digit follows, so that trailing ones count as
		// a power of ten and leading ones not at all.
		switch {
		case b != '0':
			if count += zeros + 1; count <= maxDigits {
				for ; zeros > 0; zeros-- {
					coef *= 10
				}
				coef = coef*10 + uint64(b-'0')
			}
			zeros = 0
		case coef != 0:
			zeros++
		}
	}
	if digits == 0 {
		c.pos = start
		return number{}, c.notANumber()
	}
	exponent := c.exponent()
	if err := c.numberTail(start); err != nil {
		return number{}, err
	}
	if count > maxDigits {
		return number{}, c.fault(start, c.pos, "a number of "+strconv.Itoa(count)+" digits",
			"at most "+strconv.Itoa(maxDigits), "leave out the digits that mean nothing")
	}
	if coef == 0 {
		return number{}, nil
	}
	exp := scale + zeros + exponent
	if magnitude := exp + digitsOf(coef) - 1; magnitude < -maxMagnitude || magnitude >= maxMagnitude {
		return number{}, c.fault(start, c.pos, quoted(c.text[start:c.pos]), "a size from 1e-100 to 1e100",
			"check the exponent")
	}
	return number{coef: coef, exp: int16(exp), neg: neg}, nil
}

func (c *cursor) sign() (negative bool) {
	if c.take("-", "\u2212") {
		return true
	}
	c.take("+")
	return false
}

// exponent reads e-6 and the like; an e without digits is left alone. Beyond
// 9999 it stays there: the caller refuses that size anyway.
func (c *cursor) exponent() int {
	start := c.pos
	if !c.take("e", "E") {
		return 0
	}
	neg, value, first := c.sign(), 0, c.pos
	for ; c.pos < len(c.text) && isDigit(c.text[c.pos]); c.pos++ {
		value = min(value*10+int(c.text[c.pos]-'0'), 9999)
	}
	if c.pos == first {
		c.pos = start
		return 0
	}
	if neg {
		return -value
	}
	return value
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

func (c *cursor) notANumber() *Error {
	ahead := *c
	ahead.sign()
	switch word := ahead.word(); strings.ToLower(word) {
	case "nan", "inf", "infinity", "∞":
		return c.fault(c.pos, ahead.pos, quoted(c.text[c.pos:ahead.pos]), "a finite number",
			"write the number, or leave the whole value out if it is not known")
	}
	return c.here("a number", "begin with a number, for example 12.5")
}

// numberTail refuses what makes the number just read another one: decimal
// commas, thousands separators, a second decimal point.
func (c *cursor) numberTail(start int) *Error {
	rest := c.rest()
	if rest == "" {
		return nil
	}
	if b := rest[0]; b == 'm' || b == ' ' && len(rest) > 1 && !isDigit(rest[1]) {
		return nil // the common case: a unit follows
	}
	if rest[0] == '.' {
		return c.fault(c.pos, c.pos+1, "a second decimal point", "one decimal point in a number",
			"leave out one of the points")
	}
	size := separatorLength(rest)
	digits := 0
	for size+digits < len(rest) && isDigit(rest[size+digits]) {
		digits++
	}
	if size == 0 || digits == 0 {
		return nil
	}
	separator, before, after := rest[:size], c.text[start:c.pos], rest[size:size+digits]
	plain, grouped := quoted(before+"."+after), quoted(before+after)
	end := c.pos + size
	switch {
	case separator == "," && digits != 3:
		return c.fault(c.pos, end, "a decimal comma", "a decimal point", "write a decimal point: "+plain)
	case separator == ",":
		return c.fault(c.pos, end, "a comma within the number", "a decimal point, or digits without separators",
			"write "+plain+" or "+grouped+", whichever is meant")
	case digits == 3 || separator == "_":
		return c.fault(c.pos, end, "a thousands separator", "digits without separators", "write "+grouped)
	}
	return nil
}

// separatorLength is the length in bytes of a mark between groups of digits.
func separatorLength(rest string) int {
	for _, separator := range [...]string{",", "_", "'", "’", " ", "\u00a0", "\u202f", "\u2009"} {
		if strings.HasPrefix(rest, separator) {
			return len(separator)
		}
	}
	return 0
}
