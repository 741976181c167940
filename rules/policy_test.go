package rules_test

import (
	"path/filepath"
	"slices"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"plumbrule/records"
	"plumbrule/rules"
)

// gravity orders states of fitness from harmless to worst.
func gravity(f rules.Fitness) int {
	return slices.Index([]rules.Fitness{rules.Fit, rules.Limited, rules.Unknown, rules.Unfit}, f)
}

// Wherever a reason appears, each effect a site may choose for it is the effect
// it has, the device is never better than its worst reason, and a limited
// device is told what is left.
func TestEveryPolicy(t *testing.T) {
	names, err := filepath.Glob("testdata/scenarios/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	tried := map[string]int{}
	for _, name := range names {
		archive, err := txtar.ParseFile(name)
		if err != nil {
			t.Fatal(err)
		}
		s := read(t, archive)
		set, _ := records.Load(s.files, records.Options{})
		raised := map[string]bool{}
		for _, d := range rules.Evaluate(set, s.at, rules.Options{Hindsight: s.hindsight}).Devices {
			consistent(t, name, &d)
			for _, r := range d.Reasons {
				raised[r.Code] = true
			}
		}
		for _, code := range rules.ReasonCodes() {
			for _, effect := range code.Allowed {
				if !raised[code.ID] || tried[code.ID+" "+string(effect)] >= 5 {
					continue
				}
				changed := *set
				site := *set.Site
				site.Fitness = []records.FitnessPolicy{{Code: code.ID, Effect: string(effect)}}
				changed.Site = &site
				a := rules.Evaluate(&changed, s.at, rules.Options{Hindsight: s.hindsight})
				for i := range a.Devices {
					consistent(t, name, &a.Devices[i])
					for _, r := range a.Devices[i].Reasons {
						if r.Code != code.ID {
							continue
						}
						tried[code.ID+" "+string(effect)]++
						// A quantity is all there is: limited to nothing is unknown.
						if r.Effect != effect && (code.ID != "quantity-unproven" || gravity(r.Effect) < gravity(effect)) {
							t.Errorf("%s: %s has the effect %s, the site chose %s", name, code.ID, r.Effect, effect)
						}
					}
				}
			}
		}
	}
	for _, code := range rules.ReasonCodes() {
		for _, effect := range code.Allowed {
			if tried[code.ID+" "+string(effect)] == 0 {
				t.Errorf("%s = %q was never tried", code.ID, effect)
			}
		}
	}
}

// consistent checks what must hold of every device.
func consistent(t *testing.T, name string, d *rules.Device) {
	t.Helper()
	worst := rules.Fit
	for i, r := range d.Reasons {
		if gravity(r.Effect) < 0 || r.Sentence == "" || len(r.Sources) == 0 {
			t.Errorf("%s: reason %+v lacks effect, sentence or source", name, r)
		}
		if gravity(r.Effect) > gravity(worst) {
			worst = r.Effect
		}
		if i > 0 && gravity(r.Effect) > gravity(d.Reasons[i-1].Effect) {
			t.Errorf("%s: %s stands after something lighter", name, r.Code)
		}
	}
	if d.Fitness != worst {
		t.Errorf("%s: %s, but the worst reason is %s", name, d.Fitness, worst)
	}
	if limited := d.Fitness == rules.Limited; limited != (len(d.May) > 0) || !limited && len(d.MayNot) > 0 {
		t.Errorf("%s: %s, may %v, may not %v", name, d.Fitness, d.May, d.MayNot)
	}
	if d.Fitness == rules.Limited || d.Fitness == rules.Fit {
		allowed := map[*records.Limit]bool{}
		for _, s := range d.May {
			allowed[s.Limit] = true
		}
		for _, e := range d.Evidence {
			if v := e.Verdict(); (v == "fail" || v == "conditional-fail") && (d.Fitness == rules.Fit || allowed[e.Limit]) {
				t.Errorf("%s: %s may measure %s although it failed", name, d.Fitness, e.Quantity)
			}
		}
	}
}

func TestCheckReportsSettings(t *testing.T) {
	s := read(t, txtar.Parse([]byte(`edit procedures/bar-weekly.toml: artifact-kind = "ball bar" -> artifact-kind = "ball bar"\ndecision-rule = "lenient"
edit procedures/bar-weekly.toml: name = "A"\nrepeats = 3 -> name = "A"\nrepeats = 3\ntest = "probing-sise"
edit procedures/bar-weekly.toml: name = "A-C" -> name = "A-C"\ntest = "probing-size"
-- plumbrule.toml+ --
[chart]
tests = ["luck"]
kind = "lucky"
[fitness]
withdrawn = "fit"
all-failed = "limited"
calibration-overdue = "fit"
no-such-reason = "fit"
chart-signal = "limited"
`)))
	set, _ := records.Load(s.files, records.Options{})
	var got []string
	for _, d := range rules.Check(set) {
		if !slices.ContainsFunc(rules.Codes(), func(c records.Code) bool { return c.ID == d.Code }) {
			t.Errorf("%s is not documented", d.Code)
		}
		if d.Position.Line == 0 {
			t.Errorf("%s has no line", d.Code)
		}
		got = append(got, d.Code)
	}
	want := []string{"policy-not-allowed", "policy-not-allowed", "policy-not-allowed", "unknown-policy", "unknown-test", "unknown-chart", "unknown-rule", "unknown-profile", "test-contradicts"}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	// What is not allowed has no effect either.
	a := rules.Evaluate(set, moment(t, "2027-03-10T12:00"), rules.Options{})
	if a.Devices[0].Fitness != rules.Unfit {
		t.Errorf("an overdue calibration is %s", a.Devices[0].Fitness)
	}
}
