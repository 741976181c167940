package rules_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// certified writes a certificate of the base's device, as the parts of a test
// want it: errors are "diameter 12" or "distance 40@1.0", in µm and metres.
func certified(number, date, more string, found ...string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "-- certificates/scan-02/%s-%s.toml --\nsubject = \"scan-02\"\nnumber = %q\ndate = %s\nlaboratory = \"Lab\"\nentered = %sT15:00:00Z\nby = \"mk\"\n",
		date, number, number, date, date)
	if strings.Contains(more, "adjusted") {
		b.WriteString("adjusted = true\n")
	}
	write := func(table string) {
		for _, f := range found {
			what, size, _ := strings.Cut(f, " ")
			size, path, _ := strings.Cut(size, "@")
			length := map[string]string{"diameter": "30 mm", "distance": "800 mm"}[what]
			fmt.Fprintf(&b, "[[%s]]\nquantity = %q\nlength = %q\nerror = \"%s µm\"\nuncertainty = \"2 µm (k = 2)\"\n", table, what, length, size)
			if path != "" {
				fmt.Fprintf(&b, "path = \"%s m\"\n", path)
			}
		}
	}
	if !strings.Contains(more, "without as-found") {
		write("as-found")
	}
	if strings.Contains(more, "adjusted") {
		write("as-left")
	}
	if !strings.Contains(more, "unreviewed") {
		outcome := "accepted"
		if strings.Contains(more, "sent back") {
			outcome = "sent back\"\nreason = \"wrong unit"
		}
		fmt.Fprintf(&b, "[review]\nby = \"rs\"\ndate = %s\noutcome = \"%s\"\n", date, outcome)
	}
	return b.String()
}

// The base's device has one certificate, of 2026-03-01, for diameter. Its limits are 30 µm for a diameter and
// 25 µm + 50 µm/m for a distance; the rule asks for proof with U = 2 µm (ISO 14253-1:2017). Worked by hand.
func TestOutcomes(t *testing.T) {
	const rule, gone = "at 2030-01-01T12:00\n", "rm certificates/scan-02/2026-03-01-S-9.toml\n"
	for name, c := range map[string]struct{ records, want string }{
		"the first says nothing of an interval": {rule, `
			no S-9: it is the first calibration, and no interval ended with it
			in force S-9`},
		"proved, between and failed": {
			rule + certified("a", "2027-03-01", "", "diameter 12") + certified("b", "2027-09-01", "", "diameter -29") + certified("c", "2028-11-16", "", "diameter 33"), `
			no S-9: it is the first calibration, and no interval ended with it
			a after S-9: 12.00 months, ratio 0.4000 of diameter, pass, in true
			b after a: 6.00 months, ratio 0.9667 of diameter, inconclusive, in false
			c after b: 14.50 months, ratio 1.1000 of diameter, fail, in false
			in force c`,
		},
		// 25 + 50·1 = 75 µm: 60/75 = 0.8, beside 3/30.
		"the worst over the quantities": {
			rule + gone + certified("a", "2027-03-01", "", "diameter 3", "distance 1@1.0") + certified("b", "2028-03-01", "", "diameter 3", "distance -60@1.0"), `
			no a: it is the first calibration, and no interval ended with it
			b after a: 12.00 months, ratio 0.8000 of distance, pass, in true
			in force b`,
		},
		"quantities with intervals of their own": {
			rule + certified("a", "2027-03-01", "", "distance 15@1.0") + certified("b", "2027-06-01", "", "diameter 3", "distance 30@1.0"), `
			no S-9: it is the first calibration, and no interval ended with it
			no a: it is the first calibration, and no interval ended with it
			b after S-9: 15.00 months, ratio 0.1000 of diameter, pass, in true
			b after a: 3.00 months, ratio 0.4000 of distance, pass, in true
			in force b`,
		},
		"adjusted: as found counts, and the next interval begins": {
			rule + certified("a", "2027-03-01", "adjusted", "diameter 33") + certified("b", "2028-03-01", "", "diameter 3"), `
			no S-9: it is the first calibration, and no interval ended with it
			a after S-9: 12.00 months, ratio 1.1000 of diameter, fail, in false
			b after a: 12.00 months, ratio 0.1000 of diameter, pass, in true
			in force b`,
		},
		"adjusted without as found": {
			rule + certified("a", "2027-03-01", "adjusted without as-found", "diameter 3"), `
			no S-9: it is the first calibration, and no interval ended with it
			no a: the device was adjusted without as-found errors
			in force a`,
		},
		"adjusted between": {
			rule + "event scan-02 2026-10-06T10:00 adjustment reason=\"sphere\" as-found=\"none\"\n" + certified("a", "2027-03-01", "", "diameter 3"), `
			no S-9: it is the first calibration, and no interval ended with it
			no a: the adjustment of 2026-10-06 lies between it and the calibration of 2026-03-01
			in force a`,
		},
		"adjusted on the day, as found by the certificate": {
			rule + "event scan-02 2027-03-01T10:00 adjustment reason=\"sphere\" as-found=\"certificates/scan-02/2027-03-01-a.toml\"\n" + certified("a", "2027-03-01", "", "diameter 3"), `
			no S-9: it is the first calibration, and no interval ended with it
			a after S-9: 12.00 months, ratio 0.1000 of diameter, pass, in true
			in force a`,
		},
		"adjusted by a laboratory whose certificate was not accepted": {
			rule + certified("a", "2026-09-01", "adjusted sent back", "diameter 3") + certified("b", "2027-03-01", "", "diameter 3"), `
			no S-9: it is the first calibration, and no interval ended with it
			no b: the adjustment at the calibration of 2026-09-01 lies between it and the calibration of 2026-03-01
			no a: it was sent back
			in force b`,
		},
		"not in force": {
			rule + certified("a", "2026-09-01", "unreviewed", "diameter 3") + certified("b", "2027-03-01", "", "diameter 3"), `
			no S-9: it is the first calibration, and no interval ended with it
			b after S-9: 12.00 months, ratio 0.1000 of diameter, pass, in true
			no a: it is not reviewed yet
			in force b`,
		},
		"two of one day": {
			rule + certified("z", "2026-03-01", "", "diameter 3"), `
			no z: it is the first calibration, and no interval ended with it
			no S-9: certificate z is of the same day
			in force S-9`,
		},
		"not known at the instant": {
			"at 2027-01-01T12:00\n" + certified("a", "2027-03-01", "", "diameter 3"), `
			no S-9: it is the first calibration, and no interval ended with it
			in force S-9`,
		},
		"one that cannot be read": {
			rule + certified("a", "2027-03-01", "", "diameter 3") + "-- certificates/scan-02/2026-09-01-x.toml --\nsubject = \n", `
			no certificates/scan-02/2026-09-01-x.toml: it cannot be read, so no outcome is drawn for the device`,
		},
	} {
		t.Run(name, func(t *testing.T) {
			s := read(t, txtar.Parse([]byte(c.records)))
			set, diagnostics := records.Load(s.files, records.Options{})
			if name != "one that cannot be read" {
				for _, d := range diagnostics {
					if d.Severity == records.Error {
						t.Fatal(d)
					}
				}
			}
			got := ""
			for _, h := range rules.Outcomes(set, s.at, rules.Options{}, "scan-02") {
				got += historyText(h)
			}
			if diff := cmp.Diff(strings.TrimSpace(strings.ReplaceAll(c.want, "\t", "")), strings.TrimSpace(got)); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
}

// historyText lists outcomes and what is none, each in the order of the certificates' days.
func historyText(h rules.CalibrationHistory) string {
	var b strings.Builder
	no := func(n rules.NoOutcome) {
		name, _, _ := strings.Cut(strings.TrimPrefix(n.Name, "certificate "), " of ")
		why, _, _ := strings.Cut(n.Why, ": ") // behind it stands what the reader of the file says
		fmt.Fprintf(&b, "no %s: %s\n", name, why)
	}
	for _, n := range h.Without {
		if n.First {
			no(n)
		}
	}
	for _, o := range h.Outcomes {
		fmt.Fprintf(&b, "%s after %s: %.2f months, ratio %.4f of %s, %s, in %v\n",
			o.Certificate.Number, o.Previous.Number, o.Months, o.Ratio, o.Of.Quantity, o.Verdict, o.InTolerance)
	}
	for _, n := range h.Without {
		if !n.First {
			no(n)
		}
	}
	for _, cert := range h.InForce {
		fmt.Fprintf(&b, "in force %s\n", cert.Number)
	}
	return b.String()
}

// By hand. The k-th month ends on the day of the first, or on its own last one, as due dates are counted.
func TestMonthsBetween(t *testing.T) {
	for _, c := range []struct {
		from, to string
		want     float64
	}{
		{"2025-01-15", "2026-01-15", 12},
		{"2025-01-31", "2025-02-28", 1},
		{"2024-02-29", "2025-02-28", 12},
		{"2025-01-31", "2025-03-01", 1 + 1.0/31},
		{"2025-04-10", "2026-04-08", 11 + 29.0/31},
		{"2026-06-01", "2026-06-16", 0.5},
		{"2026-06-01", "2026-06-01", 0},
		{"2026-06-01", "2025-06-01", 0},
	} {
		from, err := calendar.ParseDate(c.from)
		if err != nil {
			t.Fatal(err)
		}
		to, err := calendar.ParseDate(c.to)
		if err != nil {
			t.Fatal(err)
		}
		if got := rules.MonthsBetween(from, to); got != c.want {
			t.Errorf("%s to %s: %v, want %v", c.from, c.to, got, c.want)
		}
	}
}
