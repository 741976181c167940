package records

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/records/source"

	"plumbrule/records/spelling"
)

func (d *decoder) text(n source.Node, name string) (string, bool) {
	if n.Kind() != source.String {
		d.wrongType(n, name, wantText)
		return "", false
	}
	s, _ := n.Text()
	if strings.TrimSpace(s) == "" {
		d.report("out-of-range", n.ValueOffset(), name+" is empty", d.orLeaveOut("write the text"))
		return "", false
	}
	return d.keep(s), true
}

// orLeaveOut adds to a remedy that the key at hand may be left out, if it may.
func (d *decoder) orLeaveOut(mend string) string {
	if d.needed {
		return mend + ": the key is needed"
	}
	return mend + ", or leave the key out"
}

// readWord reads a string that must be one of the words.
func readWord[S ~string](d *decoder, n source.Node, name string, allowed []S) (S, bool) {
	s, ok := d.text(n, name)
	if !ok {
		return "", false
	}
	for _, w := range allowed {
		if string(w) == s {
			return w, true
		}
	}
	mend := ""
	if near := spelling.Nearest(s, plain(allowed)); near != "" {
		mend = fmt.Sprintf("did you mean %q?", near)
	}
	d.report("unknown-word", n.ValueOffset(), fmt.Sprintf("%s is %q, expected one of %s", name, s, listWords(allowed)), mend)
	return "", false
}

// eachElement calls f for the elements of an array.
func (d *decoder) eachElement(n source.Node, name string, f func(source.Node)) {
	if n.Kind() != source.Array {
		d.wrongType(n, name, wantList)
		return
	}
	if n.Len() == 0 {
		d.report("out-of-range", n.ValueOffset(), name+" is an empty list", d.orLeaveOut("write the values"))
	}
	for e := range n.Elements() {
		f(e)
	}
}

func (d *decoder) isTable(n source.Node, name string) bool {
	if n.Kind() == source.Table {
		return true
	}
	d.wrongType(n, name, wantTable)
	return false
}

func (d *decoder) isTables(n source.Node, name string) bool {
	if n.Kind() == source.Array && allTables(n) {
		return true
	}
	d.wrongType(n, name, wantTables)
	return false
}

func allTables(n source.Node) bool {
	for e := range n.Elements() {
		if e.Kind() != source.Table {
			return false
		}
	}
	return n.Len() > 0
}

func (d *decoder) date(n source.Node, name string) (calendar.Date, bool) {
	if n.Kind() != source.LocalDate {
		d.wrongType(n, name, wantDate)
		return calendar.Date{}, false
	}
	v, err := calendar.ParseDate(n.Source())
	if err != nil {
		mend := "look at the digits of the date"
		var fault *quantity.Error
		if errors.As(err, &fault) && fault.Mend != "" {
			mend = fault.Mend
		}
		d.report("out-of-range", n.ValueOffset(), fmt.Sprintf("%s is %s", name, err), mend)
		return v, false
	}
	return v, true
}

// Years in which records can have been made; outside, a digit is wrong.
const (
	firstYear = 1950
	lastYear  = 2150
)

func (d *decoder) instant(n source.Node, name string) (time.Time, bool) {
	if n.Kind() != source.OffsetDateTime {
		d.wrongType(n, name, wantInstant)
		return time.Time{}, false
	}
	v, ok := n.Instant()
	if !ok || v.Year() < firstYear || v.Year() > lastYear {
		d.report("out-of-range", n.ValueOffset(), fmt.Sprintf("%s is %s, expected a year from %d to %d", name, n.Source(), firstYear, lastYear), "look at the digits of the year")
		return v, false
	}
	return v, true
}

func (d *decoder) integer(n source.Node, name string, low, high int64) (int64, bool) {
	if n.Kind() != source.Integer {
		d.wrongType(n, name, wantWhole)
		return 0, false
	}
	v, ok := n.Integer()
	if !ok || v < low || v > high {
		d.report("out-of-range", n.ValueOffset(), fmt.Sprintf("%s is %s, expected %s", name, n.Source(), span(low, high)), "look at the digits")
		return 0, false
	}
	return v, true
}

// number reads a finite number, whole or not. A whole number that a float64
// does not hold exactly is refused.
func (d *decoder) number(n source.Node, name string) (float64, bool) {
	if n.Kind() != source.Float && n.Kind() != source.Integer {
		d.wrongType(n, name, wantNumber)
		return 0, false
	}
	v, ok := n.Float()
	if !ok && n.Kind() == source.Integer {
		d.report("out-of-range", n.ValueOffset(), fmt.Sprintf("%s has the value %s, expected at most 2^53, up to which numbers are exact", name, n.Source()), "look at the decimal point")
		return 0, false
	}
	if !ok || math.IsNaN(v) || math.IsInf(v, 0) {
		d.report("out-of-range", n.ValueOffset(), fmt.Sprintf("%s has the value %s, expected a finite number", name, n.Source()), "leave out what was not measured")
		return 0, false
	}
	return v, true
}

func (d *decoder) truth(n source.Node, name string) (bool, bool) {
	v, ok := n.Bool()
	if !ok {
		d.wrongType(n, name, wantTruth)
	}
	return v, ok
}
