package expression_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Blocks give each trial the bits that the model gives at that point alone, whichever inputs are fixed.
func TestBlocksAgreeWithValues(t *testing.T) {
	texts := []string{
		"a", "7", "a + b*c", "(a - b)*(a + b)/c", "a*a*a - a", "2 - a", "a/3 - 3/a", "a^2 + b^3 + c^4", "2^a", "a^b", "-(a + b)", "sqrt(a)*exp(-b)*ln(c)",
		"min(a, b) + max(b, 2)", "atan2(a, 2) + atan2(2, b)", "(a + b)*(a + b)*(a + b + c)", "sin(a) + cos(a) + tan(b)", "abs(a - b) + log10(c)", "5 + 2*3",
	}
	for _, text := range texts {
		m := model(t, text, "a", "b", "c")
		rapid.Check(t, func(t *rapid.T) {
			n := rapid.IntRange(1, 20).Draw(t, "trials")
			fixed := make([]float64, 3)
			for i := range fixed {
				if fixed[i] = math.NaN(); rapid.Bool().Draw(t, "fixed") {
					fixed[i] = rapid.Float64Range(0.1, 5).Draw(t, "value")
				}
			}
			e := m.Evaluator(20, fixed)
			points := make([][]float64, n)
			for k := range points {
				points[k] = make([]float64, 3)
				for i := range points[k] {
					points[k][i] = fixed[i]
					if math.IsNaN(fixed[i]) {
						points[k][i] = rapid.Float64Range(0.1, 5).Draw(t, "x")
					}
					if v := e.Input(i); v != nil {
						v[k] = points[k][i]
					}
				}
			}
			got, ok := e.Run(n)
			for k, x := range points {
				want, err := m.Value(x)
				if err != nil || !ok || math.Float64bits(got[k]) != math.Float64bits(want) {
					t.Fatalf("%s at %v: %v, %v in the block, %v, %v alone", text, x, got[k], ok, want, err)
				}
			}
		})
	}
}

func BenchmarkBlock(b *testing.B) {
	free := math.NaN()
	for _, text := range []string{"a + b + c + d + e", "a + b - a*(c*d + 11.5e-6*e)", "a*cos(b)/c"} {
		m := model(b, text, "a", "b", "c", "d", "e")
		e := m.Evaluator(500, []float64{free, free, free, free, free})
		b.Run(text, func(b *testing.B) {
			for b.Loop() {
				for i := range 5 {
					if v := e.Input(i); v != nil {
						v[0] = 1
					}
				}
				e.Run(500)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/500, "ns/trial")
		})
	}
}
