package rules_test

import (
	"io/fs"
	"maps"
	"reflect"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// shuffled gives the files of every folder in an order of its own.
type shuffled struct {
	fstest.MapFS
	t *rapid.T
}

// ReadDir makes shuffled an [fs.ReadDirFS].
func (s shuffled) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := s.MapFS.ReadDir(name)
	return rapid.Permutation(list).Draw(s.t, name), err
}

// The order in which files are met makes no difference.
func TestOrderOfFilesChangesNothing(t *testing.T) {
	scenarios := loaded(t)
	names := slices.Sorted(maps.Keys(scenarios))
	rapid.Check(t, func(t *rapid.T) {
		s := scenarios[rapid.SampledFrom(names).Draw(t, "scenario")]
		set, _ := records.Load(s.files, records.Options{})
		again, _ := records.Load(shuffled{s.files, t}, records.Options{})
		want := all(rules.Evaluate(set, s.at, rules.Options{Hindsight: s.hindsight}))
		got := all(rules.Evaluate(again, s.at, rules.Options{Hindsight: s.hindsight}))
		if got != want {
			t.Fatal(cmp.Diff(want, got))
		}
	})
}

// Evaluate says something about every device of any set, however poor, and
// never calls one fit of which a file could not be read.
func TestEvaluateSurvivesPoorSets(t *testing.T) {
	scenarios := loaded(t)
	names := slices.Sorted(maps.Keys(scenarios))
	zone, err := calendar.Zone("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := scenarios[rapid.SampledFrom(names).Draw(t, "scenario")]
		full, _ := records.Load(s.files, records.Options{})
		set := *full
		drop := func(what string, field any) {
			if rapid.Bool().Draw(t, "without "+what) {
				reflect.ValueOf(field).Elem().SetZero()
			}
		}
		drop("artifacts", &set.Artifacts)
		drop("procedures", &set.Procedures)
		drop("certificates", &set.Certificates)
		drop("checks", &set.Checks)
		drop("events", &set.Events)
		drop("jobs", &set.Jobs)
		drop("cases", &set.Cases)
		drop("devices", &set.Devices)
		if rapid.IntRange(0, 9).Draw(t, "site") == 0 {
			set.Site = nil
		} else if rapid.Bool().Draw(t, "bare site") {
			set.Site = &records.Site{File: records.SiteFile, Zone: zone}
		}
		kind := rapid.SampledFrom([]string{"device", "check", "certificate", "event", "artifact", "procedure", "job", "case", "?"}).Draw(t, "kind")
		subject := rapid.SampledFrom([]string{"scan-02", "bar-3s", "bar-weekly", "scan-99", ""}).Draw(t, "subject")
		set.Unreadable = append(set.Unreadable[:0:0], records.Unreadable{File: "x.toml", Kind: kind, Subject: subject, Message: "m"})
		at := s.at.AddDate(0, rapid.IntRange(-300, 300).Draw(t, "months"), 0)
		a := rules.Evaluate(&set, at, rules.Options{Hindsight: rapid.Bool().Draw(t, "hindsight")})
		for _, d := range a.Devices {
			own := d.ID == subject && (kind == "device" || kind == "check" || kind == "certificate" || kind == "event")
			if own && (d.Fitness == rules.Fit || d.Fitness == rules.Limited) {
				t.Fatalf("%s is %s although %s of it cannot be read", d.ID, d.Fitness, kind)
			}
			rules.ChartsOf(&set, at, rules.Options{}, d.ID)
		}
	})
}
