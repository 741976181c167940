package propagation

import (
	"math"

	"plumbrule/rules/budget/expression"
	"plumbrule/rules/budget/law"
	"plumbrule/rules/figure"
)

// InputError says which input of the computation cannot be used, why, and what would mend it.
type InputError = figure.InputError

// Budget is what a result and its uncertainty rest on.
type Budget struct {
	Model        *expression.Model
	Definitions  []string // names of the quantities that the model defines, in its order
	Inputs       []Input  // in the model's order
	Correlations []Correlation
	Coverage     Coverage

	// Order is that of the Taylor terms in the combined uncertainty: 1, or 2 with the terms of GUM 5.1.2, note.
	Order int
}

// Input is an input quantity with what is known of it.
type Input struct {
	Name, Unit string
	Value      float64

	// U is the standard uncertainty, 0 or more, and DegreesOfFreedom, 1 or more, says how well it is known: GUM 4.2 to 4.4
	// and G.4.
	U                float64
	DegreesOfFreedom float64

	// Law is the distribution to draw from in Monte Carlo trials. Its standard deviation need not be U: a t distribution is
	// wider than the s/√n of the GUM.
	Law law.Law

	// Set names readings that were taken together with those of other inputs of the same set, so that their covariance is
	// known (GUM 5.2.3, H.2); Readings are these, one a repetition.
	Set      string
	Readings []float64

	Rule   string // how U comes from what was stated
	Source string // what it rests on: a certificate, a clause, a judgement
}

// Correlation is a stated correlation coefficient between two different inputs, from −1 to 1. Inputs are counted from 0.
// Those of one [Input.Set] are correlated by their readings and must not be stated.
type Correlation struct {
	A, B        int
	Coefficient float64
}

// ResultLaw is the distribution by which a result is expanded to a probability.
type ResultLaw string

// The laws of a result. A dominant contribution leaves its own shape on the result; EA-4/02 M:2022, examples S9 and S10.
const (
	ByStudent     ResultLaw = "t"           // t, or normal with infinite degrees of freedom; the zero value means it too
	ByRectangle   ResultLaw = "rectangular" // one rectangular contribution dominates
	ByTrapezoidal ResultLaw = "trapezoidal" // two rectangular ones do
)

// Coverage says how the combined uncertainty is expanded: to a probability (0.5 … 0.999999), or by a stated factor. One of
// the two is given, the other 0. A law other than t needs a probability.
type Coverage struct {
	Probability float64
	Factor      float64
	Law         ResultLaw
}

// Result is a result with its uncertainty. A figure that no formula backs is absent, with the reason.
type Result struct {
	Value     float64
	CombinedU float64 // u_c, of the order asked for
	FirstU    float64 // u_c to first order
	Order     int

	Components  []Component  // of the inputs, in their order
	Definitions []Definition // of the quantities defined
	Second      Second
	Sets        []Set

	// EffectiveDOF is ν_eff, not truncated; +Inf if every contribution's uncertainty is taken as certain. UsedDOF is the
	// next lower integer, which the coverage factor was read for. With second-order terms ν_eff stays that of the first.
	EffectiveDOF figure.Figure
	UsedDOF      figure.Figure

	CoverageFactor      figure.Figure // k
	CoverageProbability figure.Figure // of ±U
	ExpandedU           figure.Figure // U = k·u_c, not rounded
	Law                 ResultLaw     // by which k or the probability was found

	Notes []Note
}

// Component is the part of one input.
type Component struct {
	U            float64 // standard uncertainty of the input
	Sensitivity  float64 // ∂f/∂x, with its sign
	Contribution float64 // |sensitivity|·U

	// Share is the component's part of the variance u_c²: its square over u_c², and with correlations its covariance with the
	// whole, which may be negative. Shares, with those of the second order if they are in u_c, sum to 1; all are 0 if u_c is.
	Share float64
}

// Definition is a quantity between the inputs and the measurand.
type Definition struct {
	Name     string
	Value, U float64 // to first order
}

// Set is what comes of evaluating the model for each of the readings taken together, all other inputs at their values: the
// second approach of GUM H.2. U is the standard deviation of the mean, and compares with the contribution of the set alone.
type Set struct {
	Name     string
	Readings int
	Mean, U  figure.Figure
}

// Note is something to know about a result. Codes are stable.
type Note struct {
	Code string
	Text string
}

// The codes of notes.
const (
	NoteSecondOrder = "second-order-matters"
	NoteSecondLower = "second-order-lowers"
	NoteIdle        = "contributes-nothing"
	NoteLowFreedom  = "few-degrees-of-freedom"
	NoteDominant    = "rectangular-contributions-dominate"
)

// values returns the point at which the model is evaluated.
func (b *Budget) values() []float64 {
	x := make([]float64, len(b.Inputs))
	for i := range b.Inputs {
		x[i] = b.Inputs[i].Value
	}
	return x
}

// largest bounds every number that comes in, so that no product of three overflows.
const largest = 1e100

func (b *Budget) check() error {
	if b.Model == nil || b.Model.Inputs() != len(b.Inputs) || len(b.Inputs) == 0 {
		return &InputError{Field: "inputs", Found: "not those of the model", Expected: "one for each of the model's, in its order", Mend: "compile the model with the names of the inputs"}
	}
	for i := range b.Inputs {
		in := &b.Inputs[i]
		field := func(what string) string { return "input " + in.Name + " " + what }
		switch {
		case !(math.Abs(in.Value) <= largest):
			return &InputError{Field: field("value"), Found: number(in.Value), Expected: "a finite number within 1e100 of 0", Mend: "check the unit"}
		case !(in.U >= 0 && in.U <= largest):
			return &InputError{Field: field("u"), Found: number(in.U), Expected: "a standard uncertainty from 0 to 1e100", Mend: "state it without a sign"}
		case !(in.DegreesOfFreedom >= 1):
			return &InputError{Field: field("degrees_of_freedom"), Found: number(in.DegreesOfFreedom), Expected: "1 or more", Mend: "use infinity where u is taken as certain"}
		}
	}
	if b.Order != 1 && b.Order != 2 {
		return &InputError{Field: "order", Found: number(float64(b.Order)), Expected: "1 or 2", Mend: "higher orders have no formula; use Monte Carlo"}
	}
	return nil
}
