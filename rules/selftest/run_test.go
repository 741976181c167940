package selftest_test

import (
	"io/fs"
	"os"
	"path"
	"strings"
	"testing"

	"plumbrule/rules/published"
	"plumbrule/rules/selftest"
)

func groups(t *testing.T) []published.Group {
	t.Helper()
	all, err := published.Groups()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestEveryFigureAgrees(t *testing.T) {
	results := selftest.Run(groups(t))
	for _, r := range results {
		if !r.Agrees {
			t.Error(r.Complaint())
		}
	}
	if !selftest.Passed(results) {
		t.Error("not passed")
	}
	total := 0
	for _, c := range selftest.Counts(results) {
		total += c.Figures
		if c.Agree != c.Figures {
			t.Errorf("%s: %d of %d agree", c.Name, c.Agree, c.Figures)
		}
	}
	if total != len(results) {
		t.Errorf("%d figures belong to parts, there are %d: a group names a part that Parts does not know", total, len(results))
	}
}

// A wrong expectation stands for a wrong computation: whichever figure is moved by four tolerances, that one fails and no
// other.
func TestEveryFigureCanFail(t *testing.T) {
	wrong := groups(t)
	for i := range wrong {
		for j := range wrong[i].Values {
			v := &wrong[i].Values[j]
			v.Number += 4*v.Tolerance + 1e-9*(1+max(v.Number, -v.Number))
			if wrong[i].Words {
				v.Printed += " not"
			}
		}
	}
	results := selftest.Run(wrong)
	for _, r := range results {
		if r.Agrees {
			t.Errorf("%s, %s: computed %s agrees with a wrong figure", r.Group.Computation, r.Value.Input, r.Computed)
		}
	}
	one := groups(t)
	one[0].Values[0].Number++
	if results := selftest.Run(one); selftest.Passed(results) || results[0].Agrees || !selftest.Passed(results[1:]) {
		t.Error("a single wrong figure must fail, and alone")
	}
	if selftest.Passed(nil) {
		t.Error("nothing compared is nothing passed")
	}
}

func TestComplaintsName(t *testing.T) {
	if got := selftest.Complaints("length", "due date"); got != nil {
		t.Error(got)
	}
	if got := selftest.Complaints("tea leaves"); len(got) != 1 || got[0] != `there are no figures of a computation "tea leaves"` {
		t.Error(got)
	}
	one := groups(t)
	one[0].Values[0].Number++
	want := "length in micrometres, 1 in: published 25400 (NIST SP 811, Guide for the Use of the International System of Units, appendix B.8, inch; prefixes: table 5), computed 25400"
	if got := selftest.Run(one)[0].Complaint(); got != want {
		t.Error(got)
	}
}

func TestUnknownComputationFails(t *testing.T) {
	one := groups(t)[:1]
	one[0].Computation = "tea leaves"
	if r := selftest.Run(one)[0]; r.Err == nil || r.Agrees {
		t.Errorf("%+v", r)
	}
	one[0].Computation, one[0].Values[0].Input = "length", "1 yard"
	if r := selftest.Run(one)[0]; r.Err == nil || r.Agrees || r.Number != nil {
		t.Errorf("%+v", r)
	}
}

// The list of parts is that of the folders.
func TestPartsAreThePackages(t *testing.T) {
	listed := map[string]bool{"rules/published": true, "rules/selftest": true}
	for _, p := range selftest.Parts() {
		listed[p.Name] = true
	}
	root := os.DirFS("../..")
	found := map[string]bool{}
	for _, top := range []string{"records", "rules"} {
		err := fs.WalkDir(root, top, func(name string, d fs.DirEntry, err error) error {
			if err == nil && d.IsDir() && d.Name() == "testdata" {
				return fs.SkipDir
			}
			if err == nil && strings.HasSuffix(name, ".go") && !strings.HasSuffix(name, "_test.go") && !onlyGenerates(t, root, name) {
				found[path.Dir(name)] = true
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	for name := range found {
		if !listed[name] {
			t.Errorf("%s is missing in the list of parts", name)
		}
	}
	for name := range listed {
		if !found[name] {
			t.Errorf("the list of parts has %s, and there is no such package", name)
		}
	}
}

func onlyGenerates(t *testing.T, root fs.FS, name string) bool {
	t.Helper()
	text, err := fs.ReadFile(root, name)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Contains(string(text), "\npackage main\n")
}

func BenchmarkRun(b *testing.B) {
	all, err := published.Groups()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		selftest.Run(all)
	}
}
