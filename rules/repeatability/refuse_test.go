package repeatability_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules/repeatability"
)

func TestMissingCellsAreNamed(t *testing.T) {
	list := []repeatability.Reading{
		{"a", "x", 1},
		{"a", "x", 2},
		{"a", "y", 1},
		{"a", "y", 2},
		{"b", "x", 3},
		{"b", "x", 4},
		{"b", "y", 3},
		{"c", "x", 3},
		{"c", "x", 4},
		{"c", "x", 5},
		{"d", "x", 3},
		{"d", "x", 4},
		{"d", "y", 3},
		{"d", "y", 4},
	}
	_, err := repeatability.Study(list, repeatability.Settings{})
	var unbalanced *repeatability.UnbalancedError
	if !errors.As(err, &unbalanced) {
		t.Fatalf("got %v", err)
	}
	want := &repeatability.UnbalancedError{Trials: 2, Cells: []repeatability.Cell{{"b", "y", 1}, {"c", "x", 3}, {"c", "y", 0}}}
	if diff := cmp.Diff(want, unbalanced); diff != "" {
		t.Error(diff)
	}
	text := `the study is not balanced: most cells have 2 readings, part "b" by operator "y" has 1, part "c" by operator "x" has 3, ` +
		`part "c" by operator "y" has 0; mend: measure what is missing, or leave out the part or the operator`
	if err.Error() != text {
		t.Errorf("got %s", err)
	}
	// As many cells with one as with two: what is asked for is more, never less.
	for range 20 {
		_, err = repeatability.StudyTable([][][]float64{{{1, 2}, {3}}, {{4, 5}, {6}}}, repeatability.Settings{})
		if !errors.As(err, &unbalanced) || unbalanced.Trials != 2 {
			t.Fatalf("got %v", err)
		}
	}
	_, err = repeatability.StudyTable([][][]float64{{{1, 2}, {3, 4}}, {{1, 2}}}, repeatability.Settings{})
	if err == nil || !strings.Contains(err.Error(), `part "2" by operator "2" has 0`) {
		t.Errorf("got %v", err)
	}
}

func TestRefuses(t *testing.T) {
	good := [][][]float64{{{1, 2}, {3, 4}}, {{1, 2}, {4, 5}}}
	for want, c := range map[string]struct {
		values   [][][]float64
		settings repeatability.Settings
	}{
		"parts is 0":                           {nil, repeatability.Settings{}},
		"parts is 1":                           {[][][]float64{{{1, 2}}}, repeatability.Settings{}},
		"readings is none":                     {[][][]float64{{}, {}}, repeatability.Settings{}},
		"trials is 1 by one operator":          {[][][]float64{{{1}}, {{2}}}, repeatability.Settings{}},
		`a reading of part "2" by operator "1`: {[][][]float64{{{1, 2}}, {{2, math.NaN()}}}, repeatability.Settings{}},
		`a reading of part "1" by operator "1`: {[][][]float64{{{math.Inf(1), 2}}, {{2, 3}}}, repeatability.Settings{}},
		"confidence is 95":                     {good, repeatability.Settings{Confidence: 95}},
		"pool_above is -1":                     {good, repeatability.Settings{PoolAbove: -1}},
		"tolerance is -2":                      {good, repeatability.Settings{Tolerance: -2}},
		"study_sigmas is NaN":                  {good, repeatability.Settings{StudySigmas: math.NaN()}},
	} {
		if _, err := repeatability.StudyTable(c.values, c.settings); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("got %v, want %s …", err, want)
		}
	}
	if _, err := repeatability.Study(nil, repeatability.Settings{}); err == nil {
		t.Error("no readings were accepted")
	}
}

// Readings that do not vary, or vary without noise, give no figure that is not backed.
func TestWithoutNoise(t *testing.T) {
	equal, err := repeatability.StudyTable([][][]float64{{{0.1, 0.1}, {0.1, 0.1}}, {{0.1, 0.1}, {0.1, 0.1}}}, repeatability.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	missing(t, "F", equal.Chosen.Table[0].F)
	missing(t, "categories", equal.Chosen.Categories)
	missing(t, "share", equal.Chosen.Component(repeatability.Gauge).ShareOfVariance)
	if !strings.Contains(strings.Join(equal.Notes, " "), "All readings are equal") {
		t.Errorf("notes %q", equal.Notes)
	}
	// Additive decimals: 0.1, 0.2, 0.3, 0.4 leave nothing but the noise of the arithmetic.
	additive, err := repeatability.StudyTable([][][]float64{{{0.1, 0.1}, {0.2, 0.2}}, {{0.3, 0.3}, {0.4, 0.4}}}, repeatability.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	if additive.Chosen.Name != repeatability.WithoutInteraction {
		t.Errorf("chosen %s", additive.Chosen.Name)
	}
	missing(t, "F", additive.Chosen.Table[0].F)
	near(t, "repeatability", value(t, "sd", additive.Chosen.Component(repeatability.Repeatability).SD), 0, 0)
	crossed, err := repeatability.StudyTable([][][]float64{{{1, 1}, {2, 2}}, {{3, 3}, {9, 9}}}, repeatability.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	if crossed.Chosen.Name != repeatability.WithInteraction || !strings.Contains(crossed.Notes[0], "cannot be tested") {
		t.Errorf("chosen %s, notes %q", crossed.Chosen.Name, crossed.Notes)
	}
}

// The largest readings that are taken, and very small ones, give the figures of ordinary ones.
func TestRangeOfReadings(t *testing.T) {
	for _, unit := range []float64{1e-98, 1, 1e98} {
		r, err := repeatability.StudyTable([][][]float64{
			{{1 * unit, 3 * unit}, {5 * unit, 7 * unit}}, {{9 * unit, 9 * unit}, {14 * unit, 16 * unit}},
		}, repeatability.Settings{})
		if err != nil {
			t.Fatal(err)
		}
		gauge := r.Chosen.Component(repeatability.Gauge)
		near(t, "gauge", value(t, "gauge", gauge.SD)/unit, math.Sqrt(13.7), 1e-9)
		if ratio := value(t, "upper", gauge.SDUpper) / value(t, "lower", gauge.SDLower); !(ratio > 40 && ratio < 100) {
			t.Errorf("limits %g and %g at %g", *gauge.SDLower.Value, *gauge.SDUpper.Value, unit)
		}
	}
}
