package expression_test

import (
	"errors"
	"strings"
	"testing"

	"plumbrule/rules/budget/expression"
)

func parsed(t testing.TB, text string) *expression.Expression {
	t.Helper()
	e, err := expression.Parse(text)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return e
}

func TestDefinitions(t *testing.T) {
	m, err := expression.Compile([]string{"l", "t0", "dt", "unused"}, parsed(t, "l*(1 + shift)"),
		expression.Definition{Name: "shift", Is: parsed(t, "1e-6*theta")},
		expression.Definition{Name: "theta", Is: parsed(t, "t0 + dt")},
		expression.Definition{Name: "idle", Is: parsed(t, "2*unused")},
	)
	if err != nil {
		t.Fatal(err)
	}
	got, err := m.Values([]float64{10, 2, 3, 4})
	if err != nil || len(got) != 4 || got[0] != 10*(1+1e-6*5.0) || got[2] != 5 || got[3] != 8 {
		t.Errorf("values %v, %v", got, err)
	}
	for i, want := range []bool{true, true, true, false} {
		if m.Uses(i) != want {
			t.Errorf("input %d used: %v", i, !want)
		}
	}
	for i, want := range []bool{true, true, false} {
		if m.UsesDefinition(i) != want {
			t.Errorf("definition %d used: %v", i, !want)
		}
	}
}

func TestCompileRefuses(t *testing.T) {
	inputs := []string{"length", "µ", "t"}
	for _, tt := range []struct {
		text        string
		where       []string
		in          int
		found, mend string
	}{
		{"legnth + t", nil, 0, `"legnth", which is no input`, "did you mean length?"},
		{"μ + t", nil, 0, `"μ"`, "another letter"}, // Greek mu for the micro sign
		{"zzz", nil, 0, `"zzz"`, "the inputs are length, µ, t"},
		{"2*p", []string{"p", "length*quite"}, 1, `"quite"`, "the inputs are"},
		{"p", []string{"p", "q + 1", "q", "r", "r", "p"}, 3, "p ← q ← r ← p", "by inputs"},
		{"p", []string{"p", "p"}, 1, "p ← p", "by inputs"},
		{"t", []string{"p", "q", "q", "p"}, 2, "p ← q ← p", "by inputs"}, // a circle nobody asks for is one as well
	} {
		var where []expression.Definition
		for i := 0; i < len(tt.where); i += 2 {
			where = append(where, expression.Definition{Name: tt.where[i], Is: parsed(t, tt.where[i+1])})
		}
		_, err := expression.Compile(inputs, parsed(t, tt.text), where...)
		var fault *expression.Error
		if !errors.As(err, &fault) || fault.In != tt.in || !strings.Contains(fault.Found, tt.found) || !strings.Contains(fault.Mend, tt.mend) || fault.End <= fault.Start {
			t.Errorf("%s: %#v", tt.text, err)
		}
	}
	long := parsed(t, strings.Repeat("sin(", 150)+"t"+strings.Repeat(")", 150))
	if _, err := expression.Compile(inputs, long); err != nil {
		t.Errorf("150 functions inside each other: %v", err)
	}
}

func TestTooManyOperations(t *testing.T) {
	names, sum := []string{"x"}, "x"
	for i := range 5000 {
		if len(sum) > 15_000 {
			break
		}
		sum = "x+" + strings.Repeat("1", 1+i%2) + "*" + sum
	}
	where := []expression.Definition{}
	for range 3 {
		where = append(where, expression.Definition{Name: string(rune('a' + len(where))), Is: parsed(t, sum)})
		sum = strings.ReplaceAll(sum, "1", "3")
	}
	_, err := expression.Compile(names, parsed(t, sum), where...)
	var fault *expression.Error
	if !errors.As(err, &fault) || !strings.Contains(fault.Found, "4096") {
		t.Errorf("%v, want a refusal of so many operations", err)
	}
}

// A value that does not exist is told with its place and the inputs it comes from, and never hidden by a later operation.
func TestFaults(t *testing.T) {
	for _, tt := range []struct {
		text, part, what string
		inputs           []int
	}{
		{"1/(1/(a - b))", "1/(a - b)", "a division by zero", []int{0, 1}},
		{"atan(c/(a - b))", "c/(a - b)", "a division by zero", []int{0, 1, 2}},
		{"c + exp(-1/abs(a - b))", "-1/abs(a - b)", "a division by zero", []int{0, 1}},
		{"min(3, 1/(a-b))", "1/(a-b)", "a division by zero", []int{0, 1}},
		{"sqrt(a - c)", "sqrt(a - c)", "the square root of -1", []int{0, 2}},
		{"ln(a - b)", "ln(a - b)", "the logarithm of 0", []int{0, 1}},
		{"log10(-c)", "log10(-c)", "the logarithm of -3", []int{2}},
		{"asin(a)", "asin(a)", "the angle whose sine or cosine is 2", []int{0}},
		{"(-a)^0.5", "(-a)^0.5", "-2 to the power 0.5, which is not whole", []int{0}},
		{"(a - b)^-1", "(a - b)^-1", "zero to the power -1", []int{0, 1}},
		{"1/(a*1e300*c*1e300)", "a*1e300*c*1e300", "a number too large to hold", []int{0, 2}},
		{"atan(a*1e300*c*1e300)", "a*1e300*c*1e300", "a number too large to hold", []int{0, 2}},
		{"exp(1000*a)", "exp(1000*a)", "a number too large to hold", []int{0}},
		{"c + 1/0", "1/0", "a division by zero", nil},
		{"max(\n  sqrt(-1),\n  c)", "sqrt(-1)", "the square root of -1", nil},
	} {
		m := model(t, tt.text, "a", "b", "c")
		x := []float64{2, 2, 3}
		_, err := m.Value(x)
		var fault *expression.Fault
		if !errors.As(err, &fault) || fault.Text != tt.part || fault.What != tt.what || len(fault.Inputs) != len(tt.inputs) || tt.text[fault.Start:fault.End] != tt.part {
			t.Errorf("%s: %#v", tt.text, err)
			continue
		}
		for i := range tt.inputs {
			if fault.Inputs[i] != tt.inputs[i] {
				t.Errorf("%s: inputs %v, want %v", tt.text, fault.Inputs, tt.inputs)
			}
		}
		if v, ok := evaluated(m, x); ok {
			t.Errorf("%s: the block says %v", tt.text, v)
		}
		if _, err := m.Gradient(x); !errors.As(err, &fault) {
			t.Errorf("%s has a gradient", tt.text)
		}
	}
}
