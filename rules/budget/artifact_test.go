package budget_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"plumbrule/rules/budget"
)

// Formulas of ISO 14253-5:2015 and ISO/TS 23165:2006 from memory; numbers recomputed to the digits printed.
func TestLengthBudget(t *testing.T) {
	tests := []struct {
		length           budget.CalibratedLength
		terms            [3]float64
		align, fixture   float64
		combined, expand float64
	}{
		{
			budget.CalibratedLength{
				ReferenceMM: 1000, CertificateUM: 1.2, CertificateFactor: 2,
				AlphaArtifact: 11.5e-6, AlphaArtifactU: budget.Rectangular(1e-6), Celsius: 21.4, CelsiusU: 0.15,
			}, [3]float64{0.6, 0.8083, 1.725}, 0.1, 0.2, 2.0097, 4.0194,
		},
		{
			budget.CalibratedLength{
				ReferenceMM: 800.015, CertificateUM: 1.6, CertificateFactor: 2,
				AlphaArtifact: 11.5e-6, AlphaArtifactU: budget.Rectangular(1e-6), Celsius: 21.4, CelsiusU: 0.15,
			}, [3]float64{0.8, 0.6466, 1.3800}, 0, 0.5, 1.7924, 3.5848,
		},
		{
			budget.CalibratedLength{
				ReferenceMM: 1500, CertificateUM: 2.4, CertificateFactor: 2,
				AlphaArtifact: 0.5e-6, AlphaArtifactU: budget.Rectangular(0.5e-6), Celsius: 26, CelsiusU: budget.Rectangular(0.5),
			}, [3]float64{1.2, 2.5981, 0.2165}, 0, 1, 3.0392, 6.0784,
		},
	}
	for _, tt := range tests {
		cs, err := tt.length.Components()
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range tt.terms {
			near(t, cs[i].Name, cs[i].ContributionUM(), want, 5e-5)
		}
		r := combine(t, append(cs, certain(tt.align, tt.fixture)...), budget.Coverage{})
		near(t, "u(E)", r.CombinedUM, tt.combined, 5e-5)
		near(t, "U(E)", r.ExpandedUM, tt.expand, 5e-5)
	}
}

// The sensitivities are the derivatives of the error formed with the same inputs.
func TestSensitivitiesAreDerivatives(t *testing.T) {
	l := budget.CalibratedLength{
		ReferenceMM: 3000, CertificateUM: 1, CertificateFactor: 2, AlphaArtifact: 23.1e-6, AlphaArtifactU: 1e-6, AlphaDevice: 11.5e-6, Celsius: 35, CelsiusU: 1,
	}
	cs, err := l.Components()
	if err != nil {
		t.Fatal(err)
	}
	at := func(alpha, celsius float64) float64 {
		e, err := budget.ErrorUM(3000, l.ReferenceMM, alpha, l.AlphaDevice, celsius)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	here := at(l.AlphaArtifact, l.Celsius)
	near(t, "by the coefficient", cs[1].Sensitivity*1e-6, at(l.AlphaArtifact+1e-6, l.Celsius)-here, 1e-9)
	near(t, "by the temperature", cs[2].Sensitivity, at(l.AlphaArtifact, l.Celsius+1)-here, 1e-9)
	if cs[2].Sensitivity > -34 || cs[2].Sensitivity < -35 { // 3 m times the difference of the coefficients, not times either
		t.Errorf("sensitivity to temperature %g µm/K, want -34.8", cs[2].Sensitivity)
	}
}

// Form: F = 0.4 µm, u(F) = 0.05 µm, ISO 14253-5:2015 from memory.
func TestFormBudget(t *testing.T) {
	cs, err := budget.CalibratedForm{FormUM: 0.4, CertificateUM: 0.1, CertificateFactor: 2}.Components()
	if err != nil {
		t.Fatal(err)
	}
	r := combine(t, cs, budget.Coverage{})
	near(t, "u(P)", r.CombinedUM, 0.20616, 5e-6)
	near(t, "U(P)", r.ExpandedUM, 0.41231, 5e-6)
}

func TestArtifactRefuses(t *testing.T) {
	good := budget.CalibratedLength{ReferenceMM: 800, CertificateUM: 1.6, CertificateFactor: 2, AlphaArtifact: 11.5e-6, AlphaArtifactU: 1e-6, Celsius: 21, CelsiusU: 0.1}
	tests := []struct {
		field string
		spoil func(*budget.CalibratedLength)
	}{
		{"reference_mm", func(l *budget.CalibratedLength) { l.ReferenceMM = math.NaN() }},
		{"certificate_um", func(l *budget.CalibratedLength) { l.CertificateUM = -1 }},
		{"certificate_factor", func(l *budget.CalibratedLength) { l.CertificateFactor = 0 }},
		{"alpha_artifact", func(l *budget.CalibratedLength) { l.AlphaArtifact = 11.5 }},
		{"alpha_artifact_u", func(l *budget.CalibratedLength) { l.AlphaArtifactU = 1 }},
		{"celsius", func(l *budget.CalibratedLength) { l.Celsius = 294.15 }},
		{"celsius_u", func(l *budget.CalibratedLength) { l.CelsiusU = math.NaN() }},
	}
	var input *budget.InputError
	for _, tt := range tests {
		l := good
		tt.spoil(&l)
		if cs, err := l.Components(); !errors.As(err, &input) || input.Field != tt.field || input.Mend == "" || cs != nil {
			t.Errorf("%+v: %v, want an error on %s with a remedy", l, err, tt.field)
		}
	}
	for field, f := range map[string]budget.CalibratedForm{
		"form_um":            {FormUM: -1, CertificateUM: 1, CertificateFactor: 2},
		"certificate_um":     {FormUM: 1, CertificateUM: math.Inf(1), CertificateFactor: 2},
		"certificate_factor": {FormUM: 1, CertificateUM: 1},
	} {
		if cs, err := f.Components(); !errors.As(err, &input) || input.Field != field || cs != nil {
			t.Errorf("%+v: %v, want an error on %s", f, err, field)
		}
	}
}

func ExampleCombine() {
	parts, err := budget.CalibratedLength{
		ReferenceMM: 800.015, CertificateUM: 1.6, CertificateFactor: 2,
		AlphaArtifact: 11.5e-6, AlphaArtifactU: budget.Rectangular(1e-6), Celsius: 21.4, CelsiusU: 0.15,
	}.Components()
	if err != nil {
		fmt.Println(err)
		return
	}
	parts = append(parts, budget.Component{Name: "fixture", U: 0.5, Sensitivity: 1, DegreesOfFreedom: math.Inf(1), Source: "judgement"})
	r, err := budget.Combine(parts, budget.Coverage{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, part := range parts {
		fmt.Printf("%-21s %.3f µm %3.0f %%\n", part.Name, part.ContributionUM(), 100*r.Shares[i])
	}
	fmt.Printf("U = %.2f µm (k = %.2f)\n", r.ExpandedUM, r.CoverageFactor)
	// Output:
	// calibration           0.800 µm  20 %
	// expansion coefficient 0.647 µm  13 %
	// temperature           1.380 µm  59 %
	// fixture               0.500 µm   8 %
	// U = 3.58 µm (k = 2.00)
}
