package worksheet

import (
	"fmt"
	"strings"

	"plumbrule/rules/budget/law"
	"plumbrule/rules/budget/propagation"
)

// Table documents a table of the file: its header, empty for the keys at the top, and its keys.
type Table struct {
	Header string
	Text   string
	Keys   []Key
}

// Key documents one key.
type Key struct {
	Name   string
	Form   string // how its value is written
	Text   string
	Needed bool
}

// Statement documents one way to state an uncertainty: the key that leads it, the keys that must and may stand beside it,
// and what it means.
type Statement struct {
	Lead  string
	Needs []string
	May   []string
	Text  string
}

// Tables lists all that a file may say.
func Tables() []Table {
	return []Table{
		{"", "What is measured and how it is expressed.", []Key{
			{"title", "text", "what the budget is of", true},
			{"measurand", "name", "symbol of the result; default y", false},
			{"unit", "text", "unit of the result; \"1\" for a pure number", true},
			{"expression", "text", "the result as a function of the inputs", true},
			{"probability", "\"95 %\"", "coverage probability; default 95 % where k is not stated", false},
			{"k", "number", "coverage factor, in place of a probability", false},
			{"order", "1 or 2", "2 takes the second-order terms of GUM 5.1.2, note, into u_c; default 1", false},
			{"result-law", "one of " + words(resultLaws()), "distribution of the result by which it is expanded to the probability; default t", false},
			{"note", "text", "anything else", false},
			{"input", "[[input]]", "one input", true},
			{"where", "[[where]]", "a quantity that the expression names, defined by an expression of its own", false},
			{"correlation", "[[correlation]]", "correlation of two inputs", false},
		}},
		{"input", "One input: its value and, in one of the ways below, its uncertainty.", []Key{
			{"name", "name", "as in the expression", true},
			{"unit", "text", "unit of its figures; \"1\" for a pure number", true},
			{"value", "number", "estimate", false},
			{"values", "list of numbers", "readings, whose mean is the estimate", false},
			{"exact", "true", "taken as certain", false},
			{"standard", "number above 0", "standard uncertainty u", false},
			{"expanded", "number above 0", "expanded uncertainty U, as a certificate states it", false},
			{"k", "number above 0", "coverage factor of U", false},
			{"probability", "\"95 %\"", "coverage probability of U", false},
			{"half-width", "number above 0", "half width a of the limits around the value", false},
			{"limits", "[low, high]", "limits, amid which the value lies", false},
			{"law", "one of " + words(law.Kinds()), "distribution", false},
			{"beta", "number from 0 to 1", "trapezoidal: width of the top over that of the base", false},
			{"inexact", "number above 0", "curvilinear trapezoidal: by how much the half width may be off", false},
			{"pooled-deviation", "number above 0", "pooled standard deviation of a single reading, from earlier series", false},
			{"readings", "whole number", "number of readings whose mean the value is", false},
			{"degrees-of-freedom", "number from 1", "how well the uncertainty is known; infinite where not stated", false},
			{"known-to", "\"25 %\"", "by which fraction r the uncertainty itself may be off: ν = 1/(2r²), GUM G.4.2", false},
			{"together", "name", "readings taken together with those of the inputs that say the same, in the same order", false},
			{"source", "text", "what the figures rest on", false},
		}},
		{"where", "A quantity between the inputs and the result.", []Key{
			{"name", "name", "as in the expression", true},
			{"expression", "text", "in inputs and other such quantities", true},
		}},
		{"correlation", "The correlation coefficient of two inputs.", []Key{
			{"between", "list of two names", "the inputs", true},
			{"coefficient", "number from -1 to 1", "r", true},
			{"source", "text", "what it rests on", false},
		}},
	}
}

// Statements lists the ways to state an uncertainty.
func Statements() []Statement {
	freedom := []string{"degrees-of-freedom", "known-to"}
	return []Statement{
		{"exact", []string{"value"}, nil, "no uncertainty"},
		{"values", nil, []string{"together"}, "mean of n readings: s/√n with ν = n − 1; trials draw from t (GUM 4.2; JCGM 101 6.4.9.2)"},
		{"pooled-deviation", []string{"degrees-of-freedom"}, []string{"value", "readings", "values"}, "mean of n readings, given or counted by readings, of pooled standard deviation s: s/√n with the ν of s; t (GUM 4.2.4)"},
		{"standard", []string{"value"}, append([]string{"law"}, freedom...), "u as it is; normal, or t where ν is stated (law = \"normal\" or \"t\" says otherwise)"},
		{"expanded", []string{"value"}, append([]string{"k", "probability", "law"}, freedom...), "U/k, or U over the factor for a probability, that of t where ν is stated; normal or t (GUM 4.3.3, 4.3.4; JCGM 101 6.4.9.7)"},
		{"half-width", []string{"value", "law"}, append([]string{"beta", "inexact"}, freedom...), "a/√3 rectangular, a/√6 triangular, a√((1 + β²)/6) trapezoidal, √(a²/3 + d²/9) curvilinear trapezoidal, a/√2 arcsine (GUM 4.3.7 to 4.3.9; JCGM 101 6.4.2 to 6.4.6)"},
		{"limits", []string{"law"}, append([]string{"beta", "inexact"}, freedom...), "the same, with the value amid them"},
		{"law", []string{"value"}, nil, "law = \"exponential\" alone: not negative, u equals the value (JCGM 101 6.4.10)"},
	}
}

func resultLaws() []propagation.ResultLaw {
	return []propagation.ResultLaw{propagation.ByStudent, propagation.ByRectangle, propagation.ByTrapezoidal}
}

func words[S ~string](all []S) string {
	var quoted []string
	for _, w := range all {
		quoted = append(quoted, fmt.Sprintf("%q", string(w)))
	}
	return strings.Join(quoted, ", ")
}

func names(header string) []string {
	var out []string
	for _, t := range Tables() {
		if t.Header == header {
			for _, k := range t.Keys {
				out = append(out, k.Name)
			}
		}
	}
	return out
}

// Reference writes the keys as a page.
func Reference() string {
	var b strings.Builder
	b.WriteString("# Budget files\n\nThe keys of the file that `plumbrule budget` reads. This page is written by `go test ./rules/budget/worksheet -update`.\n\n" +
		"Files are TOML 1.0 in UTF-8. Numbers have no unit: all figures are in consistent units that the file states and nobody checks.\n")
	for _, t := range Tables() {
		if t.Header != "" {
			fmt.Fprintf(&b, "\n## `[[%s]]`\n", t.Header)
		}
		fmt.Fprintf(&b, "\n%s\n\n| key | written as | needed | meaning |\n|---|---|---|---|\n", t.Text)
		for _, k := range t.Keys {
			needed := ""
			if k.Needed {
				needed = "yes"
			}
			fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", k.Name, k.Form, needed, k.Text)
		}
		if t.Header == "input" {
			b.WriteString("\nThe ways to state an uncertainty; each input takes one:\n\n| by | needs | may have | means |\n|---|---|---|---|\n")
			for _, s := range Statements() {
				fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", s.Lead, strings.Join(s.Needs, ", "), strings.Join(s.May, ", "), s.Text)
			}
			b.WriteString("\nA rectangular input whose half width is `known-to` a fraction r has u = a/√3 with ν = 1/(2r²) in the law of propagation; trials\n" +
				"draw from the curvilinear trapezoid with d = r·a, as JCGM 101 9.5 does with the gauge block of GUM H.1. Other limits are\ndrawn as exact ones.\n")
		}
	}
	return b.String()
}
