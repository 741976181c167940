package chart_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"plumbrule/rules/chart"
	"plumbrule/rules/selftest"
)

// testdata/chart-constants.csv was computed by numerical integration to six
// decimals in another program.
func TestConstantsToSixDecimals(t *testing.T) {
	file, err := os.Open("testdata/chart-constants.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 10 {
		t.Fatalf("%d rows, want 10", len(rows))
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	for _, row := range rows[1:] {
		cell := func(name string) float64 {
			v, err := strconv.ParseFloat(row[column[name]], 64)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		d2, d3, c4 := constants(t, int(cell("n")))
		near(t, "d2 of "+row[0], d2, cell("d2"), 5.1e-7)
		near(t, "d3 of "+row[0], d3, cell("d3"), 5.1e-7)
		near(t, "c4 of "+row[0], c4, cell("c4"), 5.1e-7)
		near(t, "D4 of "+row[0], 1+3*d3/d2, cell("D4"), 1e-6)
	}
}

// As printed in ASTM E2587 and ISO 7870-2.
func TestConstantsAsPrinted(t *testing.T) { agrees(t, "chart factor") }

// agrees compares with the published figures of some computations.
func agrees(t *testing.T, computations ...string) {
	t.Helper()
	for _, complaint := range selftest.Complaints(computations...) {
		t.Error(complaint)
	}
}

func TestConstantsClosedForms(t *testing.T) {
	d2, d3, c4 := constants(t, 2)
	near(t, "d2(2)", d2, 2/math.Sqrt(math.Pi), 1e-12)
	near(t, "d3(2)", d3, math.Sqrt(2-4/math.Pi), 1e-10)
	near(t, "c4(2)", c4, math.Sqrt(2/math.Pi), 1e-12)
	d2, _, _ = constants(t, 3)
	near(t, "d2(3)", d2, 3/math.Sqrt(math.Pi), 1e-12)
	// d2 of 25 and 100 as printed in textbook appendices (from memory).
	d2, d3, c4 = constants(t, 25)
	near(t, "d2(25)", d2, 3.931, 0.0005)
	near(t, "d3(25)", d3, 0.708, 0.0005)
	near(t, "c4(25)", c4, 0.9896, 0.00005)
	d2, _, _ = constants(t, 100)
	near(t, "d2(100)", d2, 5.015, 0.0005)
	// The gamma function overflows here, its logarithm does not.
	if c4, err := chart.DeviationBias(1000); err != nil {
		t.Error(err)
	} else {
		near(t, "c4(1000)", c4, 1-1/(4*1000.0)-7/(32*1e6), 1e-9)
	}
}

// c4(n)·c4(n+1) = √((n-1)/n), since Γ(x+1) = x·Γ(x).
func TestDeviationBiasRecurs(t *testing.T) {
	for n := 2; n < 1010; n++ {
		this, err := chart.DeviationBias(n)
		next, also := chart.DeviationBias(n + 1)
		if err != nil || also != nil {
			t.Fatal(err, also)
		}
		near(t, "c4 of "+strconv.Itoa(n), this*next, math.Sqrt(float64(n-1)/float64(n)), 1e-11)
	}
}

func TestConstantsOutsideTheirRange(t *testing.T) {
	for _, n := range []int{-1, 0, 1, 101} {
		if v, err := chart.RangeMean(n); err == nil {
			t.Errorf("d2(%d) = %v, want an error", n, v)
		}
		if v, err := chart.RangeDeviation(n); err == nil {
			t.Errorf("d3(%d) = %v, want an error", n, v)
		}
		if v, err := chart.DeviationBias(n); err == nil && n < 2 {
			t.Errorf("c4(%d) = %v, want an error", n, v)
		}
	}
}

func constants(t *testing.T, n int) (d2, d3, c4 float64) {
	t.Helper()
	var err error
	if d2, err = chart.RangeMean(n); err != nil {
		t.Fatal(err)
	}
	if d3, err = chart.RangeDeviation(n); err != nil {
		t.Fatal(err)
	}
	if c4, err = chart.DeviationBias(n); err != nil {
		t.Fatal(err)
	}
	return d2, d3, c4
}

// The probabilities were computed from the t distribution in another program
// and have five decimals; they belong to the factors of Yang and Hillier 1970.
func TestFalseAlarm(t *testing.T) {
	for count, want := range map[int]float64{
		3: 0.12169, 5: 0.05198, 8: 0.02546, 10: 0.01877, 15: 0.01153,
		20: 0.00864, 25: 0.00712, 30: 0.00621, 50: 0.00460, 100: 0.00357,
	} {
		got, err := chart.FalseAlarm(count)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "false alarm of "+strconv.Itoa(count), got, want, 5.1e-6)
	}
	// One degree of freedom is the Cauchy distribution.
	got, _ := chart.FalseAlarm(2)
	near(t, "false alarm of 2", got, 1-2*math.Atan(3/math.Sqrt(1.5))/math.Pi, 1e-12)
	got, _ = chart.FalseAlarm(2_000_000)
	near(t, "false alarm of many", got, 0.0026998, 5e-8)
	if v, err := chart.FalseAlarm(1); err == nil {
		t.Errorf("false alarm of 1 = %v, want an error", v)
	}
}
