package repeatability_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/repeatability"
)

// figures lists every number of a result, with the power of the unit it carries.
func figures(r *repeatability.Result) (list []float64, power []int) {
	add := func(f repeatability.Figure, p int) {
		if f.Value != nil {
			list, power = append(list, *f.Value), append(power, p)
		}
	}
	for _, m := range r.Models {
		for _, row := range m.Table {
			list, power = append(list, row.SumOfSquares), append(power, 2)
			add(row.MeanSquare, 2)
			add(row.F, 0)
			add(row.P, 0)
		}
		for _, c := range m.Components {
			add(c.Estimate, 2)
			add(c.Variance, 2)
			add(c.SD, 1)
			add(c.SDLower, 1)
			add(c.SDUpper, 1)
			add(c.ShareOfVariance, 0)
			add(c.ShareOfStudy, 0)
		}
	}
	return list, power
}

func table(t *rapid.T) [][][]float64 {
	p, o, n := rapid.IntRange(2, 6).Draw(t, "parts"), rapid.IntRange(1, 4).Draw(t, "operators"), rapid.IntRange(1, 3).Draw(t, "trials")
	if o == 1 {
		n = max(n, 2)
	}
	values := make([][][]float64, p)
	for i := range values {
		values[i] = make([][]float64, o)
		for j := range values[i] {
			for range n {
				// A gauge with a resolution: differences that hide in the last digits are not what is tried here.
				values[i][j] = append(values[i][j], float64(rapid.IntRange(-1000, 1000).Draw(t, "value"))/1000+float64(i))
			}
		}
	}
	return values
}

func mapped(values [][][]float64, f func(float64) float64) [][][]float64 {
	out := make([][][]float64, len(values))
	for i, row := range values {
		for _, cell := range row {
			var c []float64
			for _, v := range cell {
				c = append(c, f(v))
			}
			out[i] = append(out[i], c)
		}
	}
	return out
}

func study(t *rapid.T, values [][][]float64) *repeatability.Result {
	r, err := repeatability.StudyTable(values, repeatability.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Shifting all readings changes nothing, scaling them scales, and the names and the order of parts and operators do not
// matter.
func TestInvariance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := table(t)
		shift, scale := rapid.Float64Range(-1e4, 1e4).Draw(t, "shift"), rapid.Float64Range(0.01, 100).Draw(t, "scale")
		var turned []repeatability.Reading
		for i, row := range slices.Backward(values) {
			for j, cell := range slices.Backward(row) {
				for _, v := range cell {
					turned = append(turned, repeatability.Reading{Part: string(rune('z' - i)), Operator: string(rune('k' + j)), Value: v})
				}
			}
		}
		relabelled, err := repeatability.Study(turned, repeatability.Settings{})
		if err != nil {
			t.Fatal(err)
		}
		base, power := figures(study(t, values))
		unit := study(t, values).Chosen.Table[0].SumOfSquares
		for name, other := range map[string]struct {
			r     *repeatability.Result
			scale float64
		}{
			"shifted":    {study(t, mapped(values, func(v float64) float64 { return v + shift })), 1},
			"scaled":     {study(t, mapped(values, func(v float64) float64 { return v * scale })), scale},
			"relabelled": {relabelled, 1},
		} {
			list, _ := figures(other.r)
			if len(list) != len(base) {
				t.Fatalf("%s: %d figures, had %d", name, len(list), len(base))
			}
			for i, got := range list {
				want := base[i] * math.Pow(other.scale, float64(power[i]))
				if math.IsNaN(got) || math.IsInf(got, 0) || math.Abs(got-want) > 1e-5*(math.Abs(want)+math.Pow(other.scale, float64(power[i]))*min(1, unit)) {
					t.Fatalf("%s: figure %d is %g, want %g", name, i, got, want)
				}
			}
		}
	})
}

// The sums of squares and the degrees of freedom add up to the total, components to their sums, and limits enclose the
// estimate.
func TestSumsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, m := range study(t, table(t)).Models {
			sum, df := 0.0, 0
			last := len(m.Table) - 1
			for _, row := range m.Table[:last] {
				sum += row.SumOfSquares
				df += row.DegreesOfFreedom
			}
			if total := m.Table[last]; df != total.DegreesOfFreedom || math.Abs(sum-total.SumOfSquares) > 1e-12*total.SumOfSquares {
				t.Fatalf("%s: %g with %d df, total %g with %d", m.Name, sum, df, total.SumOfSquares, total.DegreesOfFreedom)
			}
			of := func(s repeatability.Source) float64 {
				if v := m.Component(s).Variance.Value; v != nil {
					return *v
				}
				return 0
			}
			if total := of(repeatability.Part) + of(repeatability.Operator) + of(repeatability.Interaction) + of(repeatability.Repeatability); math.Abs(total-of(repeatability.Total)) > 1e-12*total {
				t.Fatalf("%s: components add up to %g, total %g", m.Name, total, of(repeatability.Total))
			}
			for _, c := range m.Components {
				if c.SD.Value == nil {
					continue
				}
				// The limits belong to the estimate; what is used may lie above it.
				sd := math.Sqrt(max(0, *c.Estimate.Value))
				if !(0 <= *c.SDLower.Value && *c.SDLower.Value <= sd*(1+1e-9)+1e-12 && sd <= *c.SDUpper.Value*(1+1e-9)+1e-12) {
					t.Fatalf("%s %s: %g not in %g … %g", m.Name, c.Source, sd, *c.SDLower.Value, *c.SDUpper.Value)
				}
			}
		}
	})
}

// A simulated truth: the estimates are right on average, and the 90 % limits fail at about their rate on either side.
// Parts σ² = 4, operators 1, interaction 0.25, repeatability 0.49; 8 parts, 4 operators, 2 trials, 600 studies, fixed seed.
func TestSimulatedTruth(t *testing.T) {
	random := rand.New(rand.NewPCG(20, 3))
	const p, o, n, studies = 8, 4, 2, 600
	truth := map[repeatability.Source]float64{
		repeatability.Part: 4, repeatability.Operator: 1, repeatability.Interaction: 0.25, repeatability.Repeatability: 0.49,
		repeatability.Reproducibility: 1.25, repeatability.Gauge: 1.74,
	}
	sum, squares := map[repeatability.Source]float64{}, map[repeatability.Source]float64{}
	below, above := map[repeatability.Source]float64{}, map[repeatability.Source]float64{}
	for range studies {
		var operator [o]float64
		for j := range operator {
			operator[j] = random.NormFloat64()
		}
		values := make([][][]float64, p)
		for i := range values {
			part := 2 * random.NormFloat64()
			values[i] = make([][]float64, o)
			for j := range values[i] {
				both := part + operator[j] + 0.5*random.NormFloat64()
				for range n {
					values[i][j] = append(values[i][j], both+0.7*random.NormFloat64())
				}
			}
		}
		r, err := repeatability.StudyTable(values, repeatability.Settings{Confidence: 0.9})
		if err != nil {
			t.Fatal(err)
		}
		for source, variance := range truth {
			c := r.Models[0].Component(source)
			sum[source] += *c.Estimate.Value
			squares[source] += *c.Estimate.Value * *c.Estimate.Value
			if *c.SDLower.Value > math.Sqrt(variance) {
				below[source]++
			}
			if *c.SDUpper.Value < math.Sqrt(variance) {
				above[source]++
			}
		}
	}
	for source, variance := range truth {
		mean := sum[source] / studies
		sd := math.Sqrt((squares[source]/studies - mean*mean) / studies)
		near(t, string(source)+" on average", mean, variance, 4*sd)
		// 5 % on either side; the standard error of a share of 600 is 0.9 %, and the method itself is approximate.
		near(t, string(source)+" lower limit fails", below[source]/studies, 0.05, 0.035)
		near(t, string(source)+" upper limit fails", above[source]/studies, 0.05, 0.035)
	}
}
