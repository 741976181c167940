package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"plumbrule/rules/published"
	"plumbrule/rules/selftest"
)

// The verb ends with status 1 when one figure of all does not agree, and writes its page all the same.
func TestAWrongFigureEndsWithStatusOne(t *testing.T) {
	groups, err := published.Groups()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for _, c := range []struct {
		wrong  float64
		status int
		says   string
	}{{0, statusFine, "Passed: all "}, {1, statusAttention, "FAILED: 1 of "}} {
		groups[len(groups)-1].Values[0].Number += c.wrong
		var out, complaints strings.Builder
		e := env{Stdout: &out, Stderr: &complaints, Dir: dir}
		if got := report(&complaints, e.selftest(formatTable, "page.html", groups)); got != c.status || !strings.Contains(out.String(), c.says) || complaints.Len() > 0 {
			t.Errorf("status %d, want %d and %q\n%s%s", got, c.status, c.says, out.String(), complaints.String())
		}
		if page, err := os.ReadFile(filepath.Join(dir, "page.html")); err != nil || !strings.Contains(string(page), c.says) {
			t.Errorf("%v: the page does not say %q", err, c.says)
		}
	}
}

// spoiled is a selftest with one wrong expectation, which stands for a wrong computation, and one that cannot be computed.
func spoiled(t *testing.T) *selftested {
	t.Helper()
	groups, err := published.Groups()
	if err != nil {
		t.Fatal(err)
	}
	groups = groups[:2]
	groups[0].Values[1].Number, groups[0].Values[1].Printed = 25.3, "25.3"
	groups[1].Values[0].Input = "60 <b>fathoms</b>"
	return &selftested{results: selftest.Run(groups), whyNone: "it is <gone>"}
}

func TestAWrongFigureIsLoud(t *testing.T) {
	s := spoiled(t)
	if selftest.Passed(s.results) {
		t.Fatal("passed")
	}
	var plain strings.Builder
	if err := s.answer().plain(&plain, env{}.screen(), 80); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"FAILED: 2 of 9 check values do not agree; do not use this program",
		"+1.0e-01          0  DIFFERS", "NOT COMPUTED", "60 <b>fathoms</b>: ",
	} {
		if !strings.Contains(plain.String(), want) {
			t.Errorf("no %q in\n%s", want, plain.String())
		}
	}
	if j := s.json(); j.Passed || j.Agree != 7 || j.Values[1].Agrees || j.Values[6].Error == "" || j.Values[6].ComputedNumber != nil {
		t.Errorf("%+v", j)
	} else if _, err := json.Marshal(j); err != nil {
		t.Error(err)
	}
	var page strings.Builder
	if err := s.page(&page); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`class="verdict bad"`, `<tr class="off"><th scope="row">0.001 in</th>`, "60 &lt;b&gt;fathoms", "it is &lt;gone&gt;"} {
		if !strings.Contains(page.String(), want) {
			t.Errorf("no %q on the page", want)
		}
	}
	if strings.Contains(page.String(), "<b>fathoms") {
		t.Error("foreign text is markup on the page")
	}
}
