package works_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/chart"
)

// kinds is the kind of chart that each procedure was given.
func kinds() map[string]chart.Kind {
	return map[string]chart.Kind{
		"bar-weekly": chart.KindIndividuals, "bar-detour": chart.KindIndividuals, "bar-long": chart.KindIndividuals,
		"mic-25": chart.KindIndividuals, "height-monthly": chart.KindMeanRange, "ring-monthly": chart.KindMeanDeviation,
		"bar-arm": chart.KindEWMA, "mic-50": chart.KindCUSUM, "caliper-monthly": chart.KindCUSUM,
	}
}

// everyChart calls back with every chart of the works as it stands in the morning.
func everyChart(t *testing.T, set *records.Set, call func(device string, s *rules.Series)) {
	t.Helper()
	for device := range set.Devices {
		for _, s := range rules.ChartsOf(set, morning(t), rules.Options{}, device) {
			call(device, &s)
		}
	}
}

// through returns a chart of the works, seen through other settings if look is given.
func through(t *testing.T, set *records.Set, device, procedure, feature string, look func(chart.Settings) chart.Settings) rules.Series {
	t.Helper()
	for _, s := range rules.ChartsThrough(set, morning(t), rules.Options{}, device, look) {
		if s.Procedure == procedure && s.Feature == feature {
			return s
		}
	}
	t.Fatalf("%s has no chart of %s by %s", device, feature, procedure)
	return rules.Series{}
}

// limitsAlone is the chart of single values without run tests.
func limitsAlone(s chart.Settings) chart.Settings {
	s.Kind, s.Tests = chart.KindIndividuals, chart.Tests{PointBeyond: true}
	return s
}

// signalling lists the days of the points that signal.
func signalling(s *rules.Series) []string {
	var days []string
	for i, p := range s.Result.Points {
		if len(p.Signals) > 0 {
			days = append(days, s.Checks[i].Time.Format("2006-01-02"))
		}
	}
	return days
}

// Every procedure has the kind of chart that the page on statistics names, and
// its readings let that kind be drawn; no digit is coarser than the scatter; and
// but for the stories no chart signals at its last six points.
func TestKinds(t *testing.T) {
	told := []string{"caliper-02 caliper-monthly 100", "scan-02 bar-weekly A-C", "scan-03 bar-detour A-C", "arm-01 bar-arm A", "arm-01 bar-arm A-C", "mic-02 mic-50 25", "mic-02 mic-50 41.3", "mic-02 mic-50 50"}
	seen := map[string]bool{}
	everyChart(t, load(t), func(device string, s *rules.Series) {
		name := device + " " + s.Procedure + " " + s.Feature
		seen[s.Procedure] = true
		if s.Kind != kinds()[s.Procedure] || s.Instead != "" {
			t.Errorf("%s is of kind %s (%s), expected %s", name, s.Kind, s.Instead, kinds()[s.Procedure])
		}
		for _, w := range s.Result.Warnings {
			if w.Code == chart.CoarseResolution {
				t.Errorf("%s: %s", name, w.Sentence)
			}
		}
		for _, p := range slices.Concat(s.Result.Points, s.Result.Range) {
			if p.N > s.Points-6 && len(p.Signals) > 0 && !slices.Contains(told, name) {
				t.Errorf("%s signals at point %d of %d, and no story says so", name, p.N, s.Points)
			}
		}
	})
	if len(seen) != len(kinds()) {
		t.Errorf("charts of %d procedures, expected %d", len(seen), len(kinds()))
	}
}

// A chart of samples is right where the scatter within a check foretells that
// between checks, which the moving ranges of the means tell as they are. Along
// the bar it does not, and the limits from it come out far too narrow.
func TestScatter(t *testing.T) {
	set := load(t)
	everyChart(t, set, func(device string, s *rules.Series) {
		if !chart.Sampled(s.Kind) {
			return
		}
		as := through(t, set, device, s.Procedure, s.Feature, limitsAlone)
		foretold, shown := s.Result.Current().Limits.Sigma, as.Result.Current().Limits.Sigma
		if ratio := shown / foretold; ratio < 0.6 || ratio > 1.5 {
			t.Errorf("%s %s %s: sigma of the means is %.2f µm between checks, %.2f µm by the scatter within them", device, s.Procedure, s.Feature, shown, foretold)
		}
	})
	wrong := through(t, set, "scan-01", "bar-weekly", "A-C", func(s chart.Settings) chart.Settings {
		s.Kind = chart.KindMeanRange
		return s
	})
	if n := wrong.Result.Signalling(); n < wrong.Points/5 {
		t.Errorf("as means with ranges %d of %d points along the bar signal, expected a fifth at least", n, wrong.Points)
	}
}

// The story of mic-02: the cumulative sum finds the small jolt and dates it to
// the day of its return; single values stay inside their limits to the last, and
// the run tests need longer.
func TestJolt(t *testing.T) {
	set := load(t)
	s := through(t, set, "mic-02", "mic-50", "50", nil)
	days := signalling(&s)
	if len(days) == 0 || days[0] != "2026-06-30" || days[len(days)-1] != "2026-10-20" {
		t.Fatalf("signals on %v, expected from 2026-06-30 to the last check", days)
	}
	first := slices.IndexFunc(s.Result.Points, func(p chart.Point) bool { return len(p.Signals) > 0 })
	onset := s.Result.Points[first].Signals[0].Points[0]
	if day := s.Checks[onset-1].Time.Format("2006-01-02"); day != "2026-03-16" {
		t.Errorf("the sum rises from %s, expected 2026-03-16, when it came back", day)
	}
	alone := through(t, set, "mic-02", "mic-50", "50", limitsAlone)
	if days := signalling(&alone); len(days) > 0 {
		t.Errorf("single values signal on %v, expected never", days)
	}
	tests := through(t, set, "mic-02", "mic-50", "50", func(s chart.Settings) chart.Settings {
		s.Kind = chart.KindIndividuals
		return s
	})
	if days := signalling(&tests); len(days) == 0 || days[0] != "2026-10-06" {
		t.Errorf("the run tests signal on %v, expected first on 2026-10-06", days)
	}
}

// The story of arm-01 before its service: the weighted average finds the drift,
// single values never leave their limits.
func TestDrift(t *testing.T) {
	set := load(t)
	s := through(t, set, "arm-01", "bar-arm", "A-C", nil)
	if days := signalling(&s); len(days) < 2 || days[0] != "2025-11-03" || !slices.Contains(days, "2026-02-03") {
		t.Errorf("signals on %v, expected from 2025-11-03 to the check as found", days)
	}
	alone := through(t, set, "arm-01", "bar-arm", "A-C", limitsAlone)
	if days := signalling(&alone); !slices.Equal(days, []string{"2026-11-02"}) {
		t.Errorf("single values signal on %v, expected on 2026-11-02 only, when the check fails", days)
	}
}

// The page's table of run lengths is what the chart package computes for the
// settings of the procedures.
func TestRunLengths(t *testing.T) {
	page, err := os.ReadFile(repository + "/STATISTICS.md")
	if err != nil {
		t.Fatal(err)
	}
	done := map[string]bool{}
	everyChart(t, load(t), func(_ string, s *rules.Series) {
		if done[s.Procedure] {
			return
		}
		done[s.Procedure] = true
		var row strings.Builder
		fmt.Fprintf(&row, "| `%s` | %s |", s.Procedure, s.Kind)
		for _, shift := range []float64{0, 0.5, 1, 2, 3} {
			length, err := chart.RunLength(s.Settings.Scheme(), shift)
			if err != nil {
				t.Fatal(err)
			}
			decimals := 1
			if length >= 100 {
				decimals = 0
			}
			fmt.Fprintf(&row, " %.*f |", decimals, length)
		}
		if !strings.Contains(string(page), row.String()+"\n") {
			t.Errorf("STATISTICS.md has not the row %s", row.String())
		}
	})
}
