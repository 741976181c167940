package expression_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"plumbrule/rules/budget/expression"
)

func model(t testing.TB, text string, inputs ...string) *expression.Model {
	t.Helper()
	e, err := expression.Parse(text)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	m, err := expression.Compile(inputs, e)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return m
}

// Arithmetic: the values are those of the usual rules.
func TestValues(t *testing.T) {
	inputs, x := []string{"a", "b", "c", "δα_1"}, []float64{2, 3, 5, 7}
	for text, want := range map[string]float64{
		"1 + 2*3":                7,
		"(1 + 2)*3":              9,
		"a - b - c":              -6,
		"a - (b - c)":            4,
		"12/b/a":                 2,
		"12/(b/a)":               8,
		"2^3^2":                  512,
		"(2^3)^2":                64,
		"-a^2":                   -4,
		"(-a)^2":                 4,
		"2^-1":                   0.5,
		"a*-b":                   -6,
		"--a":                    2,
		"+a - +b":                -1,
		"a--b":                   5,
		"1e3 + .5 + 2. + 1.5E-1": 1002.65,
		"δα_1*a":                 14,
		"sqrt(a^2 + 12)":         4,
		"exp(ln(b))":             3,
		"log10(1000)":            3,
		"sin(pi/6)":              0.5,
		"cos(0)":                 1,
		"tan(pi/4)":              1,
		"asin(1)*2/pi":           1,
		"acos(-1)/pi":            1,
		"atan(1)*4/pi":           1,
		"atan2(-1, -1)/pi":       -0.75,
		"abs(a - c)":             3,
		"min(c, b, a, 9)":        2,
		"max(a, c, b)":           5,
		"a ^ 0.5 ^ 2":            math.Pow(2, 0.25),
		"(-8)^(1/3*3)":           -8,
		" a\n\t+ b\r\n":          5,
		"0^0":                    1,
		"e1 + 2e1":               0, // a name and a number: set below
	} {
		names, point := inputs, x
		if strings.Contains(text, "e1 +") {
			names, point, want = []string{"e1"}, []float64{4}, 24
		}
		got, err := model(t, text, names...).Value(point)
		if err != nil || math.Abs(got-want) > 1e-12*math.Abs(want) {
			t.Errorf("%q = %v, %v; want %v", text, got, err, want)
		}
	}
}

// What people mistype: the place, and what would mend it.
func TestParseRefuses(t *testing.T) {
	for _, tt := range []struct{ text, at, found, mend string }{
		{"", "", "the end of the expression", "complete it"},
		{"  ", "", "the end", "complete it"},
		{"a +", "", "the end", "complete it"},
		{"a + * b", "*", `"*"`, "applies to"},
		{"* a", "*", `"*"`, "applies to"},
		{"(a + b", "(", "an opening bracket", "close it"},
		{"a + b)", ")", "a closing bracket", "open it"},
		{"()", ")", "a closing bracket", "complete"},
		{"sin()", ")", "a closing bracket", "complete"},
		{"2 a", "a", `"a" directly behind a value`, "*"},
		{"2a", "a", `"a" directly behind a value`, "*"},
		{"2e", "e", `"e" directly behind a value`, "*"},
		{"(a)(b)", "(", `"(" directly behind a value`, "*"},
		{"(a b)", "b", `"b" directly behind a value`, "*"},
		{"a(b)", "a", `"a" before a bracket`, "a*(…)"},
		{"sqr(a)", "sqr", `"sqr" before a bracket`, "did you mean sqrt"},
		{"log(a)", "log", `"log" before a bracket`, "ln"},
		{"arctan(a)", "arctan", `"arctan"`, "write atan"},
		{"pow(a, 2)", "pow", `"pow"`, "a^b"},
		{"sin + 1", "sin", "the function sin without its bracket", "sin(a)"},
		{"1,5*a", ",", "a comma", "dot"},
		{"(1,5)", ",", "a comma", "dot"},
		{"sin(1,5)", ",", "more arguments for sin", "sin(a)"},
		{"atan2(a)", ")", "fewer arguments for atan2", "atan2(y, x)"},
		{"min(a)", ")", "fewer arguments for min", "min(a, b"},
		{"atan2(a, b, c)", ",", "more arguments for atan2", "atan2(y, x)"},
		{"a ** 2", "**", `"**"`, "^"},
		{"a·b", "·", `"·"`, "*"},
		{"a − b", "−", `"−"`, "minus sign of the keyboard"},
		{"a²", "²", `"²"`, "^2"},
		{"√a", "√", `"√"`, "sqrt"},
		{"∆t", "∆", `"∆"`, "Δ"},
		{"[a]", "[", `"["`, "round"},
		{"y = a", "=", `"="`, "right-hand side"},
		{"5 %", "%", `"%"`, "100"},
		{"a'", "'", `"'"`, "letters"},
		{"1.2.3", "1.2.", "two decimal points", "leave one out"},
		{".", ".", "a dot without a digit", "0.5"},
		{"1e999", "1e999", "1e999", "exponent"},
		{"1e-999", "1e-999", "1e-999", "exponent"},
		{strings.Repeat("(", 300) + "a", "(", "nested deeper", "define"},
		{strings.Repeat("-", 300) + "a", "-", "nested deeper", "define"},
		{strings.Repeat("2^", 300) + "a", "^", "nested deeper", "define"},
		{strings.Repeat("a+", 10_000) + "a", strings.Repeat("a+", 10_000) + "a", "20001 bytes", "define"},
		{"a\xff", "\xff", `"\xff"`, ""},
	} {
		e, err := expression.Parse(tt.text)
		var fault *expression.Error
		if !errors.As(err, &fault) || e != nil {
			t.Errorf("%.40q: %v, want an error", tt.text, err)
			continue
		}
		if got := tt.text[fault.Start:fault.End]; got != tt.at || !strings.Contains(fault.Found, tt.found) || !strings.Contains(fault.Mend, tt.mend) || fault.Expected == "" {
			t.Errorf("%.40q: %.40q: %v; mend: %s", tt.text, got, fault, fault.Mend)
		}
	}
}

func TestNames(t *testing.T) {
	for _, good := range []string{"l", "l_S", "_", "δα", "Δt2", "e", "Pi", "ℓ", "長さ"} {
		if !expression.IsName(good) {
			t.Errorf("%q is refused as a name", good)
		}
	}
	for _, bad := range []string{"", "2a", "a b", "a-b", "pi", "sin", "max", "a'", "x²", "a\u0301", "\xff"} {
		if expression.IsName(bad) {
			t.Errorf("%q is taken as a name", bad)
		}
	}
}

// Whatever text comes, reading ends, and what was read evaluates to a finite number or a fault; the places of errors lie in
// the text; blocks agree with single values.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"l_S + d - l_S*(δα*θ + α_S*δθ)", "V*cos(φ)/I", "a^b^-c", "min(a, max(b, c), 1e-3)", "atan2(a, b)", "((a", "a**b", "1e999", "-+-a", "sqrt(-a)", "a/(b-b)",
	} {
		f.Add(seed)
	}
	names := []string{"a", "b", "c"}
	x := []float64{0.7, -1.3, 2.1}
	f.Fuzz(func(t *testing.T, text string) {
		e, err := expression.Parse(text)
		var fault *expression.Error
		if err != nil {
			if !errors.As(err, &fault) || fault.Start < 0 || fault.End < fault.Start || fault.End > len(text) || fault.Found == "" {
				t.Fatalf("%q: %#v", text, err)
			}
			return
		}
		m, err := expression.Compile(names, e)
		if err != nil {
			if !errors.As(err, &fault) || fault.Start < 0 || fault.End <= fault.Start || fault.End > len(text) {
				t.Fatalf("%q: %#v", text, err)
			}
			return
		}
		v, err := m.Value(x)
		block, ok := evaluated(m, x)
		var gone *expression.Fault
		switch {
		case err != nil && (!errors.As(err, &gone) || ok):
			t.Fatalf("%q: %v, but the block gives %v", text, err, block)
		case err == nil && (!ok || math.Float64bits(block) != math.Float64bits(v) || math.IsNaN(v) || math.IsInf(v, 0)):
			t.Fatalf("%q: %v, the block gives %v, %v", text, v, block, ok)
		}
		if err == nil {
			if _, err := m.Gradient(x); err != nil && !errors.As(err, &gone) {
				t.Fatalf("%q: %v", text, err)
			}
		}
	})
}

// evaluated gives the last of a block of equal trials.
func evaluated(m *expression.Model, x []float64) (float64, bool) {
	const n = 9
	free := make([]float64, len(x))
	for i := range free {
		free[i] = math.NaN()
	}
	e := m.Evaluator(n+3, free)
	for i := range x {
		for k := range e.Input(i) {
			e.Input(i)[k] = x[i]
		}
	}
	out, ok := e.Run(n)
	return out[n-1], ok
}
