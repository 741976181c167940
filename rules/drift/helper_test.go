package drift_test

import (
	"math"
	"strconv"
	"testing"

	"plumbrule/rules/drift"
	"plumbrule/rules/published"
	"plumbrule/rules/selftest"
)

func columns(t *testing.T, name string, first int) (x, y []float64) {
	t.Helper()
	rows, err := published.Table(name)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		var pair [2]float64
		for i := range pair {
			if pair[i], err = strconv.ParseFloat(row[first+i], 64); err != nil {
				t.Fatal(err)
			}
		}
		x, y = append(x, pair[0]), append(y, pair[1])
	}
	return x, y
}

func fit(t *testing.T, x, y []float64) drift.Line {
	t.Helper()
	l, err := drift.Fit(x, y)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.16g, want %.16g within %g", what, got, want, tolerance)
	}
}

func value(t *testing.T, what string, f drift.Figure) float64 {
	t.Helper()
	if f.Value == nil {
		t.Fatalf("%s is absent: %s", what, f.Reason)
	}
	return *f.Value
}

func lacks(t *testing.T, what string, figures ...drift.Figure) {
	t.Helper()
	for _, f := range figures {
		if f.Value != nil || f.Reason == "" {
			t.Errorf("%s: got %v, want none with a reason", what, f)
		}
	}
}

func refused(t *testing.T, err error, want string) {
	t.Helper()
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// A device in a steady drift, made up: errors in µm every 90 days.
func steady() (days, errors []float64) {
	return []float64{0, 90, 180, 270, 360, 450, 540}, []float64{2, 4, 3, 7, 8, 9, 12}
}

// agrees compares with the published figures of a computation.
func agrees(t *testing.T, computation string) {
	t.Helper()
	for _, complaint := range selftest.Complaints(computation) {
		t.Error(complaint)
	}
}
