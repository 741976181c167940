package worksheet_test

import (
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"plumbrule/rules/budget/law"
	"plumbrule/rules/budget/worksheet"
	data "plumbrule/rules/published"
)

var update = flag.Bool("update", false, "write REFERENCE.md")

func TestReference(t *testing.T) {
	const file = "REFERENCE.md"
	if *update {
		if err := os.WriteFile(file, []byte(worksheet.Reference()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	have, err := os.ReadFile(file)
	if err != nil || string(have) != worksheet.Reference() {
		t.Errorf("%s is not what the code says (%v)", file, err)
	}
}

// one is a whole file whose only uncertain input says this of itself.
func one(uncertainty string) string {
	return "title = \"t\"\nunit = \"mm\"\nexpression = \"x\"\n\n[[input]]\nname = \"x\"\nunit = \"mm\"\n" + uncertainty + "\n"
}

// Every way to state an uncertainty: JCGM 100:2008 4.2, 4.3 and G.4.2, JCGM 101:2008 6.4; t95(5) = 2.5706 and t95(∞) = 1.95996 of
// table G.2.
func TestStatements(t *testing.T) {
	infinite := math.Inf(1)
	shown := map[string]bool{}
	for _, tt := range []struct {
		text         string
		value, u, nu float64
		law          law.Law
		rule         string
	}{
		{"value = 3\nexact = true", 3, 0, infinite, law.Law{Kind: law.Exact, Centre: 3}, "certain"},
		{"values = [2, 4, 6, 8]", 5, math.Sqrt(20.0 / 3 / 4), 3, law.Law{Kind: law.Student, Centre: 5, Width: math.Sqrt(20.0 / 3 / 4), Shape: 3}, "s/√n = 2.58199/√4"},
		{"values = [5]\npooled-deviation = 2\ndegrees-of-freedom = 24", 5, 2, 24, law.Law{Kind: law.Student, Centre: 5, Width: 2, Shape: 24}, "s_p/√n = 2/√1"},
		{"value = 5\nreadings = 4\npooled-deviation = 2\ndegrees-of-freedom = 24", 5, 1, 24, law.Law{Kind: law.Student, Centre: 5, Width: 1, Shape: 24}, "s_p/√n = 2/√4"},
		{"value = 1\nstandard = 0.5", 1, 0.5, infinite, law.Law{Kind: law.Normal, Centre: 1, Width: 0.5}, "as stated"},
		{"value = 1\nstandard = 0.5\ndegrees-of-freedom = 7.5", 1, 0.5, 7.5, law.Law{Kind: law.Student, Centre: 1, Width: 0.5, Shape: 7.5}, "as stated"},
		{"value = 1\nstandard = 0.5\ndegrees-of-freedom = 7\nlaw = \"normal\"", 1, 0.5, 7, law.Law{Kind: law.Normal, Centre: 1, Width: 0.5}, "as stated"},
		{"value = 1\nstandard = 0.5\nknown-to = \"50 %\"\nlaw = \"t\"", 1, 0.5, 2, law.Law{Kind: law.Student, Centre: 1, Width: 0.5, Shape: 2}, "as stated"},
		{"value = 1\nexpanded = 3\nk = 2", 1, 1.5, infinite, law.Law{Kind: law.Normal, Centre: 1, Width: 1.5}, "U/k = 3/2"},
		{"value = 1\nexpanded = 3\nk = 2\nknown-to = 0.25", 1, 1.5, 8, law.Law{Kind: law.Student, Centre: 1, Width: 1.5, Shape: 8}, "U/k = 3/2"},
		{"value = 1\nexpanded = 3\nprobability = \"95 %\"", 1, 3 / 1.959964, infinite, law.Law{Kind: law.Normal, Centre: 1, Width: 3 / 1.959964}, "normal for 95 %"},
		{"value = 1\nexpanded = 3\nprobability = 0.95\ndegrees-of-freedom = 5", 1, 3 / 2.570582, 5, law.Law{Kind: law.Student, Centre: 1, Width: 3 / 2.570582, Shape: 5}, "95 % with ν = 5"},
		{"value = 1\nhalf-width = 6\nlaw = \"rectangular\"", 1, 6 / math.Sqrt(3), infinite, law.Law{Kind: law.Rectangular, Centre: 1, Width: 6}, "a/√3 = 6/√3"},
		{"value = 1\nhalf-width = 6\nlaw = \"rectangular\"\nknown-to = \"10 %\"", 1, 6 / math.Sqrt(3), 50, law.Law{Kind: law.CurvilinearTrapezoidal, Centre: 1, Width: 6, Shape: 0.6}, "a/√3"},
		{"value = 1\nhalf-width = 6\nlaw = \"rectangular\"\ndegrees-of-freedom = 50", 1, 6 / math.Sqrt(3), 50, law.Law{Kind: law.Rectangular, Centre: 1, Width: 6}, "a/√3"},
		{"value = 1\nhalf-width = 6\nlaw = \"triangular\"\nknown-to = \"10 %\"", 1, math.Sqrt(6), 50, law.Law{Kind: law.Triangular, Centre: 1, Width: 6}, "a/√6"},
		{"value = 1\nhalf-width = 6\nlaw = \"trapezoidal\"\nbeta = 0.5", 1, 6 * math.Sqrt(1.25/6), infinite, law.Law{Kind: law.Trapezoidal, Centre: 1, Width: 6, Shape: 0.5}, "β = 0.5"},
		{"value = 1\nhalf-width = 6\nlaw = \"curvilinear trapezoidal\"\ninexact = 3", 1, math.Sqrt(12 + 1), infinite, law.Law{Kind: law.CurvilinearTrapezoidal, Centre: 1, Width: 6, Shape: 3}, "d = 3"},
		{"value = 1\nhalf-width = 6\nlaw = \"arcsine\"", 1, 6 / math.Sqrt2, infinite, law.Law{Kind: law.Arcsine, Centre: 1, Width: 6}, "a/√2"},
		{"limits = [-2, 4]\nlaw = \"rectangular\"", 1, math.Sqrt(3), infinite, law.Law{Kind: law.Rectangular, Centre: 1, Width: 3}, "a/√3 = 3/√3"},
		{"limits = [1.1, 1.3]\nlaw = \"rectangular\"", 1.2, 0.1 / math.Sqrt(3), infinite, law.Law{Kind: law.Rectangular, Centre: 1.2, Width: 0.1}, "a/√3 = 0.1/√3"},
		{"value = 4\nlaw = \"exponential\"", 4, 4, infinite, law.Law{Kind: law.Exponential, Centre: 4}, "equal"},
	} {
		sheet, faults := worksheet.Read([]byte(one(tt.text)))
		if len(faults) > 0 {
			t.Errorf("%q: %v", tt.text, faults)
			continue
		}
		in := sheet.Budget.Inputs[0]
		near := func(got, want float64) bool { return got == want || math.Abs(got-want) < 1e-6*math.Abs(want) }
		if !near(in.Value, tt.value) || !near(in.U, tt.u) || !near(in.DegreesOfFreedom, tt.nu) || in.Law.Kind != tt.law.Kind ||
			!near(in.Law.Centre, tt.law.Centre) || !near(in.Law.Width, tt.law.Width) || !near(in.Law.Shape, tt.law.Shape) || !strings.Contains(in.Rule, tt.rule) {
			t.Errorf("%q: %+v", tt.text, in)
		}
		for _, s := range worksheet.Statements() {
			if strings.Contains(tt.text, s.Lead+" =") {
				shown[s.Lead] = true
			}
		}
	}
	for _, s := range worksheet.Statements() {
		if !shown[s.Lead] {
			t.Errorf("no case shows %s", s.Lead)
		}
	}
}

// Bad input: place, what is there, and what would mend it.
func TestFaults(t *testing.T) {
	const x = "value = 1\nstandard = 1"
	top := func(line string) string { return line + "\n" + one(x) }
	two := func(more string) string { // two inputs, and what follows them
		return strings.Replace(one(x), `"x"`, `"x + z"`, 1) + "[[input]]\nname = \"z\"\nunit = \"mm\"\nvalue = 2\nstandard = 1\n" + more
	}
	for _, tt := range []struct{ name, text, at, message, mend string }{
		{"empty file", "", "1:1", "key title is missing", "add title"},
		{"not TOML", "title = ", "1:9", "value was expected", ""},
		{"unknown key", top("titel = \"t\""), "1:1", `key "titel"`, "did you mean title?"},
		{"unknown key of an input", one(x + "\nhalfwidth = 2"), "10:1", `key "halfwidth"`, "did you mean half-width?"},
		{"unknown table", two("[[inputs]]\nname = \"q\""), "15:3", `key "inputs"`, "did you mean input?"},
		{"table for array", strings.Replace(one(x), "[[input]]", "[input]", 1), "5:1", "input is no array of tables", "[[input]]"},
		{"no name", strings.Replace(one(x), "name = \"x\"\n", "", 1), "5:1", "key name is missing", "add name"},
		{"reserved name", strings.ReplaceAll(one(x), `"x"`, `"sin"`), "6:8", `"sin"`, "a function already"},
		{"pi as a name", strings.ReplaceAll(one(x), `"x"`, `"pi"`), "6:8", `"pi"`, "a number already"},
		{"no name at all", strings.Replace(one(x), `name = "x"`, `name = "2 x"`, 1), "6:8", `"2 x"`, "a letter first"},
		{"duplicate name", two("[[input]]\nname = \"x\"\nunit = \"mm\"\nvalue = 2\nstandard = 1"), "16:8", `"x" is given twice: first on line 6`, "rename"},
		{"duplicate measurand", top(`measurand = "x"`), "7:8", "given twice: first on line 1", "rename"},
		{"unknown input", strings.Replace(one(x), `"x"`, `"x + legnth"`, 1), "3:19", `"legnth", which is no input`, "the inputs are x"},
		{"mistyped input", strings.ReplaceAll(strings.Replace(one(x), `"x"`, `"legnth*2"`, 1), `name = "x"`, `name = "length"`), "3:15", `"legnth"`, "did you mean length?"},
		{"unused input", two("[[input]]\nname = \"w\"\nunit = \"mm\"\nvalue = 2\nstandard = 1"), "16:8", `"w" does not come into the result`, "bring it"},
		{"unused definition", two("[[where]]\nname = \"w\"\nexpression = \"2*x\""), "16:8", `"w" does not come into the result`, "bring it"},
		{"circle", strings.Replace(two("[[where]]\nname = \"p\"\nexpression = \"1 + q\"\n[[where]]\nname = \"q\"\nexpression = \"2*p\""), "x + z", "x + z + p", 1), "20:17", "p ← q ← p", "by inputs"},
		{"in a definition", strings.Replace(two("[[where]]\nname = \"p\"\nexpression = \"1 + + \""), "x + z", "x + z + p", 1), "17:21", "the end of the expression", "complete"},
		{"bracket", strings.Replace(one(x), `"x"`, `"2*(x + 1"`, 1), "3:17", "an opening bracket", "close it"},
		{"no number", one("value = \"1 mm\"\nstandard = 1"), "8:9", "value is text, expected a number", "without quotes"},
		{"infinite", one("value = inf\nstandard = 1"), "8:9", "value is inf", "exponent"},
		{"negative u", one("value = 1\nstandard = -1"), "9:12", "standard is -1, expected a number above 0", "exact = true"},
		{"zero u", one("value = 1\nstandard = 0"), "9:12", "standard is 0", "exact = true"},
		{"nan u", one("value = 1\nstandard = nan"), "9:12", "standard is nan", ""},
		{"no uncertainty", one("value = 1"), "5:1", "does not say how uncertain it is", "exact = true"},
		{"two uncertainties", one("value = 1\nstandard = 1\nexpanded = 2\nk = 2"), "10:1", "expanded beside standard", "keep one"},
		{"not exact", one("value = 1\nexact = false"), "9:9", "exact is false", "uncertainty"},
		{"u without value", one("standard = 1"), "8:1", "standard without value", "add value"},
		{"k without U", one("value = 1\nstandard = 1\nk = 2"), "10:1", "k does not go with standard", "leave it out"},
		{"U alone", one("value = 1\nexpanded = 2"), "9:1", "without k or probability", "certificate"},
		{"U with both", one("value = 1\nexpanded = 2\nk = 2\nprobability = \"95 %\""), "11:1", "probability beside k", "k is what"},
		{"k of 0", one("value = 1\nexpanded = 2\nk = 0"), "10:5", "k is 0", "certificate"},
		{"probability without %", one("value = 1\nexpanded = 2\nprobability = 95"), "10:15", "probability is 95", `"95 %"`},
		{"probability no number", one("value = 1\nexpanded = 2\nprobability = \"high\""), "10:15", `"high"`, "95 %"},
		{"probability of 100", one("value = 1\nexpanded = 2\nprobability = \"100 %\""), "10:15", "100", ""},
		{"law missing", one("value = 1\nhalf-width = 2"), "9:1", "half-width without law", "add law"},
		{"law unknown", one("value = 1\nhalf-width = 2\nlaw = \"rectangulr\""), "10:7", `"rectangulr"`, `"rectangular"`},
		{"law without limits", one("value = 1\nlaw = \"rectangular\""), "9:1", "without its width", "half-width"},
		{"law normal alone", one("value = 1\nlaw = \"normal\""), "9:1", "without its width", "standard"},
		{"beta missing", one("value = 1\nhalf-width = 2\nlaw = \"trapezoidal\""), "10:7", "without beta", "add beta"},
		{"beta too many", one("value = 1\nhalf-width = 2\nlaw = \"rectangular\"\nbeta = 0.5"), "11:1", "beta does not go with the law rectangular", "trapezoidal"},
		{"beta beyond 1", one("value = 1\nhalf-width = 2\nlaw = \"trapezoidal\"\nbeta = 1.5"), "11:8", "beta is 1.5", "base"},
		{"inexact beyond", one("value = 1\nhalf-width = 2\nlaw = \"curvilinear trapezoidal\"\ninexact = 3"), "11:11", "at most the half width 2", ""},
		{"limits turned", one("limits = [2, 1]\nlaw = \"rectangular\""), "8:14", "expected the second above the first", "lower one first"},
		{"three limits", one("limits = [1, 2, 3]\nlaw = \"rectangular\""), "8:17", "3 numbers", "[low, high]"},
		{"one limit", one("limits = [1]\nlaw = \"rectangular\""), "8:10", "limits has 1, expected 2", ""},
		{"limits and value", one("limits = [1, 2]\nvalue = 1\nlaw = \"rectangular\""), "9:1", "value does not go with limits", "follows"},
		{"one reading", one("values = [1]"), "8:10", "values has 1, expected 2", ""},
		{"text reading", one("values = [1, \"2\"]"), "8:14", "a reading is text", "quotes"},
		{"readings and value", one("values = [1, 2]\nvalue = 1"), "9:1", "value does not go with values", "follows"},
		{"pooled without readings", one("value = 1\npooled-deviation = 2\ndegrees-of-freedom = 3"), "9:1", "without the readings", "readings"},
		{"pooled without freedom", one("values = [1]\npooled-deviation = 2"), "9:1", "pooled-deviation without degrees-of-freedom", "add"},
		{"pooled with both", one("values = [1]\nreadings = 1\npooled-deviation = 2\ndegrees-of-freedom = 3"), "9:1", "readings beside values", "leave it out"},
		{"half a reading", one("value = 1\nreadings = 1.5\npooled-deviation = 2\ndegrees-of-freedom = 3"), "9:12", "expected a whole number", ""},
		{"freedom below 1", one("value = 1\nstandard = 1\ndegrees-of-freedom = 0.5"), "10:22", "degrees-of-freedom is 0.5", "leave it out"},
		{"freedom twice", one("value = 1\nstandard = 1\ndegrees-of-freedom = 5\nknown-to = \"10 %\""), "11:1", "known-to beside", "leave one out"},
		{"known to too little", one("value = 1\nstandard = 1\nknown-to = \"80 %\""), "10:12", "80 %", ""},
		{"t without freedom", one("value = 1\nstandard = 1\nlaw = \"t\""), "10:7", "t without degrees of freedom", "add"},
		{"exponential at 0", one("value = 0\nlaw = \"exponential\""), "8:9", "value is 0", "mean above 0"},
		{"k and probability", top("k = 2\nprobability = \"95 %\""), "2:1", "probability beside k", "leave one out"},
		{"k of the result", top("k = -2"), "1:5", "k is -2", "commonly 2"},
		{"order 3", top("order = 3"), "1:9", "order is 3", ""},
		{"result law unknown", top("result-law = \"trapezodal\""), "1:14", `"trapezodal"`, `"trapezoidal"`},
		{"result law with k", top("k = 2\nresult-law = \"trapezoidal\""), "2:1", "result-law beside k", "leave out k"},
		{"alone together", one("values = [1, 2]\ntogether = \"a\""), "9:12", `read together as "a"`, "leave it out"},
		{"correlation of a stranger", two("[[correlation]]\nbetween = [\"x\", \"y\"]\ncoefficient = 0.5"), "16:17", `"y" is no input`, "the inputs are x, z"},
		{"correlation with itself", two("[[correlation]]\nbetween = [\"x\", \"x\"]\ncoefficient = 0.5"), "16:17", "correlated with itself", "leave it out"},
		{"correlation beyond 1", two("[[correlation]]\nbetween = [\"x\", \"z\"]\ncoefficient = 1.01"), "17:15", "coefficient is 1.01", "covariance"},
		{"correlation of one", two("[[correlation]]\nbetween = [\"x\"]\ncoefficient = 0.5"), "16:11", "between has 1", ""},
		{"correlation twice", two("[[correlation]]\nbetween = [\"x\", \"z\"]\ncoefficient = 0.5\n[[correlation]]\nbetween = [\"z\", \"x\"]\ncoefficient = 0.5"), "19:17", "given twice", "leave one out"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			sheet, faults := worksheet.Read([]byte(tt.text))
			if len(faults) == 0 || sheet != nil {
				t.Fatalf("taken:\n%s", tt.text)
			}
			i := slices.IndexFunc(faults, func(f worksheet.Fault) bool {
				return f.Position.String() == tt.at && strings.Contains(f.Message, tt.message) && strings.Contains(f.Mend, tt.mend)
			})
			if i < 0 || !strings.Contains(faults[i].Excerpt, "\n") || !strings.HasSuffix(faults[i].Excerpt, "^") {
				t.Errorf("%v (mend %q), want %s %s\n%s", faults, faults[0].Mend, tt.at, tt.message, tt.text)
			}
		})
	}
}

// All faults of a file are told at once, in its order.
func TestAllFaultsAtOnce(t *testing.T) {
	_, faults := worksheet.Read([]byte("unit = \"\"\nexpression = \"x +\"\n[[input]]\nname = \"x\"\nunit = 3\nvalue = 1\nstandard = -1\n[[input]]\nnam = \"y\"\n"))
	var at []string
	for _, f := range faults {
		at = append(at, f.Position.String())
	}
	if got := strings.Join(at, " "); got != "1:1 1:8 2:18 5:8 7:12 8:1 8:1 8:1 9:1" {
		t.Errorf("faults at %s\n%v", got, faults)
	}
}

// The place of a mistake inside a text, however the text is written.
func TestPlaceInAnExpression(t *testing.T) {
	for _, tt := range []struct{ written, at string }{
		{`"x + ?"`, "3:19"},
		{`'x + ?'`, "3:19"},
		{`"\u0078 + ?"`, "3:24"},
		{`"x\t+ ?"`, "3:20"},
		{`"\U00000078 + ?"`, "3:28"},
		{"\"\"\"x + ?\"\"\"", "3:21"},
		{"\"\"\"\nx\n + ?\"\"\"", "5:4"},
		{"'''\nx\n + ?'''", "5:4"},
		{"\"\"\"\\\n   x \\\n  + ?\"\"\"", "5:5"},
		{"\"\"\"\r\nx\r\n + ?\"\"\"", "5:4"},
		{`"δα*x + ?"`, "3:22"},
		{`"\u03b4α*x + ?"`, "3:27"},
	} {
		text := strings.Replace(one("value = 1\nstandard = 1"), `"x"`, tt.written, 1)
		_, faults := worksheet.Read([]byte(text))
		if len(faults) != 1 || faults[0].Position.String() != tt.at {
			t.Errorf("%s: %v, want %s", tt.written, faults, tt.at)
		}
	}
}

// What only shows when the budget is evaluated is placed in the file too.
func TestPlaceOfEvaluation(t *testing.T) {
	three := func(more string) string {
		text := "title = \"t\"\nunit = \"1\"\nexpression = \"a + b + c\"\n"
		for _, name := range []string{"a", "b", "c"} {
			text += fmt.Sprintf("[[input]]\nname = %q\nunit = \"1\"\nvalue = 1\nstandard = 1\n", name)
		}
		return text + more
	}
	correlated := func(a, b string, r float64) string {
		return fmt.Sprintf("[[correlation]]\nbetween = [%q, %q]\ncoefficient = %g\n", a, b, r)
	}
	for _, tt := range []struct{ text, at, message, mend string }{
		{strings.Replace(three(""), "a + b + c", "c/(a - b)", 1), "3:15", "a division by zero in c/(a - b), where a = 1, b = 1, c = 1", "must have a value"},
		{strings.Replace(three(""), "a + b + c", "c + abs(a - b)", 1), "3:19", "no derivative in abs(a - b)", "corners"},
		{three(correlated("a", "b", 0.9) + correlated("b", "c", 0.9) + correlated("c", "a", 0.1)), "23:17", "contradict each other at c", "coefficients of c"},
		{"result-law = \"trapezoidal\"\n" + three(""), "1:14", "not rectangular", "Monte Carlo"},
		{strings.Replace("order = 2\n"+three(correlated("a", "b", 0.9)), "a + b + c", "a*b + c", 1), "1:9", "a and b are correlated", "Monte Carlo"},
		{strings.ReplaceAll(three(""), "value = 1\nstandard = 1", "values = [1, 2]\ntogether = \"s\"") + "#", "", "", ""},
		{strings.Replace(strings.ReplaceAll(three(""), "value = 1\nstandard = 1", "values = [1, 2]\ntogether = \"s\""), "[1, 2]", "[1, 2, 3]", 1), "5:8", "set s has 2 readings of b and 3 of a", "same order"},
	} {
		sheet, faults := worksheet.Read([]byte(tt.text))
		if len(faults) > 0 {
			t.Errorf("%v\n%s", faults, tt.text)
			continue
		}
		_, err := sheet.Budget.Evaluate()
		if tt.at == "" {
			if err != nil {
				t.Error(err)
			}
			continue
		}
		f, ok := sheet.Place(err)
		if !ok || f.Position.String() != tt.at || !strings.Contains(f.Message, tt.message) || !strings.Contains(f.Mend, tt.mend) {
			t.Errorf("%v: placed at %v (%v), want %s", err, f, ok, tt.at)
		}
	}
}

// The middle of decimal limits is a decimal number: no difference from 1.2 is left where the file has none.
func TestMiddleOfLimits(t *testing.T) {
	for limits, want := range map[string]float64{"[1.1, 1.3]": 1.2, "[-0.3, 0.1]": -0.1, "[1e-1, 7e-1]": 0.4, "[1_000, 2_000.0]": 1500} {
		sheet, faults := worksheet.Read([]byte(one("limits = " + limits + "\nlaw = \"rectangular\"")))
		if len(faults) > 0 || sheet.Budget.Inputs[0].Value != want {
			t.Errorf("%s: %v", limits, faults)
		}
	}
}

func TestPercent(t *testing.T) {
	for text, want := range map[string]float64{"95 %": 0.95, "95%": 0.95, "0.95": 0.95, " 99.73 % ": 0.9973, "1e-1": 0.1, "0.5%": 0.005} {
		if got, err := worksheet.ParsePercent(text); err != nil || got != want {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "%", "95", "1", "p", "95 % ?", "nan", "inf %"} {
		if got, err := worksheet.ParsePercent(text); err == nil {
			t.Errorf("%q is taken as %v", text, got)
		}
	}
}

// Whatever bytes come, reading ends with a sheet that evaluates or is refused, or with faults inside the text.
func FuzzRead(f *testing.F) {
	for _, name := range []string{"gum-h1", "gum-h2-resistance", "ea-s10", "jcgm101-mass", "jcgm101-loss"} {
		text, err := data.Data(name + ".toml")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		sheet, faults := worksheet.Read(text)
		if (sheet == nil) == (len(faults) == 0) {
			t.Fatalf("%v and %v", sheet, faults)
		}
		for _, fault := range faults {
			if fault.Position.Line < 1 || fault.Message == "" || int(fault.Position.Line) > 1+strings.Count(string(text), "\n") {
				t.Fatalf("%+v", fault)
			}
		}
		if sheet != nil {
			if _, err := sheet.Budget.Evaluate(); err != nil {
				sheet.Place(err)
			}
		}
	})
}
