package rules_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"plumbrule/records"
	"plumbrule/rules"
)

// loaded returns the repositories of all scenarios, the largest variety at hand.
func loaded(tb testing.TB) map[string]*scenario {
	tb.Helper()
	names, err := filepath.Glob("testdata/scenarios/*.txtar")
	if err != nil {
		tb.Fatal(err)
	}
	out := map[string]*scenario{}
	for _, name := range names {
		archive, err := txtar.ParseFile(name)
		if err != nil {
			tb.Fatal(err)
		}
		out[name] = read(tb, archive)
	}
	return out
}

// all writes everything an assessment says, unexported parts and pointers left
// out.
func all(a *rules.Assessment) string {
	var b strings.Builder
	b.WriteString(text(a))
	for _, d := range a.Devices {
		fmt.Fprintf(&b, "%s %v %s %s %s %+v\n", d.Service.State, d.Service.Since, d.Service.Location, d.Service.Owner, d.Service.Firmware, d.Charts)
		for _, e := range d.Evidence {
			fmt.Fprintf(&b, "%s %s %s %s %s %v\n", e.From, e.Feature, e.Quantity, e.Verdict(), e.Time.UTC(), e.Source)
			if j := e.Judgement; j != nil {
				fmt.Fprintf(&b, "%x %x %x %x\n", j.ErrorsUM, j.ShiftUM, j.MPEUM, j.Uncertainty.ExpandedUM)
			}
		}
	}
	fmt.Fprintln(&b, a.Later, a.Today)
	return b.String()
}

const many = 40 // devices, so that several workers have something to do

func crowd(tb testing.TB) *records.Set {
	tb.Helper()
	set, _ := records.Load(loaded(tb)["testdata/scenarios/chart-signal.txtar"].files, records.Options{})
	for i := range many {
		d := *set.Devices["scan-02"]
		d.ID = fmt.Sprintf("scan-%02d", 10+i)
		set.Devices[d.ID], set.Checks[d.ID], set.Certificates[d.ID], set.Events[d.ID] =
			&d, set.Checks["scan-02"], set.Certificates["scan-02"], set.Events["scan-02"]
	}
	return set
}

func TestSameBytesOnAnyNumberOfProcessors(t *testing.T) {
	set, at := crowd(t), moment(t, "2026-09-15T12:00")
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	want := all(rules.Evaluate(set, at, rules.Options{}))
	for range 20 {
		for _, n := range []int{1, 4} {
			runtime.GOMAXPROCS(n)
			if diff := cmp.Diff(want, all(rules.Evaluate(set, at, rules.Options{}))); diff != "" {
				t.Fatal(diff)
			}
		}
	}
}

// asChild marks a run of this test program in another environment.
const asChild = "PLUMBRULE_TEST_OTHER_MACHINE"

// Package time reads TZ and ZONEINFO once, so other runs of this program are
// what can tell.
func TestSameBytesInAnyTimeZone(t *testing.T) {
	if os.Getenv(asChild) != "" {
		for _, name := range []string{"clock-change", "clock-change-over", "another-zone"} {
			s := loaded(t)["testdata/scenarios/"+name+".txtar"]
			if _, err := fmt.Fprint(os.Stdout, all(s.evaluate(t))); err != nil {
				t.Fatal(err)
			}
		}
		return
	}
	var first string
	for _, env := range [][]string{{"TZ=UTC"}, {"TZ=America/New_York"}, {"TZ=Pacific/Kiritimati", "ZONEINFO=/nowhere"}, {"TZ=rubbish", "LANG=de_DE.UTF-8"}} {
		child := exec.CommandContext(t.Context(), os.Args[0], "-test.run=^TestSameBytesInAnyTimeZone$")
		child.Env = append(append(os.Environ(), asChild+"=1"), env...)
		out, err := child.Output()
		if err != nil || !strings.Contains(string(out), "scan-02") {
			t.Fatalf("%v: %v\n%s", env, err, out)
		}
		text, _, _ := strings.Cut(string(out), "PASS")
		if first == "" {
			first = text
		}
		if diff := cmp.Diff(first, text); diff != "" {
			t.Errorf("%v:\n%s", env, diff)
		}
	}
}

// Records about what came later, or entered later, change nothing at the
// instant. Each scenario is evaluated on days around its own with all records
// that were not known then taken out, and must come out the same.
func TestLaterRecordsChangeNothing(t *testing.T) {
	for name, s := range loaded(t) {
		set, _ := records.Load(s.files, records.Options{})
		for _, days := range []int{-200, -30, -7, -4, -1, 0, 1, 7} {
			at := s.at.AddDate(0, 0, days)
			want := rules.Evaluate(set, at, rules.Options{})
			got := rules.Evaluate(known(set, at.UnixNano()), at, rules.Options{})
			if taken := set.Count() - known(set, at.UnixNano()).Count(); taken < want.Later {
				t.Fatalf("%s at %s: %d counted as later, %d taken out", name, at, want.Later, taken)
			}
			want.Later, got.Later = 0, 0
			if diff := cmp.Diff(all(want), all(got)); diff != "" {
				t.Fatalf("%s at %s (-with later records +without)\n%s", name, at, diff)
			}
		}
	}
}

// known returns the set without what happened or was entered later.
func known(set *records.Set, at int64) *records.Set {
	out := *set
	out.Checks = kept(set.Checks, func(r *records.Check) bool { return r.Time.UnixNano() <= at && r.Entered.UnixNano() <= at })
	out.Events = kept(set.Events, func(r *records.Event) bool { return r.Time.UnixNano() <= at && r.Entered.UnixNano() <= at })
	out.Certificates = kept(set.Certificates, func(r *records.Certificate) bool { return r.Entered.UnixNano() <= at })
	out.Cases = kept(set.Cases, func(r *records.CaseStep) bool { return r.Time.UnixNano() <= at && r.Entered.UnixNano() <= at })
	out.Jobs = kept(map[string][]*records.Job{"": set.Jobs}, func(r *records.Job) bool { return r.Entered.UnixNano() <= at })[""]
	return &out
}

func kept[R any](m map[string][]R, keep func(R) bool) map[string][]R {
	out := map[string][]R{}
	for id, list := range m {
		for _, r := range list {
			if keep(r) {
				out[id] = append(out[id], r)
			}
		}
	}
	return out
}
