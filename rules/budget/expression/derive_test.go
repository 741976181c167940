package expression_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/budget/expression"
)

func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.12g, want %.12g ± %g", what, got, want, tolerance)
	}
}

// Derivatives in closed form, by the rules of calculus.
func TestDerivatives(t *testing.T) {
	x, y := 1.3, 0.7
	s, c := math.Sin(x*y), math.Cos(x*y)
	for _, tt := range []struct {
		text                         string
		fx, fy, fxx, fxy, fxxx, fxyy float64 // fxyy by x once, by y twice
	}{
		{"x^3*y^2", 3 * x * x * y * y, 2 * x * x * x * y, 6 * x * y * y, 6 * x * x * y, 6 * y * y, 6 * x * x},
		{"sin(x*y)", y * c, x * c, -y * y * s, c - x*y*s, -y * y * y * c, -2*x*s - x*x*y*c},
		{"exp(x + 2*y)", math.Exp(x + 2*y), 2 * math.Exp(x+2*y), math.Exp(x + 2*y), 2 * math.Exp(x+2*y), math.Exp(x + 2*y), 4 * math.Exp(x+2*y)},
		{"x/y", 1 / y, -x / (y * y), 0, -1 / (y * y), 0, 2 / (y * y * y)},
		{"ln(x)*y", y / x, math.Log(x), -y / (x * x), 1 / x, 2 * y / (x * x * x), 0},
		{"x^y", y * math.Pow(x, y-1), math.Pow(x, y) * math.Log(x), y * (y - 1) * math.Pow(x, y-2), math.Pow(x, y-1) * (1 + y*math.Log(x)), y * (y - 1) * (y - 2) * math.Pow(x, y-3), math.Pow(x, y-1) * math.Log(x) * (2 + y*math.Log(x))},
	} {
		m := model(t, tt.text, "x", "y")
		at := []float64{x, y}
		g, err := m.Gradient(at)
		if err != nil {
			t.Fatal(err)
		}
		near(t, tt.text+" by x", g[0][0], tt.fx, 1e-12)
		near(t, tt.text+" by y", g[0][1], tt.fy, 1e-12)
		d := m.At(at)
		near(t, tt.text+" by xx", d.Pair(0, 0).Second, tt.fxx, 1e-12)
		near(t, tt.text+" by xxx", d.Pair(0, 0).Third, tt.fxxx, 1e-12)
		near(t, tt.text+" by xy", d.Pair(0, 1).Second, tt.fxy, 1e-12)
		near(t, tt.text+" by yx", d.Pair(1, 0).Second, tt.fxy, 1e-12)
		near(t, tt.text+" by xyy", d.Pair(0, 1).Third, tt.fxyy, 1e-11)
	}
}

// Every operation against differences of its own values, and each order of derivative against differences of the one before,
// at random points where it is smooth.
func TestDerivativesAgainstDifferences(t *testing.T) {
	texts := []string{"x + y*x", "x - y/x", "x*y", "x/y", "x^y", "x^3*y", "x^-2*y", "x^2.5/y", "2^x*y", "-x*y", "abs(x*y)", "abs(-x)*y", "min(x, 9)*y", "max(x, -y)*x", "atan2(y, x)", "atan2(y, -x)", "atan2(-y, -x)", "atan2(3*y, x)"}
	for _, f := range expression.Functions() {
		switch f.Name {
		case "atan2", "min", "max", "abs":
		case "asin", "acos":
			texts = append(texts, f.Name+"(x*y/4)", f.Name+"(-x/3)*y")
		default:
			texts = append(texts, f.Name+"(x*y)", f.Name+"(x + y)*y", "y/"+f.Name+"(x)")
		}
	}
	for _, text := range texts {
		m := model(t, text, "x", "y")
		rapid.Check(t, func(t *rapid.T) {
			// ln and log10 pass 0 at 1, where 1/ln has its pole; stay clear of that and of tan's pole at π/2.
			at := []float64{rapid.Float64Range(1.1, 1.25).Draw(t, "x"), rapid.Float64Range(0.15, 0.3).Draw(t, "y")}
			const h = 1e-4
			moved := func(input int, by float64) []float64 {
				out := []float64{at[0], at[1]}
				out[input] += by
				return out
			}
			value := func(x []float64) float64 {
				v, err := m.Value(x)
				if err != nil {
					t.Fatal(err)
				}
				return v
			}
			first := func(x []float64, input int) float64 {
				g, err := m.Gradient(x)
				if err != nil {
					t.Fatal(err)
				}
				return g[0][input]
			}
			difference := func(f func([]float64) float64, input int) float64 {
				// Two step widths, so that the error of the difference is of the fourth order (Richardson).
				near := (f(moved(input, h)) - f(moved(input, -h))) / (2 * h)
				far := (f(moved(input, 2*h)) - f(moved(input, -2*h))) / (4 * h)
				return near + (near-far)/3
			}
			agree := func(what string, got, want float64) {
				if !(math.Abs(got-want) <= 1e-6*(1+math.Abs(want))) {
					t.Fatalf("%s at %v: %s is %.9g, by differences %.9g", text, at, what, got, want)
				}
			}
			for i := range at {
				agree(fmt.Sprint("∂", i), first(at, i), difference(value, i))
				for j := range at {
					agree(fmt.Sprint("∂²", i, j), m.At(at).Pair(i, j).Second, difference(func(x []float64) float64 { return first(x, i) }, j))
					agree(fmt.Sprint("∂³", i, j, j), m.At(at).Pair(i, j).Third, difference(func(x []float64) float64 { return m.At(x).Pair(i, j).Second }, j))
				}
			}
		})
	}
}

// Corners and jumps have no derivative; a power at zero has those that exist.
func TestNoDerivative(t *testing.T) {
	for text, want := range map[string]string{
		"abs(a)":          "no derivative in abs(a)",
		"b*abs(2*a)":      "no derivative in abs(2*a)",
		"min(a, 2*a)":     "no derivative in min(a, 2*a)",
		"max(b, a + 1)":   "no derivative in max(b, a + 1)",
		"sqrt(a)":         "no derivative in sqrt(a)",
		"sqrt(a^2)":       "no derivative in sqrt(a^2)",
		"a^0.5":           "no derivative in a^0.5",
		"atan2(a, -b)":    "no derivative in atan2(a, -b)",
		"asin(b)*(1 + a)": "no derivative in asin(b)",
	} {
		_, err := model(t, text, "a", "b").Gradient([]float64{0, 1})
		var fault *expression.Fault
		if !errors.As(err, &fault) || fault.Error() != want {
			t.Errorf("%s: %v, want %s", text, err, want)
		}
	}
	for text, want := range map[string]float64{
		"a^2": 0, "a^1": 1, "a^3": 0, "a^1.5": 0, "a*b": 1, "sqrt(4) + a": 1, "abs(-2) + a": 1, "min(a, a)": 1, "atan2(a, b)": 1, "(a + 0)^0": 0,
	} {
		g, err := model(t, text, "a", "b").Gradient([]float64{0, 1})
		if err != nil || g[0][0] != want {
			t.Errorf("%s: %v, %v, want %g", text, g, err, want)
		}
	}
	if third := model(t, "a^3", "a").At([]float64{0}).Pair(0, 0).Third; third != 6 {
		t.Errorf("a^3 at 0 by aaa: %g, want 6", third)
	}
	if second := model(t, "a^1.5", "a").At([]float64{0}).Pair(0, 0).Second; !math.IsInf(second, 1) {
		t.Errorf("a^1.5 at 0 by aa: %g, want no number", second)
	}
}

// The gradient of a definition is that of its expression.
func TestGradientOfDefinitions(t *testing.T) {
	m, err := expression.Compile([]string{"a", "b"}, parsed(t, "q^2"), expression.Definition{Name: "q", Is: parsed(t, "3*a - b")})
	if err != nil {
		t.Fatal(err)
	}
	g, err := m.Gradient([]float64{2, 1})
	if err != nil || g[0][0] != 30 || g[0][1] != -10 || g[1][0] != 3 || g[1][1] != -1 {
		t.Errorf("%v, %v", g, err)
	}
}
