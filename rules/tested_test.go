package rules_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/conformity"
)

const scannedFile = "checks/scan-02/2026/2026-10-05T0812-bar-weekly.toml"

// scanned is the base repository with its check made from one scan: the sphere
// A and the distance A-C. What is added stands behind the fits.
func scanned(t *testing.T, head, radius, fits string, more ...string) *records.Set {
	t.Helper()
	s := read(t, txtar.Parse([]byte("edit "+scannedFile+": values = [29.9984, 30.0011, 29.9990] -> values = [29.9984]\n"+head+
		"-- "+scannedFile+"+ --\n[[scan]]\nfile = \"scans/1.ply\"\nsha256 = \""+strings.Repeat("0", 64)+"\"\nunit = \"mm\"\n"+
		"[extraction]\nprogram = \"plumbrule 0.4.0\"\noutliers = \"3s\"\nradius = \""+radius+"\"\n"+fits+strings.Join(more, ""))))
	set, found := records.Load(s.files, records.Options{})
	if records.HasErrors(found) {
		t.Fatal(found)
	}
	return set
}

// fit is one [[fit]] table.
func fit(feature, uncertainty, rest string) string {
	return fmt.Sprintf("[[fit]]\nfeature = %q\nscan = 1\nuncertainty = %q\n%s\n", feature, uncertainty, rest)
}

// judged judges the check and returns the findings by feature.
func judged(t *testing.T, set *records.Set) map[string]rules.Finding {
	t.Helper()
	out := map[string]rules.Finding{}
	for _, f := range rules.JudgeCheck(set, moment(t, "2026-10-06T12:00"), rules.Options{}, "scan-02", scannedFile) {
		out[f.Reading.Feature] = f
	}
	return out
}

// The second row of a table of test uncertainties after ISO 14253-5:2015 and ISO/TS 23165:2006 (formulas from memory, figures
// recomputed outside the project): 800.015 mm, U 1.6 µm (k = 2), 11.5e-6/K with u = 1e-6/√3 /K, 21.4 °C with u = 0.15 K, fixing 0.5 µm: parts
// 0.8, 0.6466, 1.3800 and 0.5 µm, u 1.7924 µm, U 3.5848 µm. The fit's 0.6 µm is one more part: u = √(0.8² + 0.6466² + 1.38² + 0.5² + 0.6²) = 1.8901 µm.
func TestFitJoinsTheBudget(t *testing.T) {
	const fixing = "edit procedures/bar-weekly.toml: value = \"±0.5 µm (rectangular)\" -> value = \"u = 0.5 µm\"\n"
	sphere := fit("A", "u = 0.42 µm", "points = 2431")
	typed := judged(t, scanned(t, fixing, "free", sphere))["A-C"].Judgement
	fitted := judged(t, scanned(t, fixing, "free", sphere+fit("A-C", "u = 0.6 µm", "")))["A-C"].Judgement
	if got := typed.Uncertainty; math.Abs(got.CombinedUM-1.7924) > 5e-5 || math.Abs(got.ExpandedUM-3.5848) > 5e-5 || len(typed.Components) != 4 {
		t.Errorf("typed: %+v, %d parts", got, len(typed.Components))
	}
	if got := fitted.Uncertainty; math.Abs(got.CombinedUM-1.8901) > 5e-5 || len(fitted.Components) != 5 {
		t.Errorf("fitted: %+v, %d parts", got, len(fitted.Components))
	}
	last := fitted.Components[4]
	if last.Name != "fit of the spheres" || last.U != 0.6 || last.Sensitivity != 1 || !math.IsInf(last.DegreesOfFreedom, 1) ||
		!strings.HasPrefix(last.Source, scannedFile+":") || !strings.Contains(last.Source, "scan 1") {
		t.Errorf("%+v", last)
	}
}

// A sphere has four unknowns, centre and radius (n − p, as in every least-squares fit); what a fit states goes before.
func TestFreedomOfAFit(t *testing.T) {
	for _, c := range []struct {
		feature, uncertainty, radius, points string
		want                                 float64
	}{
		{"A", "u = 0.42 µm", "free", "points = 2431", 2427},
		{"A", "u = 0.42 µm (ν = 12)", "free", "points = 2431", 12},
		{"A", "u = 0.42 µm", "free", "points = 5", 1},
		{"A-C", "u = 0.6 µm", "free", "", math.Inf(1)},
		{"A-C", "u = 0.6 µm (ν = 12)", "fixed", "", 12},
	} {
		f := judged(t, scanned(t, "", c.radius, fit(c.feature, c.uncertainty, c.points)))[c.feature]
		if f.Judgement == nil {
			t.Errorf("%+v: %s", c, f.Objection)
			continue
		}
		if got := f.Judgement.Components[len(f.Judgement.Components)-1].DegreesOfFreedom; got != c.want {
			t.Errorf("%+v: %g", c, got)
		}
	}
}

// What takes the place of the fit's part, and only for its quantity. One alone
// is counted, whatever else is declared.
func TestFitIsNotCountedTwice(t *testing.T) {
	for name, want := range map[string]bool{"fit of the spheres": false, "Repeatability": false, "alignment": true} {
		set := scanned(t, "edit procedures/bar-weekly.toml: name = \"fixing\" -> name = \""+name+"\"\n", "free",
			fit("A", "u = 0.42 µm", "points = 2431")+fit("A-C", "u = 0.6 µm", ""))
		for feature, counted := range map[string]bool{"A": true, "A-C": want} { // declared for distances
			j := judged(t, set)[feature].Judgement
			replaced := slices.ContainsFunc(j.Remarks, func(text string) bool {
				return strings.HasPrefix(text, "the procedure's "+name+", ±0.5 µm (rectangular), takes the place")
			})
			if replaced == counted || slices.Contains(j.Remarks, noise) != counted {
				t.Errorf("%s declared: remarks on %s %q", name, feature, j.Remarks)
			}
			n := 0
			for _, c := range j.Components {
				if c.Name == records.FitContribution && strings.Contains(c.Source, "scan 1") {
					n++
				}
			}
			if n > 1 || (n == 1) != counted {
				t.Errorf("%s declared: %s counts its fit %d times", name, feature, n)
			}
		}
	}
}

// noise is the remark on every uncertainty with a fit's part.
const noise = "the uncertainty holds the fit's own part, which comes mostly from the device's noise; the scatter between repeated values is not added besides. " +
	"A strict reading of ISO 14253-5:2015 (from memory) leaves the device's part out: a procedure then declares \"fit of the spheres\" as u = 0 µm"

func TestRemarksOnReadings(t *testing.T) {
	set := scanned(t, "edit "+scannedFile+": temperature-uncertainty = \"0.3 °C (k = 2)\" -> temperature-uncertainty = \"0.3 °C (k = 2)\"\\ndulling-spray = \"8 µm\"\n",
		"free", fit("A", "u = 0.42 µm", "points = 1000\nrejected = 20\ncoverage = \"15 %\"\nremarks = [\"an uneven density\"]")+
			fit("C", "u = 0.42 µm", "points = 1000\nremarks = [\"few points\"]")+fit("A-C", "u = 0.6 µm", ""),
		"-- procedures/bar-weekly.toml+ --\n[extraction]\noutliers = \"none\"\nradius = \"fixed\"\n")
	cut := "in scan 1, 20 of the 1020 points of A were cut (1.96 %): more than 1 % is a finding in itself"
	seen := "in scan 1, only 15 % of the surface of A was seen: under 25 % the centre is poorly known along the axis of the cap"
	rule, radius := "outliers were cut by the rule 3s, and the procedure asks none", "the radius was free, and the procedure asks fixed"
	for feature, want := range map[string][]string{
		"A": {"a matting layer of 8 µm enlarges the diameter by 16 µm; nothing is corrected for it", "said when A was fitted in scan 1: an uneven density", cut, seen, rule, radius, noise},
		"A-C": {
			cut, seen, "said when A was fitted in scan 1: an uneven density", "said when C was fitted in scan 1: few points", rule, radius, noise,
			"registration errors between scanning volumes are not in the fit's uncertainty",
		},
	} {
		f := judged(t, set)[feature]
		if f.Judgement == nil || !slices.Equal(f.Judgement.Remarks, want) {
			t.Errorf("%s: %s\n%s", feature, f.Objection, strings.Join(f.Judgement.Remarks, "\n"))
		}
	}
	for feature, f := range judged(t, scanned(t, "", "free", "")) {
		if len(f.Judgement.Remarks) != 0 {
			t.Errorf("%s was typed: %q", feature, f.Judgement.Remarks)
		}
	}
}

// The parameters in force, who set them, and what the test has instead.
func TestParametersInForce(t *testing.T) {
	set := scanned(t, "edit procedures/bar-weekly.toml: name = \"A\"\\nrepeats = 3 -> name = \"A\"\\ntest = \"probing-size\"\n", "free", fit("A", "u = 0.42 µm", "points = 2431\ncoverage = \"46 %\""),
		"-- procedures/bar-weekly.toml+ --\n[extraction]\nleast-points = 500\nleast-coverage = \"25 %\"\nmost-rejected = \"3 ‰\"\n")
	j := judged(t, set)["A"].Judgement
	at := fmt.Sprintf("procedures/bar-weekly.toml:%d", set.Procedures["bar-weekly"].Extraction.Line)
	want := []rules.Parameter{
		{"outliers", "3s", "default", ""},
		{"radius", "free", "default", ""},
		{"least points", "500", at, "25"},
		{"least coverage", "25 %", at, ""},
		{"most cut", "3 ‰", at, ""},
	}
	if !slices.Equal(j.Parameters, want) || j.Test == nil || j.Test.Profile != conformity.ProbingSize {
		t.Errorf("%+v, test %v", j.Parameters, j.Test)
	}
	set = scanned(t, "edit procedures/bar-weekly.toml: name = \"A-C\" -> name = \"A-C\"\\ntest = \"sphere-distance\"\n", "free", "")
	want = []rules.Parameter{
		{"outliers", "3s", "default", ""},
		{"radius", "free", "default", ""},
		{"least points", "25", "test sphere-distance", ""},
		{"most cut", "0.3 %", "test sphere-distance", ""},
	}
	if j := judged(t, set)["A-C"].Judgement; !slices.Equal(j.Parameters, want) {
		t.Errorf("%+v", j.Parameters)
	}
}

// A test about something else makes no evidence, and Check says so with the
// line; which of the records is mistaken, nobody knows.
func TestTestsThatContradict(t *testing.T) {
	const form = "edit artifacts/bar-3s.toml: [[feature]]\\nname = \"C\" -> [[feature]]\\nname = \"A form\"\\nquantity = \"form\"\\nnominal = \"0.4 µm\"\\n[[feature]]\\nname = \"C\"\n" +
		"edit certificates/bar-3s/2025-01-06-K-113.toml: [[value]]\\nfeature = \"C\" -> [[value]]\\nfeature = \"A form\"\\nvalue = \"0.4 µm\"\\nuncertainty = \"0.1 µm (k = 2)\"\\n[[value]]\\nfeature = \"C\"\n" +
		"edit devices/scan-02.toml: [[limit]]\\nquantity = \"distance\" -> [[limit]]\\nquantity = \"form\"\\nmpe = \"40 µm\"\\n[[limit]]\\nquantity = \"length\"\\nmpe = \"90 µm\"\\n[[limit]]\\nquantity = \"distance\"\n" +
		"edit procedures/bar-weekly.toml: [[uncertainty]] -> [[feature]]\\nname = \"A form\"\\n[[uncertainty]]\n" +
		"edit " + scannedFile + ": [[reading]]\\nfeature = \"A-C\" -> [[reading]]\\nfeature = \"A form\"\\nvalues = [0.03]\\n[[reading]]\\nfeature = \"A-C\"\n"
	for _, c := range []struct{ feature, test, extraction, want string }{
		{"A", "probing-size", "", ""},
		{"A", "probing-form", "", "judges form, and the feature is judged for diameter"},
		{"A", "probing-size", "radius = \"fixed\"\n", "test probing-size fits the radius, and the procedure holds it fixed"},
		{"A form", "probing-form", "", ""},
		{"A form", "probing-form", "form = \"95 %\"\n", "test probing-form takes the form over all points, and the procedure over 95 %"},
		{"A form", "probing-form-95", "", "test probing-form-95 takes the form over 95 %, and the procedure over all points"},
		{"A form", "probing-form-95", "form = \"95 %\"\n", ""},
		{"A-C", "length-unidirectional", "", ""},
		{"A-C", "length-bidirectional", "", "judges length, and the feature is judged for distance"},
		{"A-C", "length-bidirectional\"\\nquantity = \"length", "", "a distance between two centres does not prove such a length"},
	} {
		// A feature of that name on an artifact of another kind is nobody's business here.
		more := "-- artifacts/step-1.toml --\nkind = \"step gauge\"\nserial = \"SG-1\"\nin-service = 2025-01-10\nexpansion = \"11.5e-6/K\"\n" +
			"expansion-uncertainty = \"±1e-6/K (rectangular)\"\nentered = 2025-01-10T09:00:00+01:00\nby = \"mk\"\n[calibration]\ninterval = \"24 months\"\n" +
			"[[feature]]\nname = \"A\"\nquantity = \"length\"\nnominal = \"30 mm\"\n"
		if c.extraction != "" {
			more += "-- procedures/bar-weekly.toml+ --\n[extraction]\n" + c.extraction
		}
		set := scanned(t, form+"edit procedures/bar-weekly.toml: name = \""+c.feature+"\"\\n -> name = \""+c.feature+"\"\\ntest = \""+c.test+"\"\\n\n", "free", "", more)
		f := judged(t, set)[c.feature]
		found := rules.Check(set)
		if c.want == "" {
			if f.Judgement == nil || len(found) > 0 {
				t.Errorf("%+v: %s %v", c, f.Objection, found)
			}
			continue
		}
		if f.Code != "test-unmet" || !strings.Contains(f.Objection, c.want) {
			t.Errorf("%+v: %s %s", c, f.Code, f.Objection)
		}
		if len(found) != 1 || found[0].Code != "test-contradicts" || !strings.Contains(found[0].Message, c.want) || int(found[0].Position.Line) != set.Procedures["bar-weekly"].Feature(c.feature).TestLine {
			t.Errorf("%+v: %v", c, found)
		}
	}
}

// A form error carries the uncertainty of the sphere's own form, and no fit's.
func TestFormHasNoFitPart(t *testing.T) {
	const form = "edit artifacts/bar-3s.toml: [[feature]]\\nname = \"C\" -> [[feature]]\\nname = \"A form\"\\nquantity = \"form\"\\nnominal = \"0.4 µm\"\\n[[feature]]\\nname = \"C\"\n" +
		"edit certificates/bar-3s/2025-01-06-K-113.toml: [[value]]\\nfeature = \"C\" -> [[value]]\\nfeature = \"A form\"\\nvalue = \"0.4 µm\"\\nuncertainty = \"0.1 µm (k = 2)\"\\n[[value]]\\nfeature = \"C\"\n" +
		"edit devices/scan-02.toml: [[limit]]\\nquantity = \"distance\" -> [[limit]]\\nquantity = \"form\"\\nmpe = \"40 µm\"\\n[[limit]]\\nquantity = \"distance\"\n" +
		"edit " + scannedFile + ": [[reading]]\\nfeature = \"A-C\" -> [[reading]]\\nfeature = \"A form\"\\nvalues = [0.03]\\n[[reading]]\\nfeature = \"A-C\"\n"
	f := judged(t, scanned(t, form, "fixed", fit("A form", "u = 0.42 µm", "points = 2431")))["A form"]
	if f.Judgement == nil {
		t.Fatal(f.Objection)
	}
	// F/2 and u(F): √(0.2² + 0.05²) = 0.20616 µm (ISO 14253-5:2015, ISO/TS 23165:2006, formula from memory).
	if math.Abs(f.Judgement.Uncertainty.CombinedUM-0.20616) > 5e-6 {
		t.Errorf("%+v", f.Judgement.Components)
	}
	want := []string{
		"the radius was fixed, and the procedure asks free",
		"with the radius held at its certified value an error of size shows as one of form",
	}
	if !slices.Equal(f.Judgement.Remarks, want) {
		t.Errorf("%q", f.Judgement.Remarks)
	}
}

// A radius that was held makes no diameter: whether or not fits are recorded,
// but not of a feature that was typed beside fitted ones.
func TestHeldRadius(t *testing.T) {
	for _, c := range []struct {
		what, radius, fits string
		evidence           bool
	}{
		{"held, no fits recorded", "fixed", "", false},
		{"held", "fixed", fit("A", "u = 0.42 µm", "points = 2431"), false},
		{"held for another", "fixed", fit("A-C", "u = 0.6 µm", ""), true},
		{"fitted", "free", fit("A", "u = 0.42 µm", "points = 2431"), true},
	} {
		f := judged(t, scanned(t, "", c.radius, c.fits))["A"]
		if (f.Judgement != nil) != c.evidence || !c.evidence && (f.Code != "test-unmet" || !strings.Contains(f.Objection, "the radius was held")) {
			t.Errorf("%s: %s %s", c.what, f.Code, f.Objection)
		}
	}
}

// What a reading lacks is told scan by scan, and not without end. An artifact
// that does not say between which spheres its distance lies shows nothing of
// them.
func TestWhatIsLackingIsTold(t *testing.T) {
	const demanding = "-- procedures/bar-weekly.toml+ --\n[extraction]\nleast-points = 500\nleast-coverage = \"25 %\"\nmost-rejected = \"1 %\"\n"
	poor := "points = 90\nrejected = 10\ncoverage = \"10 %\""
	f := judged(t, scanned(t, "", "free", fit("A", "u = 1 µm", poor)+fit("C", "u = 1 µm", poor)+fit("A-C", "u = 2 µm", ""), demanding))["A-C"]
	const want = `feature "A-C": in scan 1, A kept 90 points, expected at least 500; in scan 1, 10 % of the surface of A was seen, expected at least 25 %; ` +
		`in scan 1, 10 of the 100 points of A were cut (10 %), expected at most 1 %; in scan 1, C kept 90 points, expected at least 500; and 2 more`
	if f.Objection != want {
		t.Errorf("%s", f.Objection)
	}
	f = judged(t, scanned(t, "edit artifacts/bar-3s.toml: between = [\"A\", \"C\"]\\n -> \n", "free", fit("A-C", "u = 2 µm", ""), demanding))["A-C"]
	if !strings.Contains(f.Objection, "how either end of A-C was fitted is not recorded") {
		t.Errorf("%s", f.Objection)
	}
}

// The limit of a test along a path grows with it.
func TestPathTestWithoutPathLimit(t *testing.T) {
	const named = "edit procedures/bar-weekly.toml: name = \"A-C\" -> name = \"A-C\"\\ntest = \"path-distance\"\n"
	const constant = "edit devices/scan-02.toml: mpe = \"25 µm + 50 µm/m\"\\nlength = \"path\" -> mpe = \"100 µm\"\n"
	for head, want := range map[string][]string{
		named:            nil,
		named + constant: {"test path-distance means a limit that grows with the path travelled, and the device's limit 100 µm does not"},
	} {
		if j := judged(t, scanned(t, head, "free", ""))["A-C"].Judgement; j == nil || !slices.Equal(j.Remarks, want) {
			t.Errorf("%q: %+v", head, j)
		}
	}
}

// Components and uncertainty shown are those of the worst value, whichever was
// judged after it.
func TestComponentsAreThoseOfTheWorstValue(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/scenarios/fit-uncertainty.txtar")
	if err != nil {
		t.Fatal(err)
	}
	for _, swap := range []bool{false, true} {
		s := read(t, archive)
		s.edit(t, `procedures/bar-weekly.toml: quantity = "distance"\n -> `) // one contribution is declared
		worst := 2
		if swap { // the first fit is the poor one
			text := string(s.files[scannedFile].Data)
			text = strings.NewReplacer(`"u = 0.42 µm"`, `"u = 0.43 µm"`, `"u = 3.0 µm"`, `"u = 0.42 µm"`).Replace(text)
			s.files[scannedFile].Data = []byte(strings.Replace(text, `"u = 0.43 µm"`, `"u = 3.0 µm"`, 1))
			worst = 0
		}
		set, _ := records.Load(s.files, records.Options{})
		j := judged(t, set)["A"].Judgement
		sum := 0.0
		for _, c := range j.Components {
			sum += c.ContributionUM() * c.ContributionUM()
		}
		if last := j.Components[len(j.Components)-1]; j.ValueIndex != worst || last.U != 3 || math.Abs(math.Sqrt(sum)-j.Uncertainty.CombinedUM) > 1e-12 {
			t.Errorf("value %d is the worst with the fit's part %g; %g from the parts, %g combined", j.ValueIndex, last.U, math.Sqrt(sum), j.Uncertainty.CombinedUM)
		}
	}
}
