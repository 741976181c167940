package rules_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/txtar"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/drift"
	"plumbrule/rules/figure"
	"plumbrule/rules/growth"
	"plumbrule/rules/interval"
)

// repositoryOf changes the base repository and loads it; the base's check, which is later, is left out.
func repositoryOf(t *testing.T, lines string) (*records.Set, time.Time) {
	t.Helper()
	s := read(t, txtar.Parse([]byte("rm checks/scan-02/2026/2026-10-05T0812-bar-weekly.toml\n"+lines)))
	set, diagnostics := records.Load(s.files, records.Options{})
	for _, d := range diagnostics {
		if d.Severity == records.Error && !strings.Contains(lines, "broken") {
			t.Fatal(d)
		}
	}
	return set, s.at
}

// everyDays writes checks of a feature at noon UTC, so many days apart.
func everyDays(from string, days int, feature string, errorsUM ...float64) string {
	var b strings.Builder
	for i, e := range errorsUM {
		fmt.Fprintf(&b, "check %s %s\n", noonAfter(from, days*i), strings.ReplaceAll(feature, "*", fmt.Sprint(e)))
	}
	return b.String()
}

// noonAfter is 12:00 UTC so many days after a date, in the site's time.
func noonAfter(date string, days int) string {
	day, err := time.Parse("2006-01-02", date)
	zone, noZone := calendar.Zone("Europe/Berlin")
	if err != nil || noZone != nil {
		panic(date)
	}
	return day.Add(12*time.Hour).AddDate(0, 0, days).In(zone).Format(time.RFC3339)
}

var (
	twoYears = rules.TrendQuestion{Level: 0.95, Horizon: quantity.Interval{Months: 24}}
	// The errors of a drift made up for tests, with the line, the day 565.2464 on which its 95 % prediction band meets 15 µm,
	// and the day 750 on which it does itself; the figures recomputed in another program.
	drifting = []float64{2, 4, 3, 7, 8, 9, 12}
)

const limit15 = "edit devices/scan-02.toml: mpe = \"30 µm\" -> mpe = \"15 µm\"\n"

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %.9g, want %.9g within %g", what, got, want, within)
	}
}

func valueOf(t *testing.T, what string, f figure.Figure) float64 {
	t.Helper()
	if f.Value == nil {
		t.Fatalf("%s: none: %s", what, f.Reason)
	}
	return *f.Value
}

func oneTrend(t *testing.T, lines string) rules.Trend {
	t.Helper()
	set, at := repositoryOf(t, lines)
	all, err := rules.TrendsOf(set, at, rules.Options{}, "scan-02", twoYears)
	if err != nil || len(all) != 1 {
		t.Fatalf("%d trends, %v", len(all), err)
	}
	return all[0]
}

func TestTrendMeetsTheLimit(t *testing.T) {
	got := oneTrend(t, limit15+"at 2026-09-01T12:00\n"+everyDays("2025-03-05", 90, "A:*", drifting...))
	near(t, "slope", got.Present().Line.Slope, 0.017857143, 5e-10)
	near(t, "intercept", got.Present().Line.Intercept, 1.6071429, 5e-8)
	near(t, "band", valueOf(t, "band", got.Forecast.Day), 565.2464, 0.00005)
	near(t, "line", valueOf(t, "line", got.Forecast.Fitted), 750, 0.05)
	// 12:00 UTC on 2025-03-05 and 565.2464 days are 2026-09-21 19:54 in Berlin.
	if got.Forecast.Outcome != drift.MeetsLimit || got.MeetsOn != (calendar.Date{Year: 2026, Month: 9, Day: 21}) || got.FittedOn != (calendar.Date{Year: 2027, Month: 3, Day: 25}) {
		t.Errorf("%s on %s, line on %s", got.Forecast.Outcome, got.MeetsOn, got.FittedOn)
	}
	if !got.Current || got.LimitVaries() || got.LimitUM() != 15 || got.Robust == nil {
		t.Errorf("current %v, limit %v, varies %v, robust %v", got.Current, got.LimitUM(), got.LimitVaries(), got.Robust)
	}
}

// A line through both stretches would be quite another one.
func TestTrendDoesNotCrossAnAdjustment(t *testing.T) {
	got := oneTrend(t, strings.Replace(limit15, "15 µm", "25 µm", 1)+"at 2025-06-01T12:00\n"+everyDays("2025-03-05", 8, "A:*", 14, 9, 5, 1)+
		"event scan-02 2025-04-01T10:00 adjustment as-found=\"none\" reason=\"field calibration\"\n"+everyDays("2025-04-05", 9, "A:*", drifting...))
	if len(got.Segments) != 2 || len(got.Adjusted) != 1 || got.Present().First != 4 {
		t.Fatalf("segments %+v", got.Segments)
	}
	near(t, "slope before", got.Segments[0].Line.Slope, -0.5375, 1e-9) // −4·21.5/(8·20), by hand
	near(t, "slope after", got.Present().Line.Slope, 0.17857143, 5e-9)
	near(t, "band", valueOf(t, "band", got.Forecast.Day), 31+102.43149, 0.000005) // met on day 1024.3149 if days are 90 apart
}

func TestTrendGoesOnAfterACertificateOfTheArtifact(t *testing.T) {
	again := `-- certificates/bar-3s/2026-01-20-K-207.toml --
subject = "bar-3s"
number = "K-207"
date = 2026-01-20
laboratory = "Lab"
entered = 2026-01-25T09:00:00+01:00
by = "mk"
[[value]]
feature = "A"
value = "29.9990 mm"
uncertainty = "0.8 µm (k = 2)"
[review]
by = "rs"
date = 2026-01-25
outcome = "accepted"
`
	got := oneTrend(t, limit15+"at 2026-09-01T12:00\n"+everyDays("2025-03-05", 90, "A:*", drifting...)+again)
	near(t, "band", valueOf(t, "band", got.Forecast.Day), 565.2464, 0.00005)
	if len(got.Recertified) != 1 {
		t.Fatalf("recertified %+v", got.Recertified)
	}
	near(t, "U of the change", valueOf(t, "U", got.Recertified[0].ExpandedUM), 1, 1e-12) // √(0.6² + 0.8²)
	near(t, "change", got.Recertified[0].ChangeUM, 0, 0)
}

func TestTrendSaysWhyItForetellsNothing(t *testing.T) {
	checks := limit15 + "at 2026-09-01T12:00\n" + everyDays("2025-03-05", 90, "A:*", drifting...)
	for name, c := range map[string]struct {
		lines   string
		outcome drift.Outcome
		reason  string
		current bool
	}{
		"adjusted since":      {checks + "event scan-02 2026-08-30T10:00 adjustment as-found=\"none\" reason=\"field calibration\"\n", drift.NoLine, "nothing was checked since the adjustment of 2026-08-30", false},
		"an unreadable event": {checks + "-- events/scan-02/2026-08-30-broken.toml --\nbroken", drift.NoLine, "events/scan-02/2026-08-30-broken.toml cannot be read, and it may tell of an adjustment", true},
		"no drift":            {limit15 + "at 2026-09-01T12:00\n" + everyDays("2025-03-05", 90, "A:*", 2, 4, 2, 4, 2, 4, 2), drift.NoTrend, "not significant", true},
		"beyond":              {strings.Replace(checks, "15 µm", "13 µm", 1), drift.BeyondAlready, "the limits are -13 and 13 µm", true},
		"two points":          {limit15 + "at 2026-09-01T12:00\n" + everyDays("2025-03-05", 90, "A:*", 2, 4), drift.NoLine, "2 points, expected at least 3", true},
	} {
		t.Run(name, func(t *testing.T) {
			got := oneTrend(t, c.lines)
			if got.Forecast.Outcome != c.outcome || !strings.Contains(got.Forecast.Reason, c.reason) || got.Current != c.current || !got.MeetsOn.IsZero() {
				t.Errorf("%s: %s, current %v, on %s", got.Forecast.Outcome, got.Forecast.Reason, got.Current, got.MeetsOn)
			}
		})
	}
}

// Form errors are never negative: one that falls does not drift towards −MPE, and one that rises meets the upper limit only.
func TestTrendOfAOneSidedQuantity(t *testing.T) {
	const form = `edit artifacts/bar-3s.toml: [[feature]]\nname = "C" -> [[feature]]\nname = "A form"\nquantity = "form"\nnominal = "0.4 µm"\n[[feature]]\nname = "C"
edit certificates/bar-3s/2025-01-06-K-113.toml: [[value]]\nfeature = "C" -> [[value]]\nfeature = "A form"\nvalue = "0.4 µm"\nuncertainty = "0.1 µm (k = 2)"\n[[value]]\nfeature = "C"
edit procedures/bar-weekly.toml: [[feature]]\nname = "A-C" -> [[feature]]\nname = "A form"\n[[feature]]\nname = "A-C"
at 2026-09-01T12:00
`
	checks := func(limit string, errorsUM ...float64) string {
		return form + everyDays("2025-03-05", 90, "A_form:*", errorsUM...) + "-- devices/scan-02.toml+ --\n[[limit]]\nquantity = \"form\"\nmpe = \"" + limit + "\"\n"
	}
	rising := oneTrend(t, checks("15 µm", 2, 4, 3, 7, 8, 9, 12))
	near(t, "band", valueOf(t, "band", rising.Forecast.Day), 565.2464, 0.00005)
	falling := oneTrend(t, checks("15 µm", 12, 9, 8, 7, 3, 4, 2))
	if falling.Forecast.Outcome != drift.NotWithinHorizon || falling.Forecast.LimitUM.Value != nil {
		t.Errorf("%s: %s", falling.Forecast.Outcome, falling.Forecast.Reason)
	}
	beyond := oneTrend(t, checks("13 µm", 2, 4, 3, 7, 8, 9, 12))
	if beyond.Forecast.Outcome != drift.BeyondAlready || !strings.HasSuffix(beyond.Forecast.Reason, "µm, the limit is 13 µm") {
		t.Errorf("%s: %s", beyond.Forecast.Outcome, beyond.Forecast.Reason)
	}
}

// With two paths the estimate has a closed form: six errors each of mean 2 and standard deviation 1 over 1 m, of mean 10 and
// standard deviation 3 over 5 m, make a scale error of (10−2)/4 and a spread that grows by (3−1)/4.
func TestPathGrowthOfRecords(t *testing.T) {
	var b strings.Builder
	for i, unit := range []float64{-1.5, -1, -0.5, 0.5, 1, 1.5} { // sum of squares 7
		z := unit * math.Sqrt(5.0/7)
		fmt.Fprintf(&b, "check %s A-C:%.9f@1\n", noonAfter("2026-04-01", 2*i), 2+z)
		fmt.Fprintf(&b, "check %s A-C:%.9f@5\n", noonAfter("2026-04-01", 2*i+1), 10+3*z)
	}
	before := "check 2026-03-10T08:00 A-C:90@3\nevent scan-02 2026-03-20T10:00 adjustment as-found=\"none\" reason=\"field calibration\"\n"
	set, now := repositoryOf(t, "at 2026-09-01T12:00\n"+before+b.String())
	all, err := rules.PathGrowthsOf(set, now, rules.Options{}, "scan-02", growth.Settings{})
	if err != nil || len(all) != 1 {
		t.Fatalf("%d limits, %v", len(all), err)
	}
	g := all[0]
	const rounded = 2e-3 // readings have 1 nm
	near(t, "scale error", valueOf(t, "scale", g.Scale.PerMetreUM.Estimate), 2, rounded)
	near(t, "growth of the spread", valueOf(t, "spread", g.Spread.PerMetreUM.Estimate), 0.5, rounded)
	if len(g.Points) != 12 || g.Since.File != "events/scan-02/2026-03-20-adjustment.toml" || g.Averaged != 0 || g.Points[0].MPEUM != 75 || g.Checks[0].Feature != "A-C" {
		t.Errorf("%d points since %v, %d averaged, limit %v", len(g.Points), g.Since, g.Averaged, g.Points[0].MPEUM)
	}
	capped, now := repositoryOf(t, "edit devices/scan-02.toml: mpe = \"25 µm + 50 µm/m\" -> mpe = \"min(25 µm + 50 µm/m, 120 µm)\"\nat 2026-09-01T12:00\n"+b.String())
	all, err = rules.PathGrowthsOf(capped, now, rules.Options{}, "scan-02", growth.Settings{})
	if err != nil || len(all) != 1 || !strings.Contains(all[0].Why, "capped at 120 µm") {
		t.Errorf("%v, %v", all, err)
	}
}

// In months from a calibration the line is the same: the band meets 15 µm 565.2464 days after the first point, which was 365
// days before the calibration.
func TestLinesSince(t *testing.T) {
	trend := oneTrend(t, limit15+"at 2026-09-01T12:00\n"+everyDays("2025-03-05", 90, "A:*", drifting...))
	zone, err := calendar.Zone("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	lines, why := rules.LinesSince([]rules.Trend{trend}, calendar.Date{Year: 2026, Month: 3, Day: 5}, zone)
	if len(lines) != 1 || why != "" {
		t.Fatalf("%d lines, %q", len(lines), why)
	}
	p, err := interval.ControlChart{Limit: lines[0].LimitUM, Confidence: 0.95}.Next(12, lines[0].Line)
	if err != nil {
		t.Fatal(err)
	}
	// The first point was taken at 13:00, the calibration counts from midnight.
	near(t, "months", *p.ProposedMonths, (565.2464-365+13.0/24)/rules.DaysPerMonth, 0.00005/rules.DaysPerMonth)

	trend.Adjusted = []rules.Restart{{Time: time.Date(2026, 4, 1, 12, 0, 0, 0, time.UTC)}}
	if lines, why := rules.LinesSince([]rules.Trend{trend}, calendar.Date{Year: 2026, Month: 3, Day: 5}, zone); len(lines) != 0 || !strings.Contains(why, "adjusted after") {
		t.Errorf("%d lines, %q", len(lines), why)
	}
}
