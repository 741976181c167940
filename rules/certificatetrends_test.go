package rules_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules"
	"plumbrule/rules/drift"
)

// deviceCertificate writes one with a diameter's error as found and, if the device was adjusted, as left.
func deviceCertificate(number, date, found, left string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "-- certificates/scan-02/%s-%s.toml --\nsubject = \"scan-02\"\nnumber = %q\ndate = %s\nlaboratory = \"Lab\"\nentered = %sT15:00:00Z\nby = \"mk\"\n", date, number, number, date, date)
	if left != "" {
		b.WriteString("adjusted = true\n")
	}
	for table, e := range map[string]string{"as-found": found, "as-left": left} {
		if e != "" {
			fmt.Fprintf(&b, "[[%s]]\nquantity = \"diameter\"\nlength = \"30 mm\"\nerror = \"%s µm\"\nuncertainty = \"2 µm (k = 2)\"\n", table, e)
		}
	}
	fmt.Fprintf(&b, "[review]\nby = \"rs\"\ndate = %s\noutcome = \"accepted\"\n", date)
	return b.String()
}

func steps(list []rules.Step, breaks []rules.Break) string {
	var b strings.Builder
	for _, s := range list {
		fmt.Fprintf(&b, "%s to %s: %+.2f in %d days, U %.4f, ratio %.4f\n", s.From.Certificate.Number, s.To.Certificate.Number, s.ChangeUM, s.Days, *s.ExpandedUM.Value, *s.Ratio.Value)
	}
	for _, x := range breaks {
		fmt.Fprintf(&b, "not to %s: %s\n", x.To.Number, x.Why)
	}
	return b.String()
}

// The base's certificate found 4 µm on 2026-03-01. U of each is 2 µm with k = 2, so U of a change is 2·√2 = 2.8284 µm.
func TestErrorTrendsOf(t *testing.T) {
	const at = "at 2031-01-01T12:00\n"
	for name, c := range map[string]struct {
		lines, want string
		outcome     drift.Outcome
	}{
		"as found to as found": {deviceCertificate("a", "2027-03-01", "12", ""), "S-9 to a: +8.00 in 365 days, U 2.8284, ratio 2.8284\n", drift.NoLine},
		"as left to the next as found": {
			deviceCertificate("a", "2027-03-01", "12", "1") + deviceCertificate("b", "2028-03-01", "5", ""),
			"S-9 to a: +8.00 in 365 days, U 2.8284, ratio 2.8284\na to b: +4.00 in 366 days, U 2.8284, ratio 1.4142\n", drift.NoLine,
		},
		"not across an adjustment in between": {
			"event scan-02 2026-09-01T10:00 adjustment as-found=\"none\" reason=\"field calibration\"\n" + deviceCertificate("a", "2027-03-01", "12", "") + deviceCertificate("b", "2028-03-01", "9", ""),
			"a to b: -3.00 in 366 days, U 2.8284, ratio 1.0607\nnot to a: the adjustment of 2026-09-01 lies before it\n", drift.NoLine,
		},
		"not from what was not stated as left": {
			strings.Replace(deviceCertificate("a", "2027-03-01", "12", "1"), "[[as-left]]\nquantity = \"diameter\"\nlength = \"30 mm\"", "[[as-left]]\nquantity = \"distance\"\nlength = \"800 mm\"\npath = \"1 m\"", 1) +
				deviceCertificate("b", "2028-03-01", "9", ""),
			"S-9 to a: +8.00 in 365 days, U 2.8284, ratio 2.8284\nnot to b: certificate a adjusted the device and does not state this error as left\n", drift.NoLine,
		},
		"a line from the third on": {
			deviceCertificate("a", "2027-03-01", "6", "") + deviceCertificate("b", "2028-03-01", "8", "") + deviceCertificate("c", "2029-03-01", "10.5", ""),
			"S-9 to a: +2.00 in 365 days, U 2.8284, ratio 0.7071\na to b: +2.00 in 366 days, U 2.8284, ratio 0.7071\nb to c: +2.50 in 365 days, U 2.8284, ratio 0.8839\n", drift.NotWithinHorizon,
		},
		"adjusted since": {
			deviceCertificate("a", "2027-03-01", "6", "") + deviceCertificate("b", "2028-03-01", "8", "") + "-- events/scan-02/2029-01-01-adjustment.toml --\n" +
				"subject = \"scan-02\"\nkind = \"adjustment\"\ntime = 2029-01-01T10:00:00+01:00\nentered = 2029-01-01T10:00:00+01:00\nby = \"rs\"\nas-found = \"none\"\nreason = \"x\"\n",
			"S-9 to a: +2.00 in 365 days, U 2.8284, ratio 0.7071\na to b: +2.00 in 366 days, U 2.8284, ratio 0.7071\n", drift.NoLine,
		},
	} {
		t.Run(name, func(t *testing.T) {
			set, now := repositoryOf(t, at+c.lines)
			all, err := rules.ErrorTrendsOf(set, now, rules.Options{}, "scan-02", twoYears)
			if err != nil || len(all) != 1 {
				t.Fatalf("%d, %v", len(all), err)
			}
			if diff := cmp.Diff(c.want, steps(all[0].Steps, all[0].Breaks)); diff != "" {
				t.Error(diff)
			}
			if f := all[0].Forecast; f.Outcome != c.outcome || f.Reason == "" {
				t.Errorf("%s: %s", f.Outcome, f.Reason)
			}
		})
	}
	set, now := repositoryOf(t, at)
	if all, err := rules.ErrorTrendsOf(set, now, rules.Options{}, "scan-02", twoYears); err != nil || len(all) != 0 {
		t.Errorf("of one certificate: %v, %v", all, err)
	}
}

// artifactCertificate writes one of the base's artifact, or of another one like it.
func artifactCertificate(artifact, number, date, diameterMM, distanceMM string) string {
	return fmt.Sprintf(`-- certificates/%[1]s/%[3]s-%[2]s.toml --
subject = %[1]q
number = %[2]q
date = %[3]s
laboratory = "Lab"
entered = %[3]sT15:00:00Z
by = "mk"
[[value]]
feature = "A"
value = "%[4]s mm"
uncertainty = "0.6 µm (k = 2)"
[[value]]
feature = "A-C"
value = "%[5]s mm"
uncertainty = "1.6 µm (k = 2)"
[review]
by = "rs"
date = %[3]s
outcome = "accepted"
`, artifact, number, date, diameterMM, distanceMM)
}

// U of a change of A is √(0.6² + 0.6²) = 0.8485 µm, of A-C √2·1.6 = 2.2627 µm. The line of 0, +0.6, +1.8 µm over 0, 365, 730
// days rises by 1.8/730 µm a day, and leaves residuals of 0.1, −0.2, 0.1.
func TestValueTrendsOf(t *testing.T) {
	three := artifactCertificate("bar-3s", "K-2", "2026-01-06", "29.9996", "800.0150") + artifactCertificate("bar-3s", "K-3", "2027-01-06", "30.0008", "800.0150")
	set, now := repositoryOf(t, "at 2027-06-01T12:00\n"+three)
	all, err := rules.ValueTrendsOf(set, now, rules.Options{}, "bar-3s", 0.95)
	if err != nil || len(all) != 3 {
		t.Fatalf("%d, %v", len(all), err)
	}
	want := "K-113 to K-2: +0.60 in 365 days, U 0.8485, ratio 0.7071\nK-2 to K-3: +1.20 in 365 days, U 0.8485, ratio 1.4142\n"
	if diff := cmp.Diff(want, steps(all[0].Steps, all[0].Breaks)); diff != "" || all[0].Feature.Name != "A" {
		t.Error(diff)
	}
	near(t, "slope", all[0].Line.Slope, 1.8/730, 1e-12)
	near(t, "residual", all[0].Line.ResidualSD, 0.244948974, 1e-8) // √0.06
	if all[1].Line != nil || !strings.Contains(all[1].NoLine, "1 points") {
		t.Errorf("C has one value: %+v", all[1])
	}
	set, now = repositoryOf(t, "at 2027-06-01T12:00\nevent bar-3s 2026-05-01T10:00 repair reason=\"sphere cemented anew\"\n"+three)
	if all, err = rules.ValueTrendsOf(set, now, rules.Options{}, "bar-3s", 0.95); err != nil {
		t.Fatal(err)
	}
	want = "K-113 to K-2: +0.60 in 365 days, U 0.8485, ratio 0.7071\nnot to K-3: the repair of 2026-05-01 lies before it\n"
	if diff := cmp.Diff(want, steps(all[0].Steps, all[0].Breaks)); diff != "" || all[0].Line != nil || all[0].Since != 2 {
		t.Errorf("%s, since %d", diff, all[0].Since)
	}
}

// Two bars, measured on the same days; scatter of the same few values throughout. Common practice, no source.
func TestDriftCausesOf(t *testing.T) {
	second := strings.ReplaceAll(`-- artifacts/bar-b.toml --
kind = "ball bar"
serial = "BB-8"
in-service = 2025-01-10
expansion = "11.5e-6/K"
expansion-uncertainty = "±1e-6/K (rectangular)"
entered = 2025-01-10T09:00:00+01:00
by = "mk"
[calibration]
interval = "24 months"
[[feature]]
name = "A"
quantity = "diameter"
nominal = "30 mm"
[[feature]]
name = "C"
quantity = "diameter"
nominal = "30 mm"
[[feature]]
name = "A-C"
quantity = "distance"
nominal = "800 mm"
between = ["A", "C"]
`, "\t", "") + artifactCertificate("bar-b", "K-9", "2025-01-20", "29.9990", "800.0150")
	checks := func(sizeHere, distanceHere, sizeThere float64) string {
		var b strings.Builder
		for i, z := range []float64{0.2, -0.3, 0.1, 0.4, -0.2, -0.4, 0.3} {
			day := float64(30 * i)
			fmt.Fprintf(&b, "check %s A:%.6f A-C:%.6f@2.6\n", noonAfter("2026-01-10", 30*i), sizeHere*day+z, distanceHere*day-z)
			fmt.Fprintf(&b, "check %s A:%.6f artifact=bar-b\n", noonAfter("2026-01-11", 30*i), sizeThere*day+z)
		}
		return "at 2026-08-01T12:00\n" + b.String() + second
	}
	for name, c := range map[string]struct {
		lines    string
		cause    drift.Cause
		artifact string
	}{
		"drifts on both":                       {checks(0.02, 0.02, 0.02), drift.DeviceDrift, ""},
		"size drifts on one, distance with it": {checks(0.02, 0.02, 0), drift.ArtifactDrift, "bar-3s"},
		"size drifts on one, distance holds":   {checks(0.02, 0, 0), drift.SphereSurface, "bar-3s"},
		"nothing drifts":                       {checks(0, 0, 0), "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			set, now := repositoryOf(t, c.lines)
			got, err := rules.DriftCausesOf(set, now, rules.Options{}, "scan-02", 0.95)
			if err != nil || len(got.Witnesses) != 3 {
				t.Fatalf("%+v, %v", got.Witnesses, err)
			}
			var about []drift.Finding
			for _, f := range got.Findings {
				if f.Quantity == drift.Size {
					about = append(about, f)
				}
			}
			if c.cause == "" {
				if len(about) > 0 {
					t.Errorf("%+v", about)
				}
				return
			}
			if len(about) != 1 || about[0].Cause != c.cause || about[0].Artifact != c.artifact {
				t.Errorf("%+v", about)
			}
		})
	}
}

// The series with the most checks speaks for its artifact, and a certificate of the artifact gives its own rate of change: from
// K-113 to K-2 7.3 µm in 365 days, ± 1.96/2 of U = 0.8485 µm.
func TestDriftCausesOfRestOn(t *testing.T) {
	var b strings.Builder
	for i, z := range []float64{0.2, -0.3, 0.1, 0.4, -0.2, -0.4, 0.3} {
		other := ""
		if i > 3 {
			other = fmt.Sprintf("C:%g ", z)
		}
		fmt.Fprintf(&b, "check %s %sA:%.6f\n", noonAfter("2026-01-10", 30*i), other, 0.6*float64(i)+z)
	}
	certificate := strings.Replace(artifactCertificate("bar-3s", "K-2", "2026-01-06", "30.0063", "800.0150"), "[[value]]", "[[value]]\nfeature = \"C\"\nvalue = \"29.9990 mm\"\nuncertainty = \"0.6 µm (k = 2)\"\n[[value]]", 1)
	set, now := repositoryOf(t, "at 2026-08-01T12:00\n"+b.String()+certificate)
	got, err := rules.DriftCausesOf(set, now, rules.Options{}, "scan-02", 0.95)
	if err != nil || len(got.Witnesses) != 1 || got.Witnesses[0].Feature != "A" || got.Witnesses[0].Points != 7 {
		t.Fatalf("%+v, %v", got.Witnesses, err)
	}
	if len(got.Slopes) != 2 || !got.Slopes[1].Certificates {
		t.Fatalf("%+v", got.Slopes)
	}
	near(t, "rate", *got.Slopes[1].PerDayUM.Value, 0.02, 1e-9)
	near(t, "its lower end", *got.Slopes[1].Lower.Value, (7.3-0.83155)/365, 1e-6)
	if len(got.Findings) != 1 || got.Findings[0].Cause != drift.ArtifactDrift {
		t.Errorf("%+v", got.Findings)
	}
	// A certificate after the checks spans them, and is nearer than the one before: 29.9990 to 30.0063 mm, 30.0136 mm.
	later := strings.NewReplacer("2026-01-06", "2026-07-30", "K-2", "K-3", "30.0063", "30.0136").Replace(certificate)
	set, now = repositoryOf(t, "at 2026-08-01T12:00\n"+b.String()+certificate+later)
	if got, err = rules.DriftCausesOf(set, now, rules.Options{}, "scan-02", 0.95); err != nil || len(got.Slopes) != 2 {
		t.Fatalf("%+v, %v", got.Slopes, err)
	}
	near(t, "rate", *got.Slopes[1].PerDayUM.Value, 7.3/205, 1e-9)

	adjusted := "event scan-02 2026-07-31T10:00 adjustment as-found=\"none\" reason=\"field calibration\"\n"
	set, now = repositoryOf(t, "at 2026-08-01T12:00\n"+adjusted+b.String()+certificate)
	if got, err = rules.DriftCausesOf(set, now, rules.Options{}, "scan-02", 0.95); err != nil || len(got.Witnesses) != 0 {
		t.Errorf("of before an adjustment: %+v, %v", got.Witnesses, err)
	}
}
