package chart

import (
	"math"
	"testing"
)

// The difference of two standard normal values is normal with variance 2, so
// E cos θ|x-y| = exp(-θ²); and the first two moments of the mean moving range
// are 2/√π and a variance given in closed form.
func TestChainTransform(t *testing.T) {
	for _, theta := range []float64{0.1, 0.5, 1, 2, 4} {
		if got, want := real(chainTransform(2, theta)), math.Exp(-theta*theta); math.Abs(got-want) > 1e-6 {
			t.Errorf("θ %v: %v, want %v", theta, got, want)
		}
	}
	const values, small = 25, 1e-4
	sum := chainTransform(values, small)
	mean := (values - 1) * 2 / math.Sqrt(math.Pi)
	if got := imag(sum) / small; math.Abs(got/mean-1) > 1e-5 {
		t.Errorf("mean %v, want %v", got, mean)
	}
	square := mean * mean * (1 + movingRangeVariance(values))
	if got := 2 * (1 - real(sum)) / (small * small); math.Abs(got/square-1) > 1e-4 {
		t.Errorf("mean square %v, want %v", got, square)
	}
}

// The law of a mean of standard deviations, each of one degree of freedom, is
// that of a mean of ranges of two; of a single one it is Student's t. Both come
// from the integrals here and from closed forms.
func TestLawsAgree(t *testing.T) {
	law := func(kind Kind, sizes ...int) law {
		e, err := newEngine(kind, Settings{})
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range sizes {
			e.samples = append(e.samples, make([]float64, n))
		}
		return e.samplesLaw(0, len(sizes))
	}
	for _, factor := range []float64{0.5, 1, 3, 6} {
		for name, pair := range map[string][2]float64{
			"two of two":    {law(KindMeanRange, 2, 2).tail(factor), law(KindMeanDeviation, 2, 2).tail(factor)},
			"one of five":   {law(KindMeanDeviation, 5).tail(factor), student(4).tail(factor / deviationBias(5))},
			"one of ninety": {law(KindMeanDeviation, 90).tail(factor), student(89).tail(factor / deviationBias(90))},
			"equivalent":    {newEquivalent((1 - deviationBias(9)*deviationBias(9)) / (deviationBias(9) * deviationBias(9))).tail(factor), student(8).tail(factor / deviationBias(9))},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-8 {
				t.Errorf("%s at %v: %v and %v", name, factor, pair[0], pair[1])
			}
		}
	}
}
