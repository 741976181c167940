package source

import (
	"errors"
	"strconv"
	"strings"
)

// flaw is what is wrong with an unquoted value.
type flaw struct {
	what, mend string
	toml11     bool // nothing is wrong with it in TOML 1.1
}

// numberKind tells Integer from Float, TOML v1.0.0 "Integer" and "Float", or
// what keeps the token from being either.
func numberKind(token string) (Kind, *flaw) {
	body := token
	if body[0] == '+' || body[0] == '-' {
		body = body[1:]
	}
	switch {
	case body == "inf" || body == "nan":
		return Float, nil
	case len(body) > 1 && body[0] == '0' && strings.IndexByte("xob", body[1]) >= 0:
		return basedKind(token, body)
	}
	whole := digitsEnd(body, isDigit)
	if whole == 0 {
		return None, notNumber(token, body)
	}
	if body[0] == '0' && whole > 1 {
		if whole < len(body) && (body[whole] != '.' || strings.Count(body, ".") > 1) {
			return None, notNumber(token, body)
		}
		return None, &flaw{
			what: "number " + quoteToken(token) + " has a leading zero",
			mend: "delete the zero, or quote it if it is a name",
		}
	}
	if whole == len(body) {
		return Integer, tooLargeInteger(token, body)
	}
	rest := body[whole:]
	if rest[0] == '.' {
		n := digitsEnd(rest[1:], isDigit)
		if n == 0 {
			return None, notNumber(token, body)
		}
		rest = rest[1+n:]
	}
	exponent := rest != "" && rest[0]|0x20 == 'e'
	if exponent {
		rest = rest[1:]
		if rest != "" && (rest[0] == '+' || rest[0] == '-') {
			rest = rest[1:]
		}
		n := digitsEnd(rest, isDigit)
		if n == 0 {
			return None, notNumber(token, body)
		}
		rest = rest[n:]
	}
	if rest != "" {
		return None, notNumber(token, body)
	}
	return Float, tooLargeFloat(token, exponent)
}

// digitsEnd returns the length of the digits s starts with; single underscores
// may stand between digits. It is 0 where an underscore stands elsewhere.
func digitsEnd(s string, digit func(byte) bool) int {
	i := 0
	for i < len(s) {
		switch {
		case digit(s[i]):
		case s[i] == '_' && i > 0 && s[i-1] != '_':
		default:
			if i > 0 && s[i-1] == '_' || s[i] == '_' {
				return 0
			}
			return i
		}
		i++
	}
	if i > 0 && s[i-1] == '_' {
		return 0
	}
	return i
}

// basedKind reads 0x, 0o and 0b integers, which have no sign.
func basedKind(token, body string) (Kind, *flaw) {
	digit := isHex
	switch body[1] {
	case 'o':
		digit = func(c byte) bool { return c-'0' <= 7 }
	case 'b':
		digit = func(c byte) bool { return c-'0' <= 1 }
	}
	if len(token) != len(body) {
		return None, &flaw{what: "number " + quoteToken(token) + " has a sign before its base", mend: "delete the sign"}
	}
	if n := digitsEnd(body[2:], digit); n == 0 || n != len(body)-2 {
		return None, &flaw{
			what: quoteToken(token) + " is no number of the base it names",
			mend: "use the digits of that base; quote it if it is a name",
		}
	}
	return Integer, tooLargeInteger(token, body)
}

// tooLargeInteger looks closer only at numbers long enough to leave 64 bits.
func tooLargeInteger(token, body string) *flaw {
	if len(body) < 18 {
		return nil
	}
	if _, err := integerValue(token); errors.Is(err, strconv.ErrRange) {
		return &flaw{what: "whole number " + quoteToken(token) + " is outside 64 bits", mend: "quote it if it is a name"}
	}
	return nil
}

// tooLargeFloat looks closer only where 1.8e308 can be exceeded.
func tooLargeFloat(token string, exponent bool) *flaw {
	if !exponent && len(token) <= 300 {
		return nil
	}
	if _, err := floatValue(token); errors.Is(err, strconv.ErrRange) {
		return &flaw{
			what: "number " + quoteToken(token) + " is larger than a 64 bit number can be",
			mend: "check the exponent",
		}
	}
	return nil
}

func integerValue(token string) (int64, error) {
	return strconv.ParseInt(strings.ReplaceAll(strings.TrimPrefix(token, "+"), "_", ""), 0, 64)
}

func floatValue(token string) (float64, error) {
	if strings.HasSuffix(token, "nan") {
		token = "nan" // the sign of a nan says nothing
	}
	return strconv.ParseFloat(strings.ReplaceAll(token, "_", ""), 64)
}
