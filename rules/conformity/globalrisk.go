package conformity

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// Process describes items before they are measured, and how they are accepted. All values are in one unit.
type Process struct {
	Mean, SD     float64 // normal distribution of the items' true values, SD above 0
	U            float64 // standard uncertainty of the measurement, 0 or more
	Lower, Upper float64 // tolerance limits
	Guard        float64 // acceptance limits lie this far inside the tolerance limits; negative: outside
}

// GlobalRisk returns the consumer's risk, the probability that an item is accepted and does not conform, and the
// producer's risk, that it is rejected and conforms. Both are joint probabilities before the measurement, 0 … 1, with an
// absolute error under 1e-8. An [*InputError] names what cannot be used; acceptance limits that have crossed accept nothing.
//
// Source: JCGM 106:2012, 9.5.
func GlobalRisk(p Process) (consumer, producer float64, err error) {
	if err := p.check(); err != nil {
		return 0, 0, err
	}
	from, to := p.Lower+p.Guard, p.Upper-p.Guard
	items := distuv.Normal{Mu: p.Mean, Sigma: p.SD}
	accepted := func(y float64) float64 {
		a, err := Probability(y, p.U, from, to)
		if err != nil {
			return 0 // the inputs are checked: only acceptance limits that have crossed come here
		}
		return a
	}
	// The integrand bends sharply only at the tolerance limits and within some u of the acceptance limits; cut there.
	const reach = 9 // the normal tail beyond is 1e-19
	first, last := p.Mean-reach*p.SD, p.Mean+reach*p.SD
	cuts := []float64{first, last, p.Lower, p.Upper}
	for _, limit := range []float64{from, to} {
		cuts = append(cuts, limit-reach*p.U, limit, limit+reach*p.U)
	}
	for s := 1 - reach; s < reach; s++ {
		cuts = append(cuts, p.Mean+float64(s)*p.SD)
	}
	cuts = slices.DeleteFunc(cuts, func(c float64) bool { return c < first || c > last })
	slices.Sort(cuts)
	for i := range len(cuts) - 1 {
		a, b := cuts[i], cuts[i+1]
		if a == b {
			continue
		}
		if middle := a + (b-a)/2; middle < p.Lower || middle > p.Upper {
			consumer += quad.Fixed(func(y float64) float64 { return items.Prob(y) * accepted(y) }, a, b, 40, nil, 0)
		} else {
			producer += quad.Fixed(func(y float64) float64 { return items.Prob(y) * (1 - accepted(y)) }, a, b, 40, nil, 0)
		}
	}
	return consumer, producer, nil
}

func (p Process) check() error {
	for _, v := range []float64{p.Mean, p.SD, p.U, p.Lower, p.Upper, p.Guard} {
		if math.IsNaN(v) || math.Abs(v) > largestUM {
			return &InputError{Field: "process", Found: fmt.Sprintf("%+v", p), Expected: "finite numbers of at most 1e12 in magnitude"}
		}
	}
	switch {
	case !(p.SD > 0):
		return &InputError{Field: "sd", Found: fmt.Sprintf("%g", p.SD), Expected: "a standard deviation above 0"}
	case p.U < 0:
		return &InputError{Field: "u", Found: fmt.Sprintf("%g", p.U), Expected: "a standard uncertainty of 0 or more"}
	case p.Lower >= p.Upper:
		return &InputError{
			Field: "lower", Found: fmt.Sprintf("%g", p.Lower), Expected: fmt.Sprintf("below the upper limit %g", p.Upper),
			Mend: "swap the limits",
		}
	}
	return nil
}
