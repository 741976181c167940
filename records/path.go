package records

import (
	"cmp"
	"fmt"
	"io/fs"
	"strings"
	"time"
	"unicode"

	"plumbrule/records/calendar"
)

// goodID reports whether s can be an id: letters a-z and A-Z, digits, and
// - _ . inside, at most 64 characters; such a name is a file name on every
// system.
func goodID(s string) bool {
	if s == "" || len(s) > 64 {
		return false
	}
	for i := range len(s) {
		c := s[i]
		alphanumeric := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9'
		inside := i > 0 && i < len(s)-1 && (c == '-' || c == '_' || c == '.')
		if !alphanumeric && !inside {
			return false
		}
	}
	return true
}

// CheckPath returns the path under which a check belongs; zone is the site's.
func CheckPath(c *Check, zone *time.Location) string {
	return string(appendCheckPath(nil, c, zone))
}

// appendCheckPath is CheckPath into a buffer: every check read is compared with
// its path.
func appendCheckPath(b []byte, c *Check, zone *time.Location) []byte {
	b = append(b, "checks/"...)
	b = append(b, c.Device...)
	b = c.Time.In(zone).AppendFormat(b, "/2006/2006-01-02T1504-")
	b = append(b, c.Procedure...)
	return append(b, suffix...)
}

// CertificatePath returns the path under which a certificate belongs.
func CertificatePath(c *Certificate) string {
	return fmt.Sprintf("certificates/%s/%s-%s.toml", c.Subject, c.Date, fileWord(c.Number))
}

// EventPath returns the path under which an event belongs; zone is the site's.
func EventPath(e *Event, zone *time.Location) string {
	return fmt.Sprintf("events/%s/%s-%s.toml", e.Subject, calendar.Of(e.Time, zone), e.Kind)
}

// JobPath returns the path under which a job belongs.
func JobPath(j *Job) string {
	return fmt.Sprintf("jobs/%04d/%s.toml", j.End.Year, j.ID)
}

// StepPath returns the path under which a step of a case belongs; zone is the
// site's.
func StepPath(s *CaseStep, zone *time.Location) string {
	return fmt.Sprintf("cases/%s/%s-%s.toml", s.Case, s.Time.In(zone).Format("2006-01-02T1504"), s.Step)
}

// fileWord turns a text such as a certificate's number into part of a file
// name: what cannot stand in one becomes a hyphen.
func fileWord(s string) string {
	w := strings.Map(func(r rune) rune {
		if r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r) || r == '.' || r == '_') {
			return r
		}
		return '-'
	}, s)
	return strings.Trim(w, "-._")
}

// belongs reports whether a record may lie at file when it belongs at want: the
// same path, or the same with -2, -3 … before the suffix, for a second record
// of the same minute or day.
func belongs(file, want string) bool {
	if file == want {
		return true
	}
	head, found := strings.CutSuffix(want, suffix)
	if !found {
		return false
	}
	first, n := numbered(file)
	return first == head && n > 1
}

// numbered parts the path of a record, without .toml, from the number at its
// end, which from 2 on makes it the second, third … of its name: a-2.toml is a
// and 2, a.toml is a and 0.
func numbered(file string) (head string, n int) {
	head = strings.TrimSuffix(file, suffix)
	i := strings.LastIndexByte(head, '-')
	if i < 0 || head == file {
		return head, 0
	}
	number := head[i+1:]
	if number == "" || len(number) > 3 || number[0] == '0' {
		return head, 0
	}
	for j := range len(number) {
		if number[j] < '0' || number[j] > '9' {
			return head, 0
		}
		n = 10*n + int(number[j]-'0')
	}
	return head[:i], n
}

// compareFiles orders paths of records by name, those of one name by their
// number.
func compareFiles(a, b string) int {
	headA, numberA := numbered(a)
	headB, numberB := numbered(b)
	return cmp.Or(strings.Compare(headA, headB), cmp.Compare(numberA, numberB), strings.Compare(a, b))
}

// NextFree returns want, or the first of want-2, want-3 … that is not taken.
func NextFree(want string, taken func(string) bool) string {
	if !taken(want) {
		return want
	}
	head := strings.TrimSuffix(want, suffix)
	for n := 2; ; n++ {
		if name := fmt.Sprintf("%s-%d%s", head, n, suffix); !taken(name) {
			return name
		}
	}
}

// goodPath reports whether p is a path of a file inside the repository, with
// forward slashes on every system.
func goodPath(p string) bool {
	return fs.ValidPath(p) && p != "." && !strings.Contains(p, "\\")
}
