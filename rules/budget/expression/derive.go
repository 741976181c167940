package expression

import "math"

// Gradient returns the first derivatives of the measurand and of each definition by each input at a point: one row a
// result, one column an input. The error is a [*Fault]: a value that does not exist, or one without derivative there, such
// as the absolute value at 0.
func (m *Model) Gradient(x []float64) ([][]float64, error) {
	if _, err := m.evaluate(x, len(m.steps)); err != nil {
		return nil, err
	}
	out := make([][]float64, len(m.results))
	for i := range out {
		out[i] = make([]float64, len(m.inputs))
	}
	work := make([]jet, len(m.steps))
	for input := range m.inputs {
		m.expand(work, x, input, input)
		for i := range work {
			if math.IsNaN(work[i][inA]) || math.IsInf(work[i][inA], 0) {
				return nil, m.fault(i, "no derivative")
			}
		}
		for i, r := range m.results {
			out[i][input] = work[r][inA]
		}
	}
	return out, nil
}

// Higher is what GUM 5.1.2, note, asks of a pair of inputs: the derivatives of the measurand ∂²f/∂xᵢ∂xⱼ and ∂³f/∂xᵢ∂xⱼ².
type Higher struct{ Second, Third float64 }

// Derivatives gives higher derivatives of the measurand at a point.
type Derivatives struct {
	m    *Model
	x    []float64
	work []jet
}

// At returns the higher derivatives at a point where the measurand has a value.
func (m *Model) At(x []float64) *Derivatives {
	return &Derivatives{m: m, x: x, work: make([]jet, len(m.steps))}
}

// Pair returns the derivatives for inputs i and j, which may be the same. One that does not exist is NaN or infinite.
func (d *Derivatives) Pair(i, j int) Higher {
	d.m.expand(d.work, d.x, i, j)
	r := d.work[d.m.results[0]]
	return Higher{Second: r[inAB], Third: 2 * r[inABB]}
}

// expand does all steps on polynomials, input i moved by a and input j by b.
func (m *Model) expand(work []jet, x []float64, i, j int) {
	for k := range m.steps {
		s := &m.steps[k]
		switch s.op {
		case variable:
			work[k] = constantJet(x[k])
			if k == i {
				work[k][inA] = 1
			}
			if k == j {
				work[k][inB] = 1
			}
		case constant:
			work[k] = constantJet(s.value)
		default:
			work[k] = applyJet(s.op, work[s.a], work[s.b])
		}
	}
}
