package budget_test

import (
	"errors"
	"math"
	"testing"

	"plumbrule/rules/budget"
)

// near fails unless got is within tolerance of want; NaN is never near.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.12g, want %.12g ± %g", what, got, want, tolerance)
	}
}

// Closed forms, reference temperature 20 °C (ISO 1:2022); coefficients steel 11.5e-6 and aluminium 23.1e-6 from Swyt,
// J. Res. NIST 99 (1994), p. 31. Three decimals are printed.
func TestThermalShift(t *testing.T) {
	tests := []struct{ referenceMM, alpha, alphaDevice, celsius, shortUM, remainderUM float64 }{
		{800.015, 11.5e-6, 0, 21.4, 12.880, 0},
		{1500, 0.5e-6, 0, 26, 4.500, 0},
		{3000, 23.1e-6, 11.5e-6, 35, 522.000, -0.090},
		{500, 11.5e-6, 11.5e-6, 23, 0, 0},
		{800.015, 11.5e-6, 0, 18.6, -12.880, 0},
	}
	for _, tt := range tests {
		short, err := budget.ThermalShiftUM(tt.referenceMM, tt.alpha, tt.alphaDevice, tt.celsius)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "shift", short, tt.shortUM, 5e-4)
		remainder, err := budget.ThermalRemainderUM(tt.referenceMM, tt.alpha, tt.alphaDevice, tt.celsius)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "remainder", remainder, tt.remainderUM, 5e-4)
		warmer := tt.celsius - 20
		exact := tt.referenceMM * 1000 * ((1+tt.alpha*warmer)/(1+tt.alphaDevice*warmer) - 1)
		near(t, "short form and remainder", short+remainder, exact, 2e-9) // the exact form loses digits in the quotient
	}
}

func TestError(t *testing.T) {
	tests := []struct{ reading, reference, alpha, alphaDevice, celsius, want float64 }{
		{800.0310, 800.0150, 11.5e-6, 0, 21.4, 3.120}, // shift 12.880 245 µm
		{800.0310, 800.0150, 11.5e-6, 11.5e-6, 21.4, 16},
		{800.0310, 800.0150, 0, 0, 21.4, 16}, // compensated by the device
		{799.9990, 800.0150, 11.5e-6, 0, 20, -16},
	}
	for _, tt := range tests {
		got, err := budget.ErrorUM(tt.reading, tt.reference, tt.alpha, tt.alphaDevice, tt.celsius)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "error", got, tt.want, 5e-4)
	}
}

func TestThermalRefuses(t *testing.T) {
	tests := []struct {
		field                                   string
		reading, reference, alpha, device, temp float64
	}{
		{"reading_mm", math.NaN(), 800, 0, 0, 20},
		{"reference_mm", 800, -1, 0, 0, 20},
		{"reference_mm", 800, math.Inf(1), 0, 0, 20},
		{"alpha_artifact", 800, 800, 11.5, 0, 20}, // 1e-6 forgotten
		{"alpha_device", 800, 800, 0, math.NaN(), 20},
		{"celsius", 800, 800, 0, 0, 293.15}, // kelvin
		{"celsius", 800, 800, 0, 0, math.NaN()},
	}
	for _, tt := range tests {
		_, err := budget.ErrorUM(tt.reading, tt.reference, tt.alpha, tt.device, tt.temp)
		var input *budget.InputError
		if !errors.As(err, &input) || input.Field != tt.field || input.Mend == "" {
			t.Errorf("%+v: %v, want an error on %s with a remedy", tt, err, tt.field)
		}
	}
}
