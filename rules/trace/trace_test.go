package trace_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules/trace"
)

// The order of the chain is that of ISO/IEC 17025:2017, annex A (from memory): figure, measuring equipment, its
// verification and calibration, the standards used, the calibrating laboratory, the reference it states.
func TestTheChainOfAJob(t *testing.T) {
	c := follow(t, base(t), "j-1", "", nil)
	want := `job j-1
    tolerance of distance up to 1.5 m over a path of 2.5 m
    tolerance of diameter up to 120 mm
  device scan-1
      limit of distance up to 1.5 m over a path of 2.5 m
      limit of diameter up to 120 mm
    check scan-1/2026/2026-11-23T0812-bar-weekly
        error of A
        error of A-C over a path of 2.6 m
      artifact bar-1
        certificate K-113
            value of A
            value of A-C
          file certificates/bar-1/2025-01-06-K-113.pdf
          laboratory Lab
            standard laser interferometer 3
            reference Traceable to the SI through interferometer FI-1.
    certificate S-9
        error of diameter at 30 mm
        error of distance at 2500 mm over a path of 2.7 m
      file certificates/scan-1/2026-03-01-S-9.pdf
      laboratory Lab
        reference Traceable to the SI through interferometer FI-1.
`
	if diff := cmp.Diff(want, tree(c)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if found := gaps(c); len(found) > 0 {
		t.Errorf("gaps in a chain that holds: %v", found)
	}
}

func TestTheChainOfEachKind(t *testing.T) {
	for _, c := range []struct{ subject, feature, want string }{
		{"j-1", "diameter", `job j-1
    tolerance of diameter up to 120 mm
  device scan-1
      limit of diameter up to 120 mm
    check scan-1/2026/2026-11-23T0812-bar-weekly
        error of A
      artifact bar-1
        certificate K-113
            value of A
          file certificates/bar-1/2025-01-06-K-113.pdf
          laboratory Lab
            standard laser interferometer 3
            reference Traceable to the SI through interferometer FI-1.
    certificate S-9
        error of diameter at 30 mm
      file certificates/scan-1/2026-03-01-S-9.pdf
      laboratory Lab
        reference Traceable to the SI through interferometer FI-1.
`},
		{check, "A-C", `check scan-1/2026/2026-11-23T0812-bar-weekly
    error of A-C over a path of 2.6 m
  artifact bar-1
    certificate K-113
        value of A-C
      file certificates/bar-1/2025-01-06-K-113.pdf
      laboratory Lab
        standard laser interferometer 3
        reference Traceable to the SI through interferometer FI-1.
  device scan-1
    certificate S-9
        error of distance at 2500 mm over a path of 2.7 m
      file certificates/scan-1/2026-03-01-S-9.pdf
      laboratory Lab
        reference Traceable to the SI through interferometer FI-1.
`},
		{"bar-1", "C", `artifact bar-1
  certificate K-113
      value of C
    file certificates/bar-1/2025-01-06-K-113.pdf
    laboratory Lab
      standard laser interferometer 3
      reference Traceable to the SI through interferometer FI-1.
`},
	} {
		got := follow(t, base(t), c.subject, c.feature, nil)
		if diff := cmp.Diff(c.want, tree(got)); diff != "" || len(gaps(got)) > 0 {
			t.Errorf("%s %s, gaps %v (-want +got)\n%s", c.subject, c.feature, gaps(got), diff)
		}
	}
}

// Figures, U and k are those of the records of testdata/base.txtar; the limit is 25 µm + 50 µm/m over 2.5 m.
func TestFiguresWithTheirUncertainty(t *testing.T) {
	c := follow(t, base(t), "j-1", "distance", nil)
	want := []struct {
		kind            trace.Kind
		what            string
		um, expanded, k float64 // expanded 0: none
	}{
		{trace.Job, "tolerance", 1000, 0, 0},
		{trace.Device, "limit", 150, 0, 0},
		{trace.Certificate, "value", 800015, 1.6, 2},
		{trace.Certificate, "error", 31, 6, 2},
	}
	for _, w := range want {
		found := false
		for _, s := range c.Steps {
			for _, f := range s.Figures {
				if s.Kind != w.kind || f.What != w.what || f.Quantity != "distance" {
					continue
				}
				found = true
				if f.ValueUM.Value == nil || *f.ValueUM.Value != w.um {
					t.Errorf("%s %s: %+v, want %v µm", w.kind, w.what, f.ValueUM, w.um)
				}
				switch {
				case w.expanded == 0 && (f.ExpandedUM.Value != nil || f.Factor.Value != nil):
					t.Errorf("%s %s: an uncertainty where none is", w.kind, w.what)
				case w.expanded != 0 && (f.ExpandedUM.Value == nil || f.Factor.Value == nil || *f.ExpandedUM.Value != w.expanded || *f.Factor.Value != w.k):
					t.Errorf("%s %s: U %+v, k %+v", w.kind, w.what, f.ExpandedUM, f.Factor)
				}
			}
		}
		if !found {
			t.Errorf("no %s at a %s", w.what, w.kind)
		}
	}
}
