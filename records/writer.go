package records

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// writer writes a record as TOML 1.0 in the order of its keys.
type writer struct{ b bytes.Buffer }

// raw writes a key with a value that is TOML already.
func (w *writer) raw(name, value string) { fmt.Fprintf(&w.b, "%s = %s\n", name, value) }

// text writes a key with text; an empty text is not written.
func (w *writer) text(name, value string) {
	if value != "" {
		w.raw(name, quote(value))
	}
}

func (w *writer) header(name string)  { fmt.Fprintf(&w.b, "\n[%s]\n", name) }
func (w *writer) element(name string) { fmt.Fprintf(&w.b, "\n[[%s]]\n", name) }

// writeList writes a list of strings.
func writeList[S ~string](w *writer, name string, list []S) {
	if len(list) == 0 {
		return
	}
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = quote(string(s))
	}
	w.raw(name, "["+strings.Join(out, ", ")+"]")
}

// quote writes a TOML basic string. Characters that cannot be seen, or that
// change the order in which others are shown, become escapes: what a reader of
// the file sees is what it says.
func quote(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for len(s) > 0 {
		r, size := utf8.DecodeRuneInString(s)
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case r > 0xffff && unicode.In(r, unicode.Cf):
			fmt.Fprintf(&b, `\U%08X`, r)
		case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteString(s[:size]) // a byte that is not UTF-8 stays, and is refused
		}
		s = s[size:]
	}
	b.WriteByte('"')
	return b.String()
}

// formatKey writes a key, bare where TOML allows it.
func formatKey(s string) string {
	bare := s != ""
	for i := range len(s) {
		c := s[i]
		bare = bare && (c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '_')
	}
	if bare {
		return s
	}
	return quote(s)
}

// formatNumber writes a number so that reading it gives the same number, and
// so that TOML takes it for a float. Readings keep the decimal form.
func formatNumber(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return strings.ToLower(strconv.FormatFloat(v, 'g', -1, 64)) // TOML too; reading refuses it
	}
	s := strconv.FormatFloat(v, 'g', -1, 64)
	if before, after, found := strings.Cut(s, "e"); found {
		if exponent, err := strconv.Atoi(after); err == nil && exponent >= -6 && exponent <= 12 {
			s = strconv.FormatFloat(v, 'f', -1, 64)
		} else if !strings.Contains(before, ".") {
			return before + ".0e" + after
		}
	}
	if strings.ContainsAny(s, ".e") {
		return s
	}
	return s + ".0"
}

// formatInstant writes an instant with its offset, to the nanosecond. An offset
// that is no whole number of minutes, as zones had before their standard time,
// cannot be written: such an instant is written in UTC.
func formatInstant(t time.Time) string {
	if _, offset := t.Zone(); offset%60 != 0 {
		t = t.UTC()
	}
	return t.Format(time.RFC3339Nano)
}
