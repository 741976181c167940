package main

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/rules/chart"

	"plumbrule/records/spelling"
)

// schemeFlags say by which rule a chart signals. chart and run-length share them.
type schemeFlags struct {
	kind                           *parsed[chart.Kind]
	tests                          *parsed[chart.Tests]
	weight, width                  *parsed[float64]
	reference, decision, headStart *parsed[float64]
}

// scheme adds the flags for charts of these kinds; numbers adds the rest of them.
func (f *flagSet) scheme(kinds ...chart.Kind) schemeFlags {
	s := schemeFlags{
		kind: readFlag(f, "kind", "the `KIND` of chart: "+either(kindNames(kinds))+`; "plumbrule explain charts" says which when`, oneOf(kinds...)),
		tests: readFlag(f, "tests", "the run `TESTS` applied, with commas between them, such as point-beyond,\"same-side 7\", or none; the eight of "+
			"Nelson (1984) if not given", readTests),
	}
	s.tests.value = chart.Nelson()
	return s
}

// numbers adds the flags for the figures of single kinds.
func (s *schemeFlags) numbers(f *flagSet) {
	f.head("An EWMA")
	s.weight = f.number("weight", fmt.Sprintf("the `WEIGHT` of the newest value, at most 1; %g if not given", chart.DefaultWeight), above0)
	s.width = f.number("width", fmt.Sprintf("the `DISTANCE` of its limits in standard deviations of the average; %g if not given", chart.DefaultWidth), above0)
	f.head("A CUSUM, in standard deviations of a single value")
	s.reference = f.number("reference", fmt.Sprintf("the reference `VALUE` k; %g if not given", chart.DefaultReference), above0)
	s.decision = f.number("decision", fmt.Sprintf("the decision `VALUE` h; %g if not given", chart.DefaultDecision), above0)
	s.headStart = f.number("head-start", "the `VALUE` at which both sums start, less than h; 0 if not given", from0)
}

func kindNames(kinds []chart.Kind) []string {
	var out []string
	for _, k := range kinds {
		out = append(out, string(k))
	}
	return out
}

// readTests reads a selection of run tests. Quotes around an entry are what a shell has left of them.
func readTests(text string) (chart.Tests, error) {
	if strings.TrimSpace(text) == "none" {
		return chart.Tests{}, nil
	}
	var entries []string
	for entry := range strings.SplitSeq(text, ",") {
		entries = append(entries, strings.Join(strings.Fields(strings.Trim(strings.TrimSpace(entry), `"`)), " "))
	}
	tests, err := chart.ParseTests(entries)
	if err == nil {
		return tests, nil
	}
	var names []string
	for _, d := range chart.TestDocs() {
		names = append(names, string(d.Test))
	}
	mend := `"plumbrule explain tests" says when each signals`
	for _, entry := range entries {
		name, _, _ := strings.Cut(entry, " ")
		if near := spelling.Nearest(name, names); near != "" && near != name {
			mend = fmt.Sprintf("did you mean %q?", near)
			break
		}
	}
	return chart.Tests{}, &failure{what: err.Error(), mend: mend}
}

// testWords are the tests as readTests reads them.
func testWords(t chart.Tests) []string {
	out := []string{}
	yes := func(test chart.Test, applied bool) {
		if applied {
			out = append(out, string(test))
		}
	}
	run := func(test chart.Test, length int) {
		if length > 0 {
			out = append(out, fmt.Sprintf("%s %d", test, length))
		}
	}
	yes(chart.PointBeyond, t.PointBeyond)
	run(chart.SameSide, t.SameSide)
	run(chart.Trend, t.Trend)
	run(chart.Alternation, t.Alternation)
	yes(chart.TwoOfThree, t.TwoOfThree)
	yes(chart.FourOfFive, t.FourOfFive)
	run(chart.InsideOneSigma, t.InsideOneSigma)
	run(chart.OutsideOneSigma, t.OutsideOneSigma)
	return out
}

// shewhart tells whether the run tests apply to a kind of chart.
func shewhart(kind chart.Kind) bool { return kind != chart.KindEWMA && kind != chart.KindCUSUM }

// refuse refuses flags that belong to charts of another kind or contradict each other.
func (s *schemeFlags) refuse(kind chart.Kind) error {
	shewharts := slices.DeleteFunc(chart.Kinds(), func(k chart.Kind) bool { return !shewhart(k) })
	for _, f := range []struct {
		name  string
		given bool
		kinds []chart.Kind
	}{
		{"tests", s.tests.given(), shewharts},
		{"weight", s.weight.given(), []chart.Kind{chart.KindEWMA}},
		{"width", s.width.given(), []chart.Kind{chart.KindEWMA}},
		{"reference", s.reference.given(), []chart.Kind{chart.KindCUSUM}},
		{"decision", s.decision.given(), []chart.Kind{chart.KindCUSUM}},
		{"head-start", s.headStart.given(), []chart.Kind{chart.KindCUSUM}},
	} {
		if f.given && !slices.Contains(f.kinds, kind) {
			kinds := either(kindNames(f.kinds))
			return misused(fmt.Sprintf("--%s with a chart of kind %s, expected one of kind %s", f.name, kind, kinds),
				fmt.Sprintf("leave --%s out, or choose --kind %s", f.name, kinds))
		}
	}
	if _, err := chart.NewState(s.settings(chart.Settings{Kind: kind})); err != nil {
		return misused(err.Error(), "")
	}
	return nil
}

// settings applies the flags given to settings.
func (s *schemeFlags) settings(to chart.Settings) chart.Settings {
	if s.kind.given() {
		to.Kind = s.kind.value
	}
	if s.tests.given() {
		to.Tests = s.tests.value
	}
	for _, pair := range []struct {
		from *parsed[float64]
		to   *float64
	}{
		{s.weight, &to.Weight}, {s.width, &to.Width}, {s.reference, &to.Reference}, {s.decision, &to.Decision}, {s.headStart, &to.HeadStart},
	} {
		if pair.from.given() {
			*pair.to = pair.from.value
		}
	}
	return to
}
