package rules_test

import (
	"math"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"plumbrule/rules"
)

// The worked case of a steel ball bar at 21.4 °C, from files to figures: ISO 1
// and ISO 14253-5:2015 with ISO/TS 23165:2006 (formulas from memory; the
// figures follow from them to the digits shown).
func TestFiguresOfAWholeRepository(t *testing.T) {
	s := read(t, txtar.Parse([]byte(`at 2026-10-06T12:00
edit procedures/bar-weekly.toml: value = "±0.5 µm (rectangular)" -> value = "u = 0.5 µm"
`)))
	a := s.evaluate(t)
	var j *rules.Judgement
	for _, e := range a.Devices[0].Evidence {
		if e.Feature == "A-C" {
			j = e.Judgement
		}
	}
	if j == nil {
		t.Fatal("no evidence of A-C")
	}
	for _, c := range []struct {
		what            string
		got, want, half float64
	}{
		{"reference, mm", j.ReferenceMM, 800.0150, 0},
		{"shift, µm", j.ShiftUM, 12.880, 0.0005},
		{"error, µm", j.ErrorsUM[0], 3.120, 0.0005},
		{"calibration, µm", j.Components[0].ContributionUM(), 0.8, 1e-12},
		{"expansion, µm", j.Components[1].ContributionUM(), 0.6466, 0.00005},
		{"temperature, µm", j.Components[2].ContributionUM(), 1.3800, 0.00005},
		{"fixing, µm", j.Components[3].ContributionUM(), 0.5, 1e-12},
		{"combined, µm", j.Uncertainty.CombinedUM, 1.7924, 0.00005},
		{"expanded, µm", j.Uncertainty.ExpandedUM, 3.5848, 0.00005},
		{"limit over 2.6 m, µm", j.MPEUM, 155, 0},
	} {
		if !(math.Abs(c.got-c.want) <= c.half) {
			t.Errorf("%s: got %v, want %v", c.what, c.got, c.want)
		}
	}
	if !j.LengthIsPath || j.Length.String() != "2.6 m" {
		t.Errorf("length %s, path %v", j.Length, j.LengthIsPath)
	}
}

// A reading stated as compensated is not corrected a second time: against the
// certified 800.0150 mm, 800.031 mm is +16.0 µm.
func TestCompensatedReadingIsNotCorrected(t *testing.T) {
	s := read(t, txtar.Parse([]byte(`at 2026-10-06T12:00
edit checks/scan-02/2026/2026-10-05T0812-bar-weekly.toml: unit = "mm" -> unit = "mm"\ncompensated = true
`)))
	for _, e := range s.evaluate(t).Devices[0].Evidence {
		if e.Feature == "A-C" && math.Abs(e.Judgement.ErrorsUM[0]-16.0) > 1e-6 {
			t.Errorf("error %v", e.Judgement.ErrorsUM[0])
		}
	}
}

// Ceramic spheres on a steel bar: the sphere is corrected with its own
// coefficient, 29.9990 mm · 9.5e-6/K · 1.4 K = 0.39899 µm, and its uncertainty
// enters with 29.9990 mm · 1.4 K · 0.5e-6/K = 0.02100 µm; the distance stays with
// the bar's.
func TestFeatureWithItsOwnExpansion(t *testing.T) {
	s := read(t, txtar.Parse([]byte(`at 2026-10-06T12:00
edit artifacts/bar-3s.toml: name = "A"\nquantity = "diameter" -> name = "A"\nexpansion = "9.5e-6/K"\nexpansion-uncertainty = "1e-6/K (k = 2)"\nquantity = "diameter"
`)))
	want := map[string][2]float64{"A": {0.39899, 0.02100}, "A-C": {12.88024, 0.64664}}
	for _, e := range s.evaluate(t).Devices[0].Evidence {
		if e.Judgement == nil {
			continue
		}
		shift, alpha := e.Judgement.ShiftUM, e.Judgement.Components[1].ContributionUM()
		if w := want[e.Feature]; math.Abs(shift-w[0]) > 0.000005 || math.Abs(alpha-w[1]) > 0.000005 {
			t.Errorf("%s: shift %v, coefficient %v, want %v", e.Feature, shift, alpha, w)
		}
	}
}
