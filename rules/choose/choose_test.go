package choose_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/choose"
	"plumbrule/rules/figure"
)

func date(tb testing.TB, text string) calendar.Date {
	tb.Helper()
	d, err := calendar.ParseDate(text)
	if err != nil {
		tb.Fatal(err)
	}
	return d
}

func length(tb testing.TB, text string) quantity.Length {
	tb.Helper()
	l, err := quantity.ParseLength(text)
	if err != nil {
		tb.Fatal(err)
	}
	return l
}

// device makes a fit device with one limit for distances.
func device(tb testing.TB, id, mpe, counts string) rules.Device {
	tb.Helper()
	m, err := quantity.ParseMPE(mpe)
	if err != nil {
		tb.Fatal(err)
	}
	record := &records.Device{ID: id, File: "devices/" + id + ".toml", Limits: []records.Limit{{Quantity: records.Distance, MPE: m, Length: counts, Line: 9}}}
	return rules.Device{ID: id, Record: record, Fitness: rules.Fit, Calibration: rules.Due{What: "calibration", State: rules.Ahead, Date: date(tb, "2027-01-31")}}
}

func ask(tb testing.TB, tolerance, straight, path string) choose.Job {
	tb.Helper()
	n := choose.Need{Quantity: records.Distance, Tolerance: length(tb, tolerance), Length: length(tb, straight)}
	if path != "" {
		n.Path = length(tb, path)
	}
	return choose.Job{Needs: []choose.Need{n}}
}

func choice(tb testing.TB, ratio float64, job choose.Job, devices ...rules.Device) choose.Choice {
	tb.Helper()
	set := &records.Set{Site: &records.Site{Zone: time.UTC, Choose: records.SiteChoose{MinimumRatio: ratio}}, Devices: map[string]*records.Device{}}
	a := &rules.Assessment{At: time.Date(2026, 11, 2, 7, 0, 0, 0, time.UTC), Today: date(tb, "2026-11-02"), Devices: devices}
	c, err := choose.For(set, a, rules.Options{}, job)
	if err != nil {
		tb.Fatal(err)
	}
	return c
}

// The bounds are 20 + 15·2 and 20 + 15·1 by hand; the longest paths are (50/1 - 20)/15 = 2 m and so on.
func TestBoundAlongThePath(t *testing.T) {
	for _, c := range []struct {
		path            string
		bound, share    float64
		standing        choose.Standing
		longest         float64
		assumedStraight bool
	}{
		{"2 m", 50, 1, choose.Suitable, 2, false},
		{"1 m", 35, 0.7, choose.Suitable, 2, false},
		{"2.001 m", 50.015, 1.0003, choose.Conditional, 2, false},
		{"", 35, 0.7, choose.Suitable, 2, true},
	} {
		x := choice(t, 1, ask(t, "0.1 mm", "1 m", c.path), device(t, "scan-01", "20 µm + 15 µm/m", records.PathLength)).Candidates[0]
		a := x.Answers[0]
		if *a.BoundUM.Value != c.bound || math.Abs(*a.Share.Value-c.share) > 1e-12 || x.Standing != c.standing || *a.LongestM.Value != c.longest || a.PathAssumed != c.assumedStraight {
			t.Errorf("path %q: bound %v, share %v, %s, longest %v, assumed %v; want %+v", c.path, *a.BoundUM.Value, *a.Share.Value, x.Standing, *a.LongestM.Value, a.PathAssumed, c)
		}
	}
}

// (0.3 - 0.1)/0.1 is 2 on paper and a little less in binary numbers: the last millimetre is not lost.
func TestLongestPathIsNotRoundedAway(t *testing.T) {
	x := choice(t, 1, ask(t, "0.6 µm", "1 m", ""), device(t, "a", "0.1 µm + 0.1 µm/m", records.PathLength)).Candidates[0]
	if got := *x.Answers[0].LongestM.Value; got != 2 {
		t.Errorf("%v m, want 2", got)
	}
}

// Of a longer way that does not hold it says which would; where even the straight line does not, nothing is promised.
func TestShorterPathMends(t *testing.T) {
	d := device(t, "scan-01", "20 µm + 15 µm/m", records.PathLength)
	x := choice(t, 1, ask(t, "0.1 mm", "1.5 m", "3 m"), d).Candidates[0]
	if x.Standing != choose.Conditional || x.Obstacles[0].Step != "travel at most 2.000 m" {
		t.Errorf("%s: %+v", x.Standing, x.Obstacles)
	}
	x = choice(t, 1, ask(t, "0.1 mm", "2.5 m", "3 m"), d).Candidates[0]
	if x.Standing != choose.Unsuitable || x.Obstacles[0].Step != "" {
		t.Errorf("%s: %+v", x.Standing, x.Obstacles)
	}
}

// Where nothing is stated a bound may be a quarter of half the tolerance (common practice, no source): 12.5 µm of 50 µm.
func TestRatioAsked(t *testing.T) {
	for _, c := range []struct {
		mpe      string
		ratio    float64
		standing choose.Standing
	}{
		{"12.5 µm", 0, choose.Suitable},
		{"12.6 µm", 0, choose.Unsuitable},
		{"25 µm", 2, choose.Suitable},
		{"25.1 µm", 2, choose.Unsuitable},
	} {
		if x := choice(t, c.ratio, ask(t, "0.1 mm", "1 m", ""), device(t, "a", c.mpe, "")).Candidates[0]; x.Standing != c.standing {
			t.Errorf("%s at ratio %v: %s, want %s", c.mpe, c.ratio, x.Standing, c.standing)
		}
	}
}

// On the edge of a zone that is wide against u half the values conform: Φ(0) = 0.5. A value is proved inside at 95 % up to
// 1.64485 u from the edge, JCGM 106:2012, 7.3.3, table 1 (more digits computed from the normal law); u is the bound over √3.
func TestEdgeOfTheTolerance(t *testing.T) {
	a := choice(t, 1, ask(t, "1 mm", "1 m", ""), device(t, "a", "35 µm", "")).Candidates[0].Answers[0]
	if want := 500 - 1.644853627*35/math.Sqrt(3); math.Abs(*a.AcceptUM.Value-want) > 1e-6 || math.Abs(*a.Probability.Value-0.5) > 1e-12 {
		t.Errorf("accepted up to %v with %v on the edge, want %v and 0.5", *a.AcceptUM.Value, *a.Probability.Value, want)
	}
	// Limits 3.92 u apart are the least between which anything is proved at 95 % (Φ(1.96) = 0.975).
	a = choice(t, 1, ask(t, "0.1 mm", "1 m", ""), device(t, "a", "90 µm", "")).Candidates[0].Answers[0]
	if a.AcceptUM.Value != nil || !strings.Contains(a.AcceptUM.Reason, "too narrow") {
		t.Errorf("%+v", a.AcceptUM)
	}
}

// 2 m of bronze, 17e-6/K, 4 K too warm: 136 µm by hand. With 200 µm allowed and a bound of 156 µm, 44 µm are left: 1.29 K.
func TestTemperature(t *testing.T) {
	job := ask(t, "1.6 mm", "2 m", "3.4 m")
	expansion, err := quantity.ParseExpansion("17e-6/K")
	if err != nil {
		t.Fatal(err)
	}
	job.Climate = &choose.Climate{LowCelsius: 18, HighCelsius: 24, Expansion: expansion}
	optical := device(t, "optical", "20 µm + 40 µm/m", records.PathLength)
	steel := device(t, "steel", "20 µm + 40 µm/m", records.PathLength)
	steel.Record.Scale = records.Scale{Material: true, Expansion: expansion}
	c := choice(t, 4, job, optical, steel)
	if x := c.Candidates[0]; x.Device.ID != "steel" || x.Standing != choose.Suitable || x.Answers[0].ThermalUM != 0 {
		t.Errorf("a scale that expands like the part: %s %s, %v µm", x.Device.ID, x.Standing, x.Answers[0].ThermalUM)
	}
	x := c.Candidates[1]
	if a := x.Answers[0]; math.Abs(a.ThermalUM-136) > 1e-9 || math.Abs(*a.BoundUM.Value-292) > 1e-9 || x.Standing != choose.Conditional {
		t.Errorf("optical: %v µm, bound %v µm, %s", a.ThermalUM, *a.BoundUM.Value, x.Standing)
	}
	if o := x.Obstacles[0]; o.Kind != choose.Temperature || !strings.Contains(o.Step, "± 1.2 °C") {
		t.Errorf("%+v", o)
	}
}

func TestStanding(t *testing.T) {
	job := ask(t, "1 mm", "1 m", "")
	job.End = date(t, "2026-11-20")
	good := device(t, "good", "20 µm", "")
	soon := device(t, "soon", "20 µm", "")
	soon.Calibration.Date = date(t, "2026-11-19")
	onTheDay := device(t, "on-the-day", "20 µm", "")
	onTheDay.Calibration.Date = date(t, "2026-11-20")
	unfit := device(t, "unfit", "20 µm", "")
	unfit.Fitness, unfit.Reasons = rules.Unfit, []rules.Reason{{Code: "withdrawn", Effect: rules.Unfit, Sentence: "withdrawn since 2026-08-18"}}
	late := device(t, "late", "20 µm", "")
	late.Fitness, late.Reasons = rules.Unfit, []rules.Reason{{Code: "check-overdue", Effect: rules.Unfit, Sentence: "late"}}
	late.Checks = []rules.Due{{What: "bar", State: rules.Overdue, Date: date(t, "2026-11-01")}}
	limited := device(t, "limited", "20 µm", "")
	limited.Fitness, limited.May = rules.Limited, nil
	within := device(t, "within", "20 µm", "")
	within.Fitness, within.May = rules.Limited, []rules.Scope{{Quantity: records.Distance, Limit: &within.Record.Limits[0], UpTo: length(t, "1 m")}}
	retired := device(t, "retired", "20 µm", "")
	retired.Service.State = rules.Retired
	other := device(t, "other", "20 µm", "")
	other.Record.Limits[0].UpTo = length(t, "999 mm")
	got := map[string]choose.Candidate{}
	var order []string
	for _, x := range choice(t, 0, job, other, unfit, limited, late, soon, within, onTheDay, good, retired).Candidates {
		got[x.Device.ID] = x
		order = append(order, x.Device.ID)
	}
	if want := "good on-the-day within late soon limited unfit other"; strings.Join(order, " ") != want {
		t.Errorf("order %v, want %s", order, want)
	}
	for id, want := range map[string]struct {
		standing choose.Standing
		kind     choose.Kind
		step     string
	}{
		"soon":    {choose.Conditional, choose.Calibration, "have it calibrated by 2026-11-19"},
		"late":    {choose.Conditional, choose.Check, "make check bar first"},
		"unfit":   {choose.Unsuitable, choose.Fitness, "check it, then record a return-to-service event that names the check"},
		"limited": {choose.Unsuitable, choose.Fitness, ""},
		"other":   {choose.Unsuitable, choose.NoLimit, ""},
	} {
		x := got[id]
		if x.Standing != want.standing || len(x.Obstacles) != 1 || x.Obstacles[0].Kind != want.kind || x.Obstacles[0].Step != want.step {
			t.Errorf("%s: %s %+v; want %+v", id, x.Standing, x.Obstacles, want)
		}
	}
}

func TestRefuses(t *testing.T) {
	for field, job := range map[string]choose.Job{
		"needs":       {},
		"tolerance":   {Needs: []choose.Need{{Quantity: records.Distance, Length: length(t, "1 m")}}},
		"length":      {Needs: []choose.Need{{Quantity: records.Distance, Tolerance: length(t, "1 mm")}}},
		"path":        ask(t, "1 mm", "2 m", "1.999 m"),
		"end":         {Begin: date(t, "2026-11-02"), End: date(t, "2026-11-01"), Needs: ask(t, "1 mm", "2 m", "").Needs},
		"temperature": {Climate: &choose.Climate{LowCelsius: 24, HighCelsius: 18}, Needs: ask(t, "1 mm", "2 m", "").Needs},
	} {
		_, err := choose.For(&records.Set{}, &rules.Assessment{}, rules.Options{}, job)
		if f, ok := errors.AsType[*figure.InputError](err); !ok || f.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}
