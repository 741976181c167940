package records

import (
	"fmt"
	"strconv"
	"strings"

	"plumbrule/records/source"

	"plumbrule/records/spelling"
)

// decoder reads values of one file and collects what is wrong with them. It is
// used by one goroutine and reused from file to file, so that the strings
// records repeat (ids, names, units) are kept once.
type decoder struct {
	findings
	file  string
	doc   *source.Document
	words map[string]string

	needed               bool // the key at hand
	lastOffset, lastLine int  // where line counted to
}

// begin turns to another file.
func (d *decoder) begin(file string) {
	d.file, d.doc = file, nil
	d.lastOffset, d.lastLine = 0, 1
}

// keep returns s from the decoder's own store of repeated strings.
func (d *decoder) keep(s string) string {
	if len(s) > longestWord {
		return strings.Clone(s)
	}
	if w, ok := d.words[s]; ok {
		return w
	}
	w := strings.Clone(s)
	d.words[w] = w
	return w
}

// longestWord is the length in bytes up to which strings are taken for ids,
// names and the like that stand in many records.
const longestWord = 32

// report adds a diagnostic at the offset. An empty mend takes the catalogue's.
func (d *decoder) report(code string, offset int, message, mend string) {
	if d.enough(d.file, code) {
		return
	}
	d.add(Diagnostic{
		Code: code, File: d.file, Position: d.doc.PositionOf(offset),
		Message: message, Mend: mend, Excerpt: source.Excerpt(d.doc.Text(), offset),
	})
}

// line returns the line of an offset, counting on from the last one asked for.
func (d *decoder) line(offset int) int {
	if offset < d.lastOffset {
		d.lastOffset, d.lastLine = 0, 1
	}
	d.lastLine += strings.Count(d.doc.Text()[d.lastOffset:offset], "\n")
	d.lastOffset = offset
	return d.lastLine
}

func (d *decoder) unknownKey(n source.Node, names []string) {
	if d.enough(d.file, "unknown-key") {
		return
	}
	key := n.Key()
	mend := "its keys are " + strings.Join(names, ", ")
	if near := spelling.Nearest(key, names); near != "" {
		mend = fmt.Sprintf("did you mean %s?", near)
	}
	d.report("unknown-key", n.KeyOffset(), fmt.Sprintf("key %q is none of this table's", key), mend)
}

// wrongType reports a value of a kind the key does not take.
func (d *decoder) wrongType(n source.Node, name, want string) {
	mend := ""
	switch {
	case want == wantTable:
		mend = "write [" + name + "]"
	case want == wantTables:
		mend = "write [[" + name + "]]"
	case n.Kind() == source.Array || n.Kind() == source.Table:
	case n.Kind() == source.LocalDateTime && want == wantDate, n.Kind() == source.OffsetDateTime && want == wantDate:
		mend = "leave the time of day out"
	case want == wantText:
		mend = "write it in quotes: " + strconv.Quote(n.Source())
	case want == wantList:
		mend = "write [" + n.Source() + "]"
	case n.Kind() == source.LocalDateTime && want == wantInstant:
		mend = "add the offset from UTC, such as +01:00, so that the instant is the same everywhere"
	case n.Kind() == source.LocalDate && want == wantInstant:
		mend = "add the time of day and its offset from UTC, such as T08:12:00+01:00"
	case n.Kind() == source.String && (want == wantDate || want == wantInstant || want == wantWhole || want == wantNumber || want == wantTruth):
		mend = "write it without quotes"
	}
	d.report("wrong-type", n.ValueOffset(), fmt.Sprintf("%s is %s, expected %s", name, withArticle(n.Kind()), want), mend)
}

// What keys expect, for people.
const (
	wantText    = "text in quotes"
	wantList    = "a list in square brackets"
	wantDate    = "a date such as 2026-10-05, without quotes"
	wantInstant = "a date and time with offset such as 2026-10-05T08:12:00+02:00, without quotes"
	wantWhole   = "a whole number"
	wantNumber  = "a number"
	wantTruth   = "true or false, without quotes"
	wantTable   = "a table"
	wantTables  = "an array of tables"
)

// withArticle names a kind of value in a sentence.
func withArticle(k source.Kind) string {
	switch k {
	case source.String, source.Bool:
		return k.String()
	case source.Array:
		return "a list"
	default:
		return "a " + k.String()
	}
}
