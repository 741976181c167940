package trace_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"plumbrule/records"
	"plumbrule/rules/trace"
)

func TestNamesOfWhatIsTraced(t *testing.T) {
	set, _ := records.Load(edited(t, edit{"jobs/2026/scan-1.toml", "", jobText}), records.Options{})
	for _, c := range []struct {
		name string
		kind trace.Kind
		err  string
	}{
		{"j-1", trace.Job, ""},
		{"2026/j-1", trace.Job, ""},
		{job, trace.Job, ""},
		{"jobs/2026/j-1", trace.Job, ""},
		{check, trace.Check, ""},
		{strings.TrimSuffix(strings.TrimPrefix(check, "checks/"), ".toml"), trace.Check, ""},
		{"bar-1", trace.Artifact, ""},
		{"devices/scan-1.toml", trace.Device, ""},
		{"artifacts/bar-1", trace.Artifact, ""},
		{"scan-1", "", `"scan-1" is several things: jobs/2026/scan-1.toml, devices/scan-1.toml`},
		{"j-2", "", `there is no job, check, device or artifact "j-2"`},
		{"", "", `there is no job, check, device or artifact ""`},
		{"../devices/scan-1", "", `there is no job, check, device or artifact "../devices/scan-1"`},
	} {
		chain, err := trace.For(trace.Query{Set: set, At: asked(), Subject: c.name})
		switch {
		case c.err != "":
			var told *trace.Error
			if !errors.As(err, &told) || told.What != c.err || told.Mend == "" {
				t.Errorf("%q: %v, want %s", c.name, err, c.err)
			}
		case err != nil:
			t.Errorf("%q: %v", c.name, err)
		case chain.Steps[0].Kind != c.kind:
			t.Errorf("%q is a %s, want %s", c.name, chain.Steps[0].Kind, c.kind)
		}
	}
}

func TestFeaturesThatAreNotThere(t *testing.T) {
	set, _ := records.Load(base(t), records.Options{})
	for _, c := range []struct{ subject, feature, err, known string }{
		{"j-1", "height", `job j-1 measured no quantity "height"`, "diameter"},
		{"scan-1", "A", `device scan-1 has no limit for a quantity "A"`, "distance"},
		{check, "C", `the check has no reading of feature "C"`, "A-C"},
		{"bar-1", "D", `artifact bar-1 has no feature "D"`, "C"},
	} {
		_, err := trace.For(trace.Query{Set: set, At: asked(), Subject: c.subject, Feature: c.feature})
		var told *trace.Error
		if !errors.As(err, &told) || told.Error() != c.err || !slices.Contains(told.Known, c.known) {
			t.Errorf("%s %s: %v, want %s", c.subject, c.feature, err, c.err)
		}
	}
}

// Without a readable site nothing is judged, and that is a gap and not an empty chain.
func TestWithoutASite(t *testing.T) {
	for _, subject := range []string{"j-1", "scan-1", "bar-1", check} {
		c := follow(t, edited(t, edit{"plumbrule.toml", "Europe/Berlin", "Europe/Nowhere"}), subject, "", nil)
		if !slices.ContainsFunc(gaps(c), func(g string) bool { return strings.HasSuffix(g, ": step-unreadable") }) {
			t.Errorf("%s: gaps %v", subject, gaps(c))
		}
	}
}

// What records say is carried as it is: whoever prints it makes it safe.
func TestForeignTextIsCarriedWhole(t *testing.T) {
	const foreign = `</text><script>\u001b[31m\u202e\u0000`
	written := strings.ReplaceAll(foreign, `\u0000`, `\u200b`)
	c := follow(t, edited(t, edit{ofBar, `laboratory = "Lab"`, `laboratory = "` + written + `"`}), check, "", nil)
	want := "</text><script>\x1b[31m\u202e\u200b"
	if !slices.ContainsFunc(c.Steps, func(s *trace.Step) bool { return s.Kind == trace.Laboratory && s.Name == want }) {
		t.Errorf("no laboratory %q", want)
	}
}

// Any file of the shop taken away or cut in half leaves a chain or an error, and never a chain that holds.
func TestABrokenShopNeverHolds(t *testing.T) {
	for name := range base(t) {
		if strings.HasSuffix(name, ".pdf") {
			continue // looked at by the caller
		}
		for _, left := range []int{0, 2} { // nothing, or half of it
			files := less(base(t), name)
			if left > 0 {
				data := base(t)[name].Data
				files[name] = &fstest.MapFile{Data: data[:len(data)/left]}
			}
			set, _ := records.Load(files, records.Options{})
			c, err := trace.For(trace.Query{Set: set, At: asked(), Subject: "j-1", Looked: looksSame(set)})
			if err == nil && len(c.Gaps()) == 0 {
				t.Errorf("%s, %d: a chain without a gap", name, left)
			}
		}
	}
}

// looksSame finds every certificate's file as recorded.
func looksSame(set *records.Set) map[string]trace.Look {
	out := map[string]trace.Look{}
	for _, list := range set.Certificates {
		for _, c := range list {
			if c.Attachment != nil {
				out[trace.FileKey(*c.Attachment)] = trace.Look{State: trace.Same}
			}
		}
	}
	return out
}
