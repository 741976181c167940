package expression

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// kind is what a token is: one of the signs themselves, or one of these.
type kind rune

const (
	end    kind = 0
	number kind = 'n'
	name   kind = 'a'
)

type token struct {
	kind       kind
	start, end int
	value      float64
}

// scanner reads one token after the other.
type scanner struct {
	text string
	pos  int
}

// IsName reports whether a text can be the name of a quantity: letters of any script, digits and _, a letter or _ first,
// and neither a function nor pi.
func IsName(text string) bool {
	return text != "" && nameEnd(text) == len(text) && text != "pi" && !isFunction(text)
}

// nameEnd returns how many bytes at the start of text are a name; 0 if it does not begin with one.
func nameEnd(text string) int {
	for i, r := range text {
		if r == '_' || unicode.IsLetter(r) || i > 0 && unicode.IsDigit(r) {
			continue
		}
		return i
	}
	return len(text)
}

func (s *scanner) next() (token, *Error) {
	for s.pos < len(s.text) && strings.IndexByte(" \t\r\n", s.text[s.pos]) >= 0 {
		s.pos++
	}
	t := token{start: s.pos, end: s.pos}
	rest := s.text[s.pos:]
	switch {
	case rest == "":
		return t, nil
	case rest[0] >= '0' && rest[0] <= '9' || rest[0] == '.':
		return s.number()
	case strings.HasPrefix(rest, "**"):
		return t, &Error{Start: s.pos, End: s.pos + 2, Found: `"**"`, Expected: "^ for the power", Mend: "write ^"}
	case strings.IndexByte("+-*/^(),", rest[0]) >= 0:
		t.kind = kind(rest[0])
		t.end++
	default:
		n := nameEnd(rest)
		if n == 0 {
			return t, s.stranger()
		}
		t.kind = name
		t.end += n
	}
	s.pos = t.end
	return t, nil
}

func (s *scanner) digits() int {
	from := s.pos
	for s.pos < len(s.text) && s.text[s.pos] >= '0' && s.text[s.pos] <= '9' {
		s.pos++
	}
	return s.pos - from
}

func (s *scanner) number() (token, *Error) {
	t := token{kind: number, start: s.pos}
	n := s.digits()
	if s.pos < len(s.text) && s.text[s.pos] == '.' {
		s.pos++
		n += s.digits()
	}
	if n == 0 {
		return t, &Error{Start: t.start, End: s.pos, Found: "a dot without a digit", Expected: "a number", Mend: "write the digits: 0.5"}
	}
	s.exponent()
	t.end = s.pos
	text := s.text[t.start:t.end]
	if rest := s.text[s.pos:]; rest != "" && rest[0] == '.' {
		return t, &Error{Start: t.start, End: s.pos + 1, Found: "a number with two decimal points", Expected: "one", Mend: "leave one out"}
	}
	value, err := strconv.ParseFloat(text, 64)
	mantissa, _, _ := strings.Cut(strings.ToLower(text), "e")
	if errors.Is(err, strconv.ErrRange) || math.IsInf(value, 0) || value == 0 && strings.Trim(mantissa, "0.") != "" {
		return t, &Error{Start: t.start, End: t.end, Found: text, Expected: "a number between 1e-307 and 1e308 in size", Mend: "check the exponent"}
	}
	t.value = value
	return t, nil
}

// exponent reads e-6. A letter that no digit follows is left alone: it is a name that stands too near.
func (s *scanner) exponent() {
	from := s.pos
	if s.pos < len(s.text) && s.text[s.pos]|0x20 == 'e' {
		s.pos++
		if s.pos < len(s.text) && (s.text[s.pos] == '+' || s.text[s.pos] == '-') {
			s.pos++
		}
		if s.digits() == 0 {
			s.pos = from
		}
	}
}

// stranger refuses a character that means nothing here, with what is commonly meant by it.
func (s *scanner) stranger() *Error {
	r, size := utf8.DecodeRuneInString(s.text[s.pos:])
	e := &Error{Start: s.pos, End: s.pos + size, Found: strconv.Quote(s.text[s.pos : s.pos+size]), Expected: "a number, a name or one of + - * / ^ ( )"}
	switch r {
	case '·', '×', '⋅', '∙', '∗':
		e.Mend = "write * for a product"
	case '÷', '∕', ':':
		e.Mend = "write / for a quotient"
	case '−', '–', '—':
		e.Mend = "write the minus sign of the keyboard: -"
	case '²', '³', '⁻', '¹':
		e.Mend = "write the power as ^2"
	case '√':
		e.Mend = "write sqrt(…)"
	case '∆':
		e.Mend = "this is the sign for an increment; write the Greek letter Δ, or a name without it"
	case '[', ']', '{', '}':
		e.Mend = "write round brackets"
	case '=':
		e.Mend = "write the right-hand side only"
	case '%':
		e.Mend = "divide by 100"
	case '\'', '′', '"':
		e.Mend = "a name has letters, digits and _"
	}
	return e
}
