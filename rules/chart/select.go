package chart

import (
	"fmt"
	"strconv"
	"strings"
)

// TestDoc documents one run test.
type TestDoc struct {
	Test   Test
	Text   string // when it signals, with its default length
	Length int    // default length of its run in points; 0: it has none to set
}

// TestDocs lists the run tests in the order in which they are reported.
func TestDocs() []TestDoc {
	n := Nelson()
	return []TestDoc{
		{PointBeyond, "a point beyond a control limit, three sigma from the centre", 0},
		{SameSide, "nine points in a row on one side of the centre", n.SameSide},
		{Trend, "six points in a row steadily rising or falling", n.Trend},
		{Alternation, "fourteen points in a row going up and down in turn", n.Alternation},
		{TwoOfThree, "two of three points in a row beyond two sigma on the same side", 0},
		{FourOfFive, "four of five points in a row beyond one sigma on the same side", 0},
		{InsideOneSigma, "fifteen points in a row within one sigma", n.InsideOneSigma},
		{OutsideOneSigma, "eight points in a row all beyond one sigma, on either side", n.OutsideOneSigma},
	}
}

// ParseTests reads a selection of run tests: each by its name, those with a
// run of settable length also with that length, as "same-side 7".
func ParseTests(selection []string) (Tests, error) {
	var t Tests
	for _, entry := range selection {
		name, length, stated := strings.Cut(entry, " ")
		doc, ok := testDoc(Test(name))
		if !ok {
			return Tests{}, fmt.Errorf("there is no run test %q; known are %s", name, testNames())
		}
		n := doc.Length
		if stated {
			parsed, err := strconv.Atoi(strings.TrimSpace(length))
			if err != nil || doc.Length == 0 {
				return Tests{}, fmt.Errorf("%q: expected the name of a test, or a name and the length of its run such as %q", entry, "same-side 7")
			}
			n = parsed
		}
		t.set(doc.Test, n)
	}
	return t, t.check()
}

func (t *Tests) set(test Test, length int) {
	switch test {
	case HighSum, LowSum: // the limits of a CUSUM are no run tests
	case PointBeyond:
		t.PointBeyond = true
	case SameSide:
		t.SameSide = length
	case Trend:
		t.Trend = length
	case Alternation:
		t.Alternation = length
	case TwoOfThree:
		t.TwoOfThree = true
	case FourOfFive:
		t.FourOfFive = true
	case InsideOneSigma:
		t.InsideOneSigma = length
	case OutsideOneSigma:
		t.OutsideOneSigma = length
	}
}

func testDoc(test Test) (TestDoc, bool) {
	for _, d := range TestDocs() {
		if d.Test == test {
			return d, true
		}
	}
	return TestDoc{}, false
}

func testNames() string {
	var names []string
	for _, d := range TestDocs() {
		names = append(names, string(d.Test))
	}
	return strings.Join(names, ", ")
}

// Sampled reports whether a point of a kind of chart is a sample of several
// readings.
func Sampled(kind Kind) bool { return kind.sampled() }

// ParseKind returns the kind of chart of that name.
func ParseKind(name string) (Kind, error) {
	var names []string
	for _, k := range Kinds() {
		if string(k) == name {
			return k, nil
		}
		names = append(names, string(k))
	}
	return "", fmt.Errorf("there is no kind of chart %q; known are %s", name, strings.Join(names, ", "))
}
