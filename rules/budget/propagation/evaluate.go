package propagation

import (
	"math"
	"strconv"

	"plumbrule/rules/figure"
)

func number(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

// Evaluate combines and expands. The error is an [*InputError], a [*MatrixError], or an expression.Fault where the model or
// a first derivative of it has no value at the inputs' values; where only a higher derivative has none, the second-order
// terms are absent.
//
// Source: GUM 5.1.2 formula (10), 5.2.2 formula (16), G.4.1 formula (G.2b), G.6.4.
func (b *Budget) Evaluate() (Result, error) {
	if err := b.check(); err != nil {
		return Result{}, err
	}
	r, _, err := b.Matrix()
	if err != nil {
		return Result{}, err
	}
	x := b.values()
	values, err := b.Model.Values(x)
	if err != nil {
		return Result{}, err
	}
	gradient, err := b.Model.Gradient(x)
	if err != nil {
		return Result{}, err
	}
	out := Result{Value: values[0], Order: b.Order, Components: make([]Component, len(b.Inputs))}
	parts := make([]float64, len(b.Inputs)) // c_i·u_i, with their signs
	for i := range b.Inputs {
		parts[i] = float64(gradient[0][i] * b.Inputs[i].U)
		out.Components[i] = Component{U: b.Inputs[i].U, Sensitivity: gradient[0][i], Contribution: math.Abs(parts[i])}
	}
	shares := make([]float64, len(parts))
	out.FirstU = combine(parts, r, shares)
	for i, name := range b.Definitions {
		d := make([]float64, len(b.Inputs))
		for k := range d {
			d[k] = float64(gradient[i+1][k] * b.Inputs[k].U)
		}
		out.Definitions = append(out.Definitions, Definition{Name: name, Value: values[i+1], U: combine(d, r, nil)})
	}
	out.Second = b.second(x, gradient[0], r, out.FirstU)
	if err := out.choose(shares); err != nil {
		return Result{}, err
	}
	out.EffectiveDOF = b.effective(parts, r, out.FirstU)
	if err := b.expand(&out, parts, r); err != nil {
		return Result{}, err
	}
	out.Sets = b.sets(x)
	b.remark(&out)
	return out, nil
}

// combine returns the root of Σᵢ Σⱼ dᵢ·dⱼ·r(xᵢ, xⱼ), and each part's share of the sum. It works relative to the largest
// part: no square overflows, or vanishes where it counts.
func combine(parts []float64, r [][]float64, shares []float64) float64 {
	top := 0.0
	for _, d := range parts {
		top = math.Max(top, math.Abs(d))
	}
	if top == 0 {
		return 0
	}
	total := 0.0
	for i, d := range parts {
		with := 0.0
		for j, e := range parts {
			with += float64(r[i][j] * (e / top))
		}
		share := float64(d / top * with)
		total += share
		if shares != nil {
			shares[i] = share
		}
	}
	// Full correlation cancels to 0 but for rounding, and then nothing has a share.
	if total <= float64(len(parts))*1e-15 {
		clear(shares)
		return 0
	}
	for i := range shares {
		shares[i] /= total
	}
	return top * math.Sqrt(total)
}

// choose puts the second-order terms into the combined uncertainty if they are asked for.
func (out *Result) choose(shares []float64) error {
	out.CombinedU = out.FirstU
	if out.Order == 2 {
		if out.Second.U.Value == nil {
			return &InputError{Field: "order", Found: "2, but " + out.Second.U.Reason, Expected: "1", Mend: "use Monte Carlo for what the first order leaves out"}
		}
		out.CombinedU = *out.Second.U.Value
	}
	first := 0.0
	if out.CombinedU > 0 {
		ratio := out.FirstU / out.CombinedU
		first = ratio * ratio
	}
	for i := range shares {
		out.Components[i].Share = shares[i] * first
	}
	if out.CombinedU > 0 {
		for i := range out.Second.Terms {
			t := &out.Second.Terms[i]
			ratio := t.Contribution / out.CombinedU
			t.Share = math.Copysign(ratio*ratio, t.sign)
		}
	}
	return nil
}

// sets evaluates the model for each of the readings taken together.
func (b *Budget) sets(x []float64) []Set {
	var out []Set
	members := map[string][]int{}
	for i := range b.Inputs {
		if s := b.Inputs[i].Set; s != "" {
			if members[s] == nil {
				out = append(out, Set{Name: s, Readings: len(b.Inputs[i].Readings)})
			}
			members[s] = append(members[s], i)
		}
	}
	for i := range out {
		s := &out[i]
		at := append([]float64(nil), x...)
		values := make([]float64, s.Readings)
		for k := range values {
			for _, m := range members[s.Name] {
				at[m] = b.Inputs[m].Readings[k]
			}
			v, err := b.Model.Value(at)
			if err != nil {
				s.Mean = figure.Absentf("the model has no value for reading %d: %v", k+1, err)
				s.U = s.Mean
				break
			}
			values[k] = v
		}
		if s.Mean.Reason != "" {
			continue
		}
		m := mean(values)
		sum := 0.0
		for _, v := range values {
			sum += float64((v - m) * (v - m))
		}
		n := float64(s.Readings)
		s.Mean, s.U = figure.Known(m), figure.Known(math.Sqrt(sum/(n-1)/n))
	}
	return out
}
