package selftest

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"plumbrule/rules/budget"
	"plumbrule/rules/budget/expression"
	"plumbrule/rules/budget/law"
	"plumbrule/rules/budget/montecarlo"
	"plumbrule/rules/budget/propagation"
	"plumbrule/rules/budget/random"
	"plumbrule/rules/budget/worksheet"
	"plumbrule/rules/published"
)

func coverageFactor(_ *bench, input string) (float64, error) {
	in, err := allNamed(input, "p", "ν")
	if err != nil {
		return 0, err
	}
	p := in[0] / 100
	for k, percent := range []float64{68.27, 95.45, 99.73} { // so many standard deviations of the normal law
		if in[0] == percent {
			p = math.Erf(float64(k+1) / math.Sqrt2)
		}
	}
	return budget.CoverageFactor(p, in[1])
}

func typeBDegrees(_ *bench, input string) (float64, error) {
	r, err := strconv.ParseFloat(input, 64)
	if err != nil {
		return 0, err
	}
	return budget.TypeBDegreesOfFreedom(r)
}

// combinedBudget has the parts of GUM H.1 in nm, those of the difference rounded as H.1.3.2 prints them.
func combinedBudget(_ *bench, input string) (float64, error) {
	const lengthNM = 50_000_623
	inf := math.Inf(1)
	r, err := budget.Combine([]budget.Component{
		{Name: "certificate", U: 75.0 / 3, Sensitivity: 1, DegreesOfFreedom: 18},
		{Name: "mean of 5", U: 5.8, Sensitivity: 1, DegreesOfFreedom: 24},
		{Name: "comparator, random", U: 3.9, Sensitivity: 1, DegreesOfFreedom: 5},
		{Name: "comparator, systematic", U: 6.7, Sensitivity: 1, DegreesOfFreedom: 8},
		{Name: "temperature", U: math.Hypot(0.2, budget.Arcsine(0.5)), Sensitivity: 0, DegreesOfFreedom: inf},
		{Name: "difference of coefficients", U: budget.Rectangular(1e-6), Sensitivity: lengthNM * 0.1, DegreesOfFreedom: 50},
		{Name: "difference of temperatures", U: budget.Rectangular(0.05), Sensitivity: -lengthNM * 11.5e-6, DegreesOfFreedom: 2},
	}, budget.Coverage{Probability: 0.99})
	if err != nil {
		return 0, err
	}
	return pick(strings.TrimPrefix(input, "GUM H.1, "), map[string]float64{
		"u_c in nm": r.CombinedUM, "effective degrees of freedom, truncated": r.UsedDOF, "t99": r.CoverageFactor, "U99 in nm": r.ExpandedUM,
	})
}

func trapezoidalFactor(_ *bench, input string) (float64, error) {
	beta, err := named(input, "edge")
	if err != nil {
		return 0, err
	}
	return budget.TrapezoidalCoverageFactor(0.95, beta)
}

func thermalShift(_ *bench, input string) (float64, error) {
	parts, err := cut(input, ", ", 4)
	if err != nil {
		return 0, err
	}
	in, err := allNamed(input, "α", "α_d")
	if err != nil {
		return 0, err
	}
	length, err := numbersIn(strings.TrimSuffix(parts[0], " mm"))
	if err != nil {
		return 0, err
	}
	celsius, err := numbersIn(strings.TrimSuffix(parts[3], " °C"))
	if err != nil {
		return 0, err
	}
	return budget.ThermalShiftUM(length[0], in[0], in[1], celsius[0])
}

func testValueUncertainty(_ *bench, input string) (float64, error) {
	parts, err := cut(input, ", ", 7)
	if err != nil {
		return 0, err
	}
	in, err := allNamed(input, "U", "α", "half-width", "u(T)")
	if err != nil {
		return 0, err
	}
	var rest []float64
	for _, text := range []string{strings.TrimSuffix(parts[0], " mm"), strings.TrimSuffix(parts[4], " °C"), strings.TrimPrefix(parts[6], "others ")} {
		n, err := numbersIn(text)
		if err != nil {
			return 0, err
		}
		rest = append(rest, n...)
	}
	cs, err := budget.CalibratedLength{
		ReferenceMM: rest[0], CertificateUM: in[0], CertificateFactor: 2, AlphaArtifact: in[1], AlphaArtifactU: budget.Rectangular(in[2]),
		Celsius: rest[1], CelsiusU: in[3],
	}.Components()
	if err != nil {
		return 0, err
	}
	for _, u := range rest[2:] {
		cs = append(cs, budget.Component{Name: "declared", U: u, Sensitivity: 1, DegreesOfFreedom: math.Inf(1)})
	}
	r, err := budget.Combine(cs, budget.Coverage{})
	return r.CombinedUM, err
}

func lawStandard(_ *bench, input string) (float64, error) {
	return law.Law{Kind: law.Kind(input), Width: 1}.Standard(), nil
}

// formula evaluates an expression without inputs.
func formula(_ *bench, input string) (float64, error) {
	e, err := expression.Parse(input)
	if err != nil {
		return 0, err
	}
	m, err := expression.Compile(nil, e)
	if err != nil {
		return 0, err
	}
	return m.Value(nil)
}

// randomNumber reads an input such as "seed 0, number 2".
func randomNumber(_ *bench, input string) (string, error) {
	in, err := allNamed(input, "seed", "number")
	if err != nil {
		return "", err
	}
	g := random.NewGenerator(uint64(in[0]))
	var number uint64
	for range int(in[1]) {
		number = g.Uint64()
	}
	return strconv.FormatUint(number, 10), nil
}

// sheet reads a worked example as a user's budget file is read.
func sheet(b *bench, name string) (*worksheet.Sheet, error) {
	return once(b, "sheet "+name, func() (*worksheet.Sheet, error) {
		text, err := published.Data(name + ".toml")
		if err != nil {
			return nil, err
		}
		s, faults := worksheet.Read(text)
		if len(faults) > 0 {
			return nil, fmt.Errorf("%s.toml:%w", name, faults[0])
		}
		return s, nil
	})
}

func budgetFigure(b *bench, input string) (float64, error) {
	parts, err := cut(input, ", ", 2)
	if err != nil {
		return 0, err
	}
	s, err := sheet(b, parts[0])
	if err != nil {
		return 0, err
	}
	if pair, is := strings.CutPrefix(parts[1], "correlation "); is {
		matrix, _, err := s.Budget.Matrix()
		if err != nil {
			return 0, err
		}
		at, err := numbersIn(pair)
		if err != nil {
			return 0, err
		}
		return matrix[int(at[0])-1][int(at[1])-1], nil
	}
	r, err := once(b, "budget "+parts[0], func() (propagation.Result, error) { return s.Budget.Evaluate() })
	if err != nil {
		return 0, err
	}
	return pick(parts[1], map[string]float64{
		"value": r.Value, "u": r.CombinedU, "k": known(r.CoverageFactor), "U": known(r.ExpandedU), "u of second order": known(r.Second.U),
	})
}

// trialsFigure reads a result of trials of a worked example; the gauge block's 95 % is not the file's own 99 %.
func trialsFigure(b *bench, input string) (float64, error) {
	parts, err := cut(input, ", ", 2)
	if err != nil {
		return 0, err
	}
	r, err := once(b, "trials "+parts[0], func() (montecarlo.Result, error) {
		s, err := sheet(b, parts[0])
		if err != nil {
			return montecarlo.Result{}, err
		}
		p, err := montecarlo.Prepare(&s.Budget)
		if err != nil {
			return montecarlo.Result{}, err
		}
		return p.Run(montecarlo.Options{Trials: 400_000, Seed: 1, Probability: 0.95, Workers: 2})
	})
	if err != nil {
		return 0, err
	}
	return pick(parts[1], map[string]float64{
		"mean": known(r.Mean), "u": known(r.U), "low at 95 %": r.Symmetric.Low, "high at 95 %": r.Symmetric.High,
	})
}
